"""How far a drive's solids reach from the shaft's axis within a stretch of bearings.

The stretch is cut into wedges of at most half a turn, and a wedge is the meeting of three half planes
through the axis. A rectangle is clipped by them one after the other, and the farthest vertex that is left
counts. Of a circle each half plane leaves an arc; of the points where all arcs hold, the one nearest to the
circle's farthest point counts. Lengths in µm, bearings in tenths of a degree, clockwise from x over y.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import cache

from catalog.resolver.parts import Box, Cylinder, Hand, Solid

TURN = 3_600
HALF_TURN = 1_800
QUARTER_TWENTIETHS = 1_800
HAIR_UM = 1e-6
"""What still counts as lying in a closed half plane, against noise in the last digits."""
RADIANS = math.pi / HALF_TURN

Point = tuple[float, float]
Normal = tuple[float, float]


def farthest_um(solid: Solid, hand: Hand, start: int, length: int) -> float:
    """The greatest distance from the axis of a point of the solid in a closed stretch; 0 without one."""
    side = -1 if hand is Hand.LEFT else 1
    if isinstance(solid, Cylinder):
        centre, radius = (solid.x_um, side * solid.y_um), solid.diameter_um / 2
        return max(_circle_in(centre, radius, wedge) for wedge in _wedges(start, length))
    corners = _corners(solid, side)
    return max(_polygon_in(corners, wedge) for wedge in _wedges(start, length))


def _wedges(start: int, length: int) -> Iterator[tuple[Normal, ...]]:
    """Half planes by their inward normals. The full circle has no bounds at all."""
    if length >= TURN:
        yield ()
        return
    while length > HALF_TURN:
        yield _wedge(start, HALF_TURN)
        start, length = start + HALF_TURN, length - HALF_TURN
    yield _wedge(start, length)


def _wedge(start: int, length: int) -> tuple[Normal, ...]:
    """Clockwise of the first ray, not clockwise of the last one, and not behind the axis."""
    first, last, middle = (
        _unit(twentieths % (2 * TURN)) for twentieths in (2 * start, 2 * (start + length), 2 * start + length)
    )
    return (-first[1], first[0]), (last[1], -last[0]), middle


@cache
def _unit(twentieths: int) -> Point:
    """The direction of a bearing of so many twentieths of a degree, below 7200; exact at right angles."""
    quarter, rest = divmod(twentieths, QUARTER_TWENTIETHS)
    x, y = math.cos(rest * RADIANS / 2), math.sin(rest * RADIANS / 2)
    for _ in range(quarter):
        x, y = -y, x
    return x, y


def _inside(point: Point, normal: Normal) -> float:
    return point[0] * normal[0] + point[1] * normal[1]


# --- rectangles ----------------------------------------


def _corners(box: Box, side: int) -> list[Point]:
    xs, ys = (box.x_from_um, box.x_to_um), (side * box.y_from_um, side * box.y_to_um)
    return [(xs[0], ys[0]), (xs[1], ys[0]), (xs[1], ys[1]), (xs[0], ys[1])]


def _polygon_in(polygon: list[Point], wedge: tuple[Normal, ...]) -> float:
    for normal in wedge:
        polygon = _clipped(polygon, normal)
    return max((math.hypot(x, y) for x, y in polygon), default=0.0)


def _clipped(polygon: list[Point], normal: Normal) -> list[Point]:
    """What a half plane leaves of a convex polygon; a single vertex or edge on its bound stays."""
    left: list[Point] = []
    for point, following in zip(polygon, polygon[1:] + polygon[:1], strict=True):
        here, there = _inside(point, normal), _inside(following, normal)
        if here >= -HAIR_UM:
            left.append(point)
        if min(here, there) < -HAIR_UM and max(here, there) > HAIR_UM:
            share = here / (here - there)
            left.append(
                (point[0] + share * (following[0] - point[0]), point[1] + share * (following[1] - point[1]))
            )
    return left


# --- circles ----------------------------------------


def _circle_in(centre: Point, radius: float, wedge: tuple[Normal, ...]) -> float:
    """The farthest point of a disc in a wedge lies on its rim: the nearest one to the rim's farthest."""
    if not any(centre):
        return radius
    outward = math.atan2(centre[1], centre[0])
    candidates = [outward]
    for normal in wedge:
        height = _inside(centre, normal)
        if height < -radius - HAIR_UM:
            return 0.0
        if height < radius:
            half = math.acos(max(-1.0, -height / radius))
            facing = math.atan2(normal[1], normal[0])
            candidates += [facing - half, facing + half]
    found = 0.0
    for angle in candidates:
        point = (centre[0] + radius * math.cos(angle), centre[1] + radius * math.sin(angle))
        if all(_inside(point, normal) >= -HAIR_UM for normal in wedge):
            found = max(found, math.hypot(*point))
    return found
