"""At which bearings of the datum does a drive have room round the shaft, and at which clocking?

Bearings are whole tenths of a degree. For each (drive, hand) the sectors of a survey block stretches of
motor bearings; a motor bearing is datum + clocking, so each datum has room where some clocking leads to a
bearing that is not blocked.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np

from catalog.resolver.compile import Bools, Ints, Side
from catalog.resolver.geometry import blocked_bearings
from shared.intervals import TURN, Arc


def datum_points(datum: Arc) -> Ints:
    """Every bearing that the datum may have."""
    count = TURN if datum.is_full else datum.length + 1
    return (datum.start + np.arange(count, dtype=np.int64)) % TURN


def free_motor_bearings(side: Side, sectors: Iterable[tuple[Arc, int]]) -> Bools:
    """For every motor bearing whether the drive has room in all ``sectors`` (arc, radius in µm)."""
    steps = np.zeros(TURN + 1, dtype=np.int64)
    for arc, radius in sectors:
        if radius >= side.reach_um:
            continue
        for first, last in blocked_bearings(side.solids, arc.start, arc.length, radius):
            _mark(steps, first, last)
    free: Bools = np.cumsum(steps[:TURN]) == 0
    return free


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


def room(side: Side, free: Bools, datum: Ints) -> Bools:
    """For every bearing of the datum whether some clocking has room."""
    clockings = np.array(side.clockings, dtype=np.int64)
    if len(clockings) <= 64:
        return np.asarray(free[(datum[:, None] + clockings[None, :]) % TURN].any(axis=1))
    # Many clockings: what is asked is whether the free bearings, turned back by each clocking, hold the
    # datum.
    wanted = np.zeros(TURN, dtype=np.int64)
    wanted[clockings] = 1
    spectrum = np.fft.rfft(free.astype(np.float64)) * np.conj(np.fft.rfft(wanted.astype(np.float64)))
    counted = np.rint(np.fft.irfft(spectrum, TURN)).astype(np.int64)
    return np.asarray(counted[datum] > 0)


def sure_clockings(side: Side, free: Bools, datum: Ints) -> list[int]:
    """The clockings that have room wherever the datum may be."""
    return [one for one in side.clockings if free[(datum + one) % TURN].all()]


def possible_clockings(side: Side, free: Bools, datum: Ints) -> list[int]:
    """The clockings that have room for some bearing of the datum."""
    return [one for one in side.clockings if free[(datum + one) % TURN].any()]


def turns(side: Side, free: Bools, datum: Sequence[int]) -> list[tuple[int, int, int]]:
    """Cover a stretch of datum bearings by (first, last, clocking), each clocking held as long as it has
    room.

    ``datum`` is consecutive bearings; each must have room.
    """
    found: list[tuple[int, int, int]] = []
    at = 0
    while at < len(datum):
        best, reached = -1, at - 1
        for clocking in side.clockings:
            end = at - 1
            while end + 1 < len(datum) and free[(datum[end + 1] + clocking) % TURN]:
                end += 1
            if end > reached:
                best, reached = clocking, end
        if best < 0:
            raise ValueError("No clocking has room at this bearing of the datum.")
        found.append((datum[at], datum[reached], best))
        at = reached + 1
    return found
