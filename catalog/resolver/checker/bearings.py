"""At which bearings of the motor does a drive stay within the free radius? Sets of them are bits of an int.

Bit b stands for the bearing of b tenths of a degree. A claim that a drive is free must be true. A claim that
it is not may be up to 1 µm early where a sector's bound cuts through a solid, since results of trigonometry
are rounded to the safe side by as much; where a solid reaches farthest by itself, both are decided exactly.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cached_property

from catalog.resolver.checker.shapes import TURN, farthest_um
from catalog.resolver.parts import Drive, Hand
from shared.intervals import Arc

EVERYWHERE = (1 << TURN) - 1
NOISE_UM = 0.01
"""What the last digits of a root or sine may add to a length."""
ROUNDED_UM = 1
FIGURE_UM = 2
"""By how much a figure that came from a root or sine may differ from ours."""

Radii = tuple[tuple[Arc, int], ...]
"""Free radius by closed arcs that cover the circle."""


def stretch(start: int, length: int) -> int:
    """The bearings from ``start`` clockwise over ``length``, both ends included."""
    return turned((1 << min(length + 1, TURN)) - 1, start % TURN)


def stretches(arcs: Iterable[tuple[int, int]]) -> int:
    """The bearings of closed arcs (from, to), which may pass over 0."""
    found = 0
    for start, end in arcs:
        found |= stretch(start, (end - start) % TURN)
    return found


def turned(bearings: int, by: int) -> int:
    """Every bearing moved clockwise by ``by``."""
    by %= TURN
    return ((bearings << by) | (bearings >> (TURN - by))) & EVERYWHERE


def members(bearings: int) -> Iterable[int]:
    while bearings:
        lowest = bearings & -bearings
        yield lowest.bit_length() - 1
        bearings ^= lowest


def first(bearings: int) -> int:
    return (bearings & -bearings).bit_length() - 1


def clockings(drive: Drive) -> int:
    """Where a drive may be bolted, counted from the datum; one that states nothing has the one place 0."""
    return stretches(drive.clockings_ddeg) or 1


@dataclass(frozen=True, slots=True)
class Freedom:
    """Motor bearings that may be claimed free, and those that may be claimed not to be."""

    free: int
    not_free: int


@dataclass(slots=True)
class Surroundings:
    """What a drive in one hand reaches, each solid remembered by the stretch of its own frame."""

    drive: Drive
    hand: Hand
    _reached: dict[tuple[int, int, int], float] = field(default_factory=dict)

    def _reach_um(self, solid: int, start: int, length: int) -> float:
        key = (solid, start % TURN, length)
        if key not in self._reached:
            self._reached[key] = farthest_um(self.drive.solids[solid], self.hand, start, length)
        return self._reached[key]

    def room_um(self, bearing: int, radii: Radii) -> float:
        """How much the free radius leaves with the motor at ``bearing``, in the tightest sector."""
        return min(
            radius - self._reach_um(solid, arc.start - bearing, arc.length)
            for arc, radius in radii
            for solid in range(len(self.drive.solids))
        )

    def freedom(self, bearings: int, radii: Radii) -> Freedom:
        """Which of ``bearings`` are free, and which are not."""
        close = [
            (arc, radius, solid)
            for arc, radius in radii
            for solid in range(len(self.drive.solids))
            if radius - self._reach_um(solid, 0, TURN) < ROUNDED_UM
        ]
        if not close:
            return Freedom(bearings, 0)
        free, not_free = bearings, 0
        for bearing in members(bearings):
            bit = 1 << bearing
            for arc, radius, solid in close:
                reach = self._reach_um(solid, arc.start - bearing, arc.length)
                if radius - reach < -NOISE_UM:
                    free, not_free = free & ~bit, not_free | bit
                    break
                if radius - reach < ROUNDED_UM and reach < self._reach_um(solid, 0, TURN) - NOISE_UM:
                    not_free |= bit
        return Freedom(free, not_free)


@dataclass(frozen=True)
class Turning:
    """How a drive may be turned under certain radii, for certain bearings of the datum."""

    around: Surroundings
    radii: Radii
    datums: int

    @cached_property
    def clockings(self) -> int:
        return clockings(self.around.drive)

    @cached_property
    def _freedom(self) -> Freedom:
        motor = 0
        for clocking in members(self.clockings):
            motor |= turned(self.datums, clocking)
        return self.around.freedom(motor, self.radii)

    def free_at(self, clocking: int) -> int:
        """The bearings of the datum at which this clocking may be claimed free."""
        return turned(self._freedom.free, -clocking) & self.datums

    def not_free_at(self, clocking: int) -> int:
        """The bearings of the datum at which it may be claimed not to be."""
        return turned(self._freedom.not_free, -clocking) & self.datums

    @cached_property
    def served(self) -> int:
        """The bearings of the datum at which some clocking is free."""
        found = 0
        for clocking in members(self.clockings):
            found |= self.free_at(clocking)
        return found

    @cached_property
    def not_served(self) -> int:
        """The bearings of the datum at which it may be claimed that no clocking is free."""
        found = self.datums
        for clocking in members(self.clockings):
            found &= self.not_free_at(clocking)
        return found


def whole_room_um(room: float) -> int:
    """Room in whole µm, rounded down."""
    return math.floor(room + NOISE_UM)
