"""Room round the shaft: runs of free bearings round the circle, clockings of a datum that is uncertain, and
the stretches that sectors block, each held against looking at every tenth of a degree.
"""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from random import Random

import numpy as np
import pytest

from catalog.resolver.bearings import (
    MOST_AT_ONCE,
    Free,
    datum_points,
    free_motor_bearings,
    possible_clockings,
    room,
    sure_clockings,
    turns,
)
from catalog.resolver.compile import Side
from catalog.resolver.geometry import greatest_radius_um
from catalog.resolver.parts import Cylinder, Hand, Solid
from shared.intervals import FULL_CIRCLE, TURN, Arc
from tests.resolver.one_kit import DRIVE
from tests.resolver.solids import some_arc, some_solids

Clockings = tuple[tuple[int, int], ...]
Sectors = list[tuple[Arc, int]]


def side(clockings: Clockings = ((0, 0),), solids: tuple[Solid, ...] = DRIVE.solids) -> Side:
    return Side.of(replace(DRIVE, clockings_ddeg=clockings, solids=solids), Hand.RIGHT)


def free_but(*blocked: tuple[int, int]) -> Free:
    """All bearings are free but those from first to last, both included, clockwise."""
    flags = np.ones(TURN, dtype=np.bool_)
    for first, last in blocked:
        flags[np.arange(first, last + 1 if first <= last else last + TURN + 1) % TURN] = False
    return Free(flags)


# --- the datum --------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("datum", "points"),
    [
        (Arc(300, 0), [300]),
        (Arc(300, 2), [300, 301, 302]),
        (Arc(3_598, 3), [3_598, 3_599, 0, 1]),
        (FULL_CIRCLE, list(range(TURN))),
    ],
)
def test_every_bearing_of_the_datum_once(datum: Arc, points: list[int]) -> None:
    assert datum_points(datum).tolist() == points


# --- runs -------------------------------------------------------------------------------------------------


def test_a_run_goes_on_over_the_bow() -> None:
    free = free_but((100, 3_499))  # free are 350.0° ... 9.9°: 200 bearings
    assert free.free_run[[3_500, 3_599, 0, 99, 100, 3_499]].tolist() == [200, 101, 100, 1, 0, 0]
    assert free.blocked_run[[100, 3_499, 3_500, 99]].tolist() == [3_400, 1, 0, 0]


def test_a_blocked_run_goes_on_over_the_bow() -> None:
    free = free_but((3_500, 99))
    assert free.blocked_run[[3_500, 3_599, 0, 99, 100]].tolist() == [200, 101, 100, 1, 0]
    assert free.free_run[[100, 3_499, 0]].tolist() == [3_400, 1, 0]


def test_a_whole_circle_is_a_turn_and_not_more() -> None:
    free = free_but()
    assert free.free_run.tolist() == [TURN] * TURN
    assert free.blocked_run.tolist() == [0] * TURN


def test_runs_are_what_one_counts(rng: Random) -> None:
    for _ in range(30):
        flags = some_flags(rng)
        free = Free(np.array(flags, dtype=np.bool_))
        for start in rng.sample(range(TURN), 40):
            assert free.free_run[start] == counted(flags, start, stop_at=False)
            assert free.blocked_run[start] == counted(flags, start, stop_at=True)


def some_flags(rng: Random) -> list[bool]:
    """Free and blocked stretches, a few or many."""
    flags: list[bool] = []
    while len(flags) < TURN:
        flags += [rng.random() < 0.5] * rng.choice((1, 3, 200, 1_500))
    return flags[:TURN]


def counted(flags: list[bool], start: int, *, stop_at: bool) -> int:
    """How many steps clockwise from ``start`` on it takes to meet a flag that is ``stop_at``."""
    return next((step for step in range(TURN) if flags[(start + step) % TURN] is stop_at), TURN)


# --- clockings --------------------------------------------------------------------------------------------

QUARTERS: Clockings = ((0, 0), (900, 900), (1_800, 1_800), (2_700, 2_700))


@pytest.mark.parametrize(
    ("datum", "sure", "possible"),
    [
        (Arc(0, 0), [0, 900], [0, 900]),
        (Arc(3_590, 20), [], [0, 900]),  # 0 is not free before the bow, 90° not after its 90.0°
        (Arc(0, 900), [0], [0, 900, 2_700]),
        (Arc(10, 900), [], [0, 2_700]),
        (FULL_CIRCLE, [], [0, 900, 1_800, 2_700]),
    ],
)
def test_a_clocking_is_sure_where_every_bearing_is_free(
    datum: Arc, sure: list[int], possible: list[int]
) -> None:
    """Free for a motor are 0° ... 90°; the drive is bolted at quarter turns from the datum."""
    quarters, free, points = side(QUARTERS), free_but((901, 3_599)), datum_points(datum)
    assert sure_clockings(quarters, free, points) == sure
    assert possible_clockings(quarters, free, points) == possible
    assert room(quarters, free, points).tolist() == [
        any((bearing + clocking) % TURN <= 900 for clocking in quarters.clockings)
        for bearing in points.tolist()
    ]


def test_room_is_the_same_however_it_is_looked_up(rng: Random) -> None:
    """Many pairs of bearing and clocking are looked up by runs, few directly."""
    by_runs = directly = 0
    for _ in range(60):
        flags, datum = some_flags(rng), some_arc(rng)
        one, points = side(some_clockings(rng)), datum_points(datum)
        found = room(one, Free(np.array(flags, dtype=np.bool_)), points)
        assert found.tolist() == [
            any(flags[(bearing + clocking) % TURN] for clocking in one.clockings)
            for bearing in points.tolist()
        ]
        by_runs += len(points) * len(one.clockings) > MOST_AT_ONCE
        directly += len(points) * len(one.clockings) <= MOST_AT_ONCE
    assert by_runs > 5
    assert directly > 5


def some_clockings(rng: Random) -> Clockings:
    arcs = [some_arc(rng) for _ in range(rng.randint(1, 3))]
    return tuple((arc.start, arc.end if arc.length else arc.start) for arc in arcs)


# --- turns ------------------------------------------------------------------------------------------------


def test_each_clocking_is_held_as_long_as_it_has_room() -> None:
    """Free for a motor are 0° ... 90°, so each quarter serves 90° of the datum, both ends included."""
    free = free_but((901, 3_599))
    assert turns(side(QUARTERS), free, 0, TURN) == [
        (0, 900, 0),
        (901, 1_800, 2_700),
        (1_801, 2_700, 1_800),
        (2_701, 3_599, 900),
    ]
    assert turns(side(QUARTERS), free, 3_000, 1_000) == [(3_000, 0, 900), (1, 399, 0)]
    assert turns(side(QUARTERS), free, 450, 1) == [(450, 450, 0)]


def test_a_bearing_without_a_free_clocking_has_no_turn() -> None:
    with pytest.raises(ValueError, match="No clocking"):
        turns(side(), free_but((900, 900)), 890, 20)


def test_turns_cover_every_bearing_by_one_that_is_free_and_by_the_fewest(rng: Random) -> None:
    covered = 0
    while covered < 8:
        flags, one = some_flags(rng), side(some_clockings(rng))
        points = datum_points(some_arc(rng))
        free = Free(np.array(flags, dtype=np.bool_))
        if not room(one, free, points).all():
            continue
        found = turns(one, free, int(points[0]), len(points))
        held = [
            ((first + step) % TURN, clocking)
            for first, last, clocking in found
            for step in range((last - first) % TURN + 1)
        ]
        assert [bearing for bearing, _ in held] == points.tolist()
        assert all(flags[(bearing + clocking) % TURN] for bearing, clocking in held)
        assert len(found) == fewest_turns(flags, one, points.tolist())
        covered += 1


def fewest_turns(flags: list[bool], one: Side, points: list[int]) -> int:
    """The fewest by keeping every clocking that may still be the present one."""
    alive: set[int] = set()
    count = 0
    for bearing in points:
        here = {clocking for clocking in one.clockings if flags[(bearing + clocking) % TURN]}
        alive &= here
        if not alive:
            alive = here
            count += 1
    return count


# --- what sectors block -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("sectors", "free"),
    [
        ([(FULL_CIRCLE, 400_000)], [(0, 3_599)]),
        ([(FULL_CIRCLE, 316_228)], [(0, 3_599)]),
        ([(FULL_CIRCLE, 316_227)], []),
        # The gearbox is a can of 70 mm radius about the axis.
        ([(FULL_CIRCLE, 69_998)], []),
        # More than 310 mm out is only its corner (300, 100): from atan(78.10 / 300) = 14.59° off the motor,
        # at its end, to atan(100 / 293.43) = 18.82°, on its side. In 90.0° ... 180.0° that lies for motors
        # from 90.0 - 18.82 = 71.18° to 180.0 - 14.59 = 165.41°.
        ([(Arc(900, 900), 310_000), (Arc(1_800, 2_700), 400_000)], [(1_655, 711)]),
        # The same wall across the bow, at 315.0° ... 45.0°, is met from 296.18° to 30.41°.
        ([(Arc(3_150, 900), 310_000), (Arc(450, 2_700), 400_000)], [(305, 2_961)]),
    ],
)
def test_what_a_wall_blocks(sectors: Sectors, free: list[tuple[int, int]]) -> None:
    found = free_motor_bearings(side(), sectors).flags
    expected = np.zeros(TURN, dtype=np.bool_)
    for first, last in free:
        expected[np.arange(first, last + 1 if first <= last else last + TURN + 1) % TURN] = True
    assert np.flatnonzero(found != expected).tolist() == []


def test_blocked_are_the_bearings_at_which_a_solid_reaches_too_far(rng: Random) -> None:
    """At every tenth, for random solids and sectors, with radii on the very limit among them."""
    mixed = 0
    while mixed < 20:
        solids = some_solids(rng)
        sectors = list(some_sectors(rng, solids))
        free = free_motor_bearings(side(solids=solids), sectors).flags
        by_looking = [not too_far(solids, sectors, motor) for motor in range(TURN)]
        assert np.flatnonzero(free != by_looking).tolist() == [], (solids, sectors)
        mixed += 0 < sum(by_looking) < TURN


def too_far(solids: Iterable[Solid], sectors: Sectors, motor: int) -> bool:
    return any(greatest_radius_um(solids, arc.start - motor, arc.length) > radius for arc, radius in sectors)


def some_sectors(rng: Random, solids: tuple[Solid, ...]) -> Iterator[tuple[Arc, int]]:
    """Up to three sectors; the radii lie about what the solids reach at some angle, or just at it."""
    for _ in range(rng.randint(1, 3)):
        at_some_angle = greatest_radius_um(solids, rng.randrange(TURN), rng.choice((0, 100, TURN)))
        yield some_arc(rng), max(1, at_some_angle + rng.choice((-5_000, -1, 0, 0, 1, 5_000)))


def test_a_core_blocks_every_bearing_at_once() -> None:
    drive = side(solids=(Cylinder(0, 0, 200_000, 0, 1),))
    assert not free_motor_bearings(drive, [(Arc(5, 0), 99_998)]).flags.any()
    assert free_motor_bearings(drive, [(Arc(5, 0), 100_000)]).flags.all()
