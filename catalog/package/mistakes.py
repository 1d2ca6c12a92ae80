"""Mistakes of a package: each with its place, its value, a code and one sentence; all of them, in order."""

from collections.abc import Iterable
from dataclasses import dataclass, field

from shared.errors import FaultyInput

MOST_KEPT = 10_000
LONGEST_VALUE = 80


@dataclass(frozen=True, slots=True)
class Mistake:
    """One mistake. ``line`` counts from 1, header included; ``column`` is a column's name, or, in
    ``datapackage.json``, a JSON pointer. Either is None where it has no meaning."""

    file: str
    line: int | None
    column: str | None
    value: str | None
    code: str
    sentence: str

    def as_json(self) -> dict[str, str | int | None]:
        return {
            "file": self.file,
            "line": self.line,
            "column": self.column,
            "value": self.value,
            "code": self.code,
            "sentence": self.sentence,
        }

    def __str__(self) -> str:
        place = ":".join(str(part) for part in (self.file, self.line, self.column) if part is not None)
        return f"{place}: {self.sentence} [{self.code}]"


@dataclass(slots=True)
class Mistakes:
    """Collects mistakes. ``count`` is of all; the first ``MOST_KEPT`` are kept."""

    files: tuple[str, ...]
    count: int = 0
    found: list[Mistake] = field(default_factory=list)

    def add(
        self,
        fault: FaultyInput,
        *,
        file: str,
        line: int | None = None,
        column: str | None = None,
        value: str | None = None,
    ) -> None:
        self.count += 1
        if len(self.found) < MOST_KEPT:
            shown = None if value is None else value[:LONGEST_VALUE]
            self.found.append(Mistake(file, line, column, shown, fault.code, str(fault)))

    def in_order(self) -> list[Mistake]:
        """By file as the description lists them, then line, then column."""
        order = {file: place for place, file in enumerate(self.files)}
        return sorted(
            self.found,
            key=lambda one: (order.get(one.file, -1), one.line or 0, one.column or "", one.code),
        )

    def __bool__(self) -> bool:
        return self.count > 0


def codes_of(mistakes: Iterable[Mistake]) -> dict[str, int]:
    """How often each code occurs."""
    counted: dict[str, int] = {}
    for mistake in mistakes:
        counted[mistake.code] = counted.get(mistake.code, 0) + 1
    return counted
