"""Covering a stretch of whole numbers with closed bands, in a stated order or with the fewest."""

from __future__ import annotations

import numpy as np

from catalog.resolver.compile import Ints


def uncovered(low: Ints, high: Ints, first: int, last: int) -> int | None:
    """The smallest number of first .. last that no band (low .. high) holds; None when all are held."""
    inside = (low <= last) & (high >= first)
    low, high = low[inside], high[inside]
    if not len(low):
        return first
    order = np.argsort(low, kind="stable")
    low, reached = low[order], np.maximum.accumulate(high[order])
    if low[0] > first:
        return first
    gaps = np.flatnonzero(low[1:] > reached[:-1] + 1)
    end = int(reached[gaps[0]]) if len(gaps) else int(reached[-1])
    return None if end >= last else end + 1


def completing(low: Ints, high: Ints, first: int, last: int) -> int | None:
    """How many bands, taken in their order, it takes until first .. last is covered; None if all do not."""
    if uncovered(low, high, first, last) is not None:
        return None
    gaps = [(first, last)]
    for taken, (start, end) in enumerate(zip(low.tolist(), high.tolist(), strict=True), 1):
        if any(start <= b and end >= a for a, b in gaps):
            gaps = [piece for gap in gaps for piece in _minus(gap, start, end)]
            if not gaps:
                return taken
    raise AssertionError("The bands cover, yet gaps are left.")


def _minus(gap: tuple[int, int], start: int, end: int) -> list[tuple[int, int]]:
    a, b = gap
    if start > b or end < a:
        return [gap]
    return [(a, start - 1)] * (a < start) + [(end + 1, b)] * (end < b)


def fewest(low: Ints, high: Ints, first: int, last: int) -> list[tuple[int, int, int]]:
    """The fewest bands that cover first .. last, as (row, from, to) in order; of equals the earliest row.

    The bands must cover. Always taking the band that reaches farthest is optimal.
    """
    found: list[tuple[int, int, int]] = []
    at = first
    while at <= last:
        reaches = np.where(low <= at, high, first - 1)
        row = int(np.argmax(reaches))
        end = min(int(reaches[row]), last)
        if end < at:
            raise ValueError("The bands do not cover.")
        found.append((row, at, end))
        at = end + 1
    return found
