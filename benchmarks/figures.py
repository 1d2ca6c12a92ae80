"""Durations and how they are told."""

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Durations:
    """Durations of single calls, in milliseconds."""

    median: float
    p99: float
    count: int

    @classmethod
    def of(cls, seconds: Sequence[float]) -> "Durations":
        ordered = sorted(1_000 * one for one in seconds)
        return cls(
            ordered[len(ordered) // 2], ordered[min(len(ordered) - 1, len(ordered) * 99 // 100)], len(ordered)
        )

    def __str__(self) -> str:
        return f"{self.median:8.2f} ms median {self.p99:9.2f} ms p99"


def table(rows: Sequence[Sequence[str]]) -> list[str]:
    """Rows as aligned columns, the first of them to the left."""
    widths = [max(len(row[column]) for row in rows) for column in range(len(rows[0]))]
    return [
        "  ".join(
            cell.ljust(width) if column == 0 else cell.rjust(width)
            for column, (cell, width) in enumerate(zip(row, widths, strict=True))
        ).rstrip()
        for row in rows
    ]
