"""Figures, as the checker works them out."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure of a gate; below 0 is a shortfall.

    ``slack`` is by how much rounding to the safe side may have lowered it: 0 for sums.
    """

    name: str
    margin: int
    slack: int = 0

    @property
    def passes(self) -> bool:
        return self.margin >= 0

    @property
    def may_fail(self) -> bool:
        """Whether a search that rounds to the safe side may call this a failure."""
        return self.margin < self.slack


def fact(name: str, *, passed: bool) -> Figure:
    """A figure without a measure."""
    return Figure(name, 0 if passed else -1)


def all_pass(figures: Iterable[Figure]) -> bool:
    return all(one.passes for one in figures)


def failing(figures: Iterable[Figure]) -> list[str]:
    """The names of what fails, each once."""
    return sorted({one.name for one in figures if not one.passes})


def some_named_fails(figures: Iterable[Figure], names: frozenset[str]) -> bool:
    return any(one.may_fail for one in figures if one.name in names)
