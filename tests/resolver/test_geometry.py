"""How far solids reach: by hand, and against a general geometry library as a second opinion."""

import math
from random import Random

import pytest
from shapely import LineString, Point, Polygon, box
from shapely.geometry.base import BaseGeometry

from catalog.resolver.geometry import core_radius_um, greatest_radius_um, in_hand, mirrored
from catalog.resolver.parts import Box, Cylinder, Hand, Solid
from shared.intervals import TURN
from tests.resolver.solids import some_arc, some_solid, some_solids

# --- by hand ----------------------------------------------------------------------------------------------

MOTOR = Box(0, 300_000, -20_000, 100_000, 0, 1)
"""Its far corners: (300, 100) mm is 316.228 mm out at 18.43°, (300, -20) mm is 300.666 mm out at -3.81°."""
CAN = Cylinder(60_000, 0, 40_000, 0, 1)
"""From 40 to 80 mm on the motor's axis; the rays that touch it lie at asin(20 / 60) = 19.47°."""


@pytest.mark.parametrize(
    ("solid", "start", "length", "radius"),
    [
        (MOTOR, 0, 3_600, 316_228),
        (MOTOR, 184, 1, 316_228),  # 18.4° ... 18.5° holds the corner
        (MOTOR, 3_550, 50, 300_666),  # 355° ... 360° holds the other
        (MOTOR, 0, 0, 300_000),
        (MOTOR, 450, 0, 141_422),  # it leaves through its side: 100 / sin 45°
        (MOTOR, 900, 0, 100_000),
        (MOTOR, 2_700, 0, 20_000),
        (MOTOR, 1_800, 0, 0),  # its back lies on the axis: nothing of it is behind
        (MOTOR, 901, 1_798, 0),
        (MOTOR, 3_400, 450, 316_228),  # from 340° through 0° to 25°
        (MOTOR, 250, 3_150, 236_621),  # all the rest: 100 / sin 25°
        (CAN, 0, 3_600, 80_000),
        (CAN, 3_590, 20, 80_000),
        (CAN, 194, 0, 58_270),  # just before it is missed: 60 cos 19.4° + sqrt(20² - (60 sin 19.4°)²)
        (CAN, 195, 3_210, 0),
        (Cylinder(0, 0, 140_000, 0, 1), 1_234, 0, 70_000),
        (Cylinder(0, 0, 140_001, 0, 1), 1_234, 0, 70_001),  # half a µm is rounded up
        (Cylinder(-30_000, -40_000, 20_000, 0, 1), 2_250, 300, 60_000),  # at 233.1°, 50 + 10 mm out
    ],
)
def test_a_radius_by_hand(solid: Solid, start: int, length: int, radius: int) -> None:
    assert greatest_radius_um([solid], start, length) == radius


def test_the_farthest_of_several_counts_and_none_reach_nowhere() -> None:
    assert greatest_radius_um([CAN, MOTOR], 0, TURN) == 316_228
    assert greatest_radius_um([], 0, TURN) == 0


def test_the_left_hand_is_the_mirror() -> None:
    assert in_hand([MOTOR, CAN], Hand.LEFT) == (Box(0, 300_000, -100_000, 20_000, 0, 1), CAN)
    assert in_hand([MOTOR], Hand.RIGHT) == in_hand([MOTOR], Hand.NONE) == (MOTOR,)
    off_axis = Cylinder(10_000, 5_000, 20_000, 0, 1)
    assert mirrored(off_axis) == Cylinder(10_000, -5_000, 20_000, 0, 1)


def test_what_the_right_hand_reaches_the_left_reaches_on_the_other_side(rng: Random) -> None:
    for _ in range(500):
        solids, arc = some_solids(rng), some_arc(rng)
        right = greatest_radius_um(in_hand(solids, Hand.RIGHT), arc.start, arc.length)
        left = greatest_radius_um(in_hand(solids, Hand.LEFT), -arc.start - arc.length, arc.length)
        assert left == right, (solids, arc)


def test_turning_by_whole_turns_changes_nothing(rng: Random) -> None:
    for _ in range(500):
        solids, arc, turns = some_solids(rng), some_arc(rng), rng.choice((-2, -1, 1, 2))
        here = greatest_radius_um(solids, arc.start, arc.length)
        assert abs(greatest_radius_um(solids, arc.start + turns * TURN, arc.length) - here) <= 1, (
            solids,
            arc,
        )


def test_a_core_is_reached_at_every_bearing(rng: Random) -> None:
    cores = 0
    for _ in range(200):
        solids = some_solids(rng)
        core = core_radius_um(solids)
        cores += core > 0
        assert all(greatest_radius_um(solids, angle, 0) >= core for angle in range(0, TURN, 7))
    assert cores > 20


@pytest.mark.parametrize(
    ("solid", "core"),
    [
        (Cylinder(0, 0, 140_000, 0, 1), 69_999),  # a µm less, for what its root may round off
        (Cylinder(30_000, 40_000, 140_000, 0, 1), 19_999),
        (Box(-20_000, 300_000, -30_000, 100_000, 0, 1), 20_000),
        (MOTOR, 0),
        (CAN, 0),
    ],
)
def test_a_core_by_hand(solid: Solid, core: int) -> None:
    assert core_radius_um([solid]) == core


# --- a second opinion -------------------------------------------------------------------------------------

FAR_UM = 4_000_000
TOLERANCE_UM = 2
LITTLE_DDEG = 1e-5
CORNERS_A_QUARTER = 4_096


def test_a_general_geometry_finds_the_same_within_2_micrometres(rng: Random) -> None:
    """Ours lies between what it sees in the stretch and what it sees in one wider by a millionth of a degree.

    The two differ only where a solid and a bound no more than touch.
    """
    same = reached = 0
    for _ in range(600):
        solid, arc = some_solid(rng), some_arc(rng)
        ours = greatest_radius_um([solid], arc.start, arc.length)
        least = reach(outline(solid, around=False), arc.start, arc.length)
        wider = (arc.start - LITTLE_DDEG, min(arc.length + 2 * LITTLE_DDEG, TURN))
        most = reach(outline(solid, around=True), *wider)
        assert least - TOLERANCE_UM <= ours <= most + TOLERANCE_UM, (solid, arc, least, ours, most)
        same += most - least <= TOLERANCE_UM
        reached += ours > 0
    assert same > 500
    assert reached > 300


def outline(solid: Solid, *, around: bool) -> BaseGeometry:
    """The solid seen from above; a circle as a polygon of many corners, within it or ``around`` it."""
    if isinstance(solid, Box):
        return box(solid.x_from_um, solid.y_from_um, solid.x_to_um, solid.y_to_um)
    radius = solid.diameter_um / 2 / (math.cos(math.pi / 4 / CORNERS_A_QUARTER) if around else 1)
    return Point(solid.x_um, solid.y_um).buffer(radius, quad_segs=CORNERS_A_QUARTER)


def reach(shape: BaseGeometry, start: float, length: float) -> float:
    """The farthest vertex of what a stretch of angles leaves of a shape."""
    if length < TURN:
        shape = shape.intersection(fan(start, length))
    parts = getattr(shape, "geoms", [shape])
    points = [point for part in parts for point in vertices(part)]
    return max((math.hypot(x, y) for x, y in points), default=0.0)


def fan(start: float, length: float) -> BaseGeometry:
    rim = [bearing(start + length * step / 40) for step in range(41 if length else 1)]
    return Polygon([(0, 0), *rim]) if length else LineString([(0, 0), *rim])


def bearing(ddeg: float) -> tuple[float, float]:
    angle = math.radians(ddeg / 10)
    return FAR_UM * math.cos(angle), FAR_UM * math.sin(angle)


def vertices(part: BaseGeometry) -> list[tuple[float, float]]:
    coordinates = part.exterior.coords if isinstance(part, Polygon) else part.coords
    return [(x, y) for x, y in coordinates]
