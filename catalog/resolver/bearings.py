"""At which bearings of the datum does a drive have room round the shaft, and at which clocking?

Bearings are whole tenths of a degree. For each (drive, hand) the sectors of a survey block stretches of
motor bearings; a motor bearing is datum + clocking, so each datum has room where some clocking leads to a
bearing that is not blocked. Everything is asked of two counts: how many bearings from one on, clockwise,
are free, or blocked.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import cached_property

import numpy as np

from catalog.resolver.compile import Bools, Ints, Side
from catalog.resolver.geometry import blocked_bearings
from shared.intervals import TURN, Arc

MOST_AT_ONCE = 4_000
"""Up to so many pairs of bearing and clocking are looked up directly."""


def datum_points(datum: Arc) -> Ints:
    """Every bearing that the datum may have, clockwise."""
    count = TURN if datum.is_full else datum.length + 1
    return (datum.start + np.arange(count, dtype=np.int64)) % TURN


class Free:
    """Which motor bearings are free; and, once asked, how many from each on are, or are blocked, in a row."""

    def __init__(self, flags: Bools) -> None:
        self.flags = flags

    @cached_property
    def free_run(self) -> Ints:
        return _runs(self.flags)

    @cached_property
    def blocked_run(self) -> Ints:
        return _runs(~self.flags)


def _runs(flags: Bools) -> Ints:
    """How many true flags stand in a row from each on, round the circle; ``TURN`` where all are true."""
    twice = np.concatenate((flags, flags))
    ends = np.where(twice, 2 * TURN, np.arange(2 * TURN))
    following = np.minimum.accumulate(ends[::-1])[::-1][:TURN]
    return np.minimum(following - np.arange(TURN), TURN)


ALL_FREE = Free(np.ones(TURN, dtype=np.bool_))
NONE_FREE = Free(np.zeros(TURN, dtype=np.bool_))


def free_motor_bearings(side: Side, sectors: Iterable[tuple[Arc, int]]) -> Free:
    """The motor bearings at which a drive has room in all ``sectors`` (arc, radius in µm)."""
    narrow = [(arc, radius) for arc, radius in sectors if radius < side.reach_um]
    if not narrow:
        return ALL_FREE
    if any(radius < side.core_um for _, radius in narrow):
        return NONE_FREE
    steps = np.zeros(TURN + 1, dtype=np.int64)
    for arc, radius in narrow:
        for first, last in blocked_bearings(side.solids, arc.start, arc.length, radius):
            _mark(steps, first, last)
    return Free(np.cumsum(steps[:TURN]) == 0)


def _mark(steps: Ints, first: int, last: int) -> None:
    """Count one stretch of blocked bearings, which may pass over 0 or round the whole circle."""
    if last < first:
        return
    if last - first >= TURN - 1:
        steps[0] += 1
        return
    start, end = first % TURN, last % TURN
    steps[start] += 1
    steps[end + 1] -= 1
    if end < start:
        steps[0] += 1


def room(side: Side, free: Free, datum: Ints) -> Bools:
    """For every bearing of the datum whether some clocking has room."""
    if free is ALL_FREE:
        return np.ones(len(datum), dtype=np.bool_)
    found = np.zeros(len(datum), dtype=np.bool_)
    if free is NONE_FREE:
        return found
    if len(datum) * len(side.clockings) <= MOST_AT_ONCE:
        turned = (datum[:, None] + side.turned) % TURN
        return np.asarray(free.flags[turned].any(axis=1))
    for start, count in side.stretches:
        found |= free.blocked_run[(datum + start) % TURN] < count
    return found


def sure_clockings(side: Side, free: Free, datum: Ints) -> list[int]:
    """The clockings that have room wherever the datum may be."""
    clockings = side.turned
    return [int(one) for one in clockings[free.free_run[(datum[0] + clockings) % TURN] >= len(datum)]]


def possible_clockings(side: Side, free: Free, datum: Ints) -> list[int]:
    """The clockings that have room for some bearing of the datum."""
    clockings = side.turned
    return [int(one) for one in clockings[free.blocked_run[(datum[0] + clockings) % TURN] < len(datum)]]


def turns(side: Side, free: Free, start: int, count: int) -> list[tuple[int, int, int]]:
    """Cover ``count`` bearings of the datum from ``start`` on by (first, last, clocking), with the fewest
    turns.

    Each clocking is held as long as it has room; every bearing must have some.
    """
    clockings = side.turned
    found: list[tuple[int, int, int]] = []
    at = 0
    while at < count:
        reaches = free.free_run[(start + at + clockings) % TURN]
        best = int(np.argmax(reaches))
        held = min(int(reaches[best]), count - at)
        if held <= 0:
            raise ValueError("No clocking has room at this bearing of the datum.")
        found.append(((start + at) % TURN, (start + at + held - 1) % TURN, int(clockings[best])))
        at += held
    return found
