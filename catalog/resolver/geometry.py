"""How far a drive's solids reach from the shaft's axis. Pure; angles in tenths of a degree, lengths in µm.

In the drive's frame, x points along the motor and y to the right looking down, so an angle counted
clockwise from x is atan2(y, x), and a solid at frame angle a lies at bearing (motor bearing + a) on the
boat. Solids are stated for the right hand; the left mirrors y. Roots and trigonometry are the only inexact
steps: a greatest radius is rounded up to 1 µm, and a stretch of bearings is widened by a hair, so that both
err to the safe side.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

from catalog.resolver.parts import Box, Cylinder, Hand, Solid

TURN = 3_600
HAIR_UM = 1e-3
"""What a computed radius may be above a whole µm by rounding noise and the widening of stretches alone."""
HAIR_DDEG = 1e-7
"""By how much a stretch of bearings is widened at each end."""
DDEG = math.pi / 1_800

FrameArc = tuple[float, float]
"""(start, end) in tenths of a degree, end >= start, not wrapped."""


def mirrored(solid: Solid) -> Solid:
    """The solid with y mirrored, as the left hand has it."""
    if isinstance(solid, Cylinder):
        return Cylinder(solid.x_um, -solid.y_um, solid.diameter_um, solid.depth_from_um, solid.depth_to_um)
    return Box(
        solid.x_from_um,
        solid.x_to_um,
        -solid.y_to_um,
        -solid.y_from_um,
        solid.depth_from_um,
        solid.depth_to_um,
    )


def in_hand(solids: Iterable[Solid], hand: Hand) -> tuple[Solid, ...]:
    """The solids as they lie in this hand."""
    return tuple(mirrored(solid) if hand is Hand.LEFT else solid for solid in solids)


def greatest_radius_um(solids: Iterable[Solid], start_ddeg: int, length_ddeg: int) -> int:
    """The greatest distance from the axis that any solid reaches within a closed stretch of frame angles.

    Rounded up to 1 µm; 0 where no solid reaches into the stretch.
    """
    start, end = start_ddeg - HAIR_DDEG, start_ddeg + length_ddeg + HAIR_DDEG
    return max((math.ceil(_reach(solid, start, end) - HAIR_UM) for solid in solids), default=0)


def core_radius_um(solids: Iterable[Solid]) -> int:
    """The radius of the largest circle round the axis that one solid holds; 0 where none holds the axis."""
    found = [0]
    for solid in solids:
        if isinstance(solid, Cylinder):
            found.append(solid.diameter_um // 2 - math.isqrt(solid.x_um**2 + solid.y_um**2) - 1)
        else:
            found.append(min(-solid.x_from_um, solid.x_to_um, -solid.y_from_um, solid.y_to_um))
    return max(found)


def _reach(solid: Solid, start: float, end: float) -> float:
    """The farthest point of a solid in the stretch lies on one of its bounds or at a corner in it."""
    if isinstance(solid, Cylinder):
        inside = [_cylinder_peak(solid)] if _within(_angle(solid.x_um, solid.y_um), start, end) else []
        return max([*inside, _cylinder_at(solid, start), _cylinder_at(solid, end)])
    corners = [math.hypot(x, y) for x, y in box_corners(solid) if _within(_angle(x, y), start, end)]
    return max([*corners, _box_at(solid, start), _box_at(solid, end)])


def _angle(x: int, y: int) -> float:
    return math.atan2(y, x) / DDEG


def _within(angle: float, start: float, end: float) -> bool:
    return (angle - start) % TURN <= end - start


def box_corners(box: Box) -> tuple[tuple[int, int], ...]:
    return (
        (box.x_from_um, box.y_from_um),
        (box.x_from_um, box.y_to_um),
        (box.x_to_um, box.y_to_um),
        (box.x_to_um, box.y_from_um),
    )


def _cylinder_peak(cylinder: Cylinder) -> float:
    return math.hypot(cylinder.x_um, cylinder.y_um) + cylinder.diameter_um / 2


def _cylinder_at(cylinder: Cylinder, angle: float) -> float:
    """How far along the ray at ``angle`` a cylinder reaches; 0 where the ray misses it."""
    along = cylinder.x_um * math.cos(angle * DDEG) + cylinder.y_um * math.sin(angle * DDEG)
    across = cylinder.x_um * math.sin(angle * DDEG) - cylinder.y_um * math.cos(angle * DDEG)
    chord = (cylinder.diameter_um / 2) ** 2 - across**2
    return max(0.0, along + math.sqrt(chord)) if chord >= 0 else 0.0


def _box_at(box: Box, angle: float) -> float:
    """How far along the ray at ``angle`` a box reaches; 0 where the ray misses it."""
    near, far = 0.0, math.inf
    spans = (
        (math.cos(angle * DDEG), box.x_from_um, box.x_to_um),
        (math.sin(angle * DDEG), box.y_from_um, box.y_to_um),
    )
    for slope, low, high in spans:
        if abs(slope) < 1e-15:
            if not low <= 0 <= high:
                return 0.0
            continue
        one, other = low / slope, high / slope
        near, far = max(near, min(one, other)), min(far, max(one, other))
    return far if far >= near and far < math.inf else 0.0


# The reverse question: at which frame angles is a radius exceeded? --------------------------------


def beyond(solids: Iterable[Solid], radius_um: int) -> list[FrameArc]:
    """The stretches of frame angles at which some solid reaches beyond ``radius_um``."""
    limit = radius_um + HAIR_UM
    arcs: list[FrameArc] = []
    for solid in solids:
        arcs += _cylinder_beyond(solid, limit) if isinstance(solid, Cylinder) else _box_beyond(solid, limit)
    return arcs


def _cylinder_beyond(cylinder: Cylinder, limit: float) -> list[FrameArc]:
    centre, radius = math.hypot(cylinder.x_um, cylinder.y_um), cylinder.diameter_um / 2
    if centre + radius <= limit:
        return []
    if centre < radius and radius - centre > limit:
        return [(0.0, float(TURN))]
    tangent = math.sqrt(centre**2 - radius**2) if centre > radius else 0.0
    if limit <= tangent:
        half = math.asin(radius / centre)
    else:
        half = math.acos(max(-1.0, min(1.0, (centre**2 + limit**2 - radius**2) / (2 * centre * limit))))
    middle = _angle(cylinder.x_um, cylinder.y_um)
    return [(middle - half / DDEG, middle + half / DDEG)]


def _box_beyond(box: Box, limit: float) -> list[FrameArc]:
    """A ray leaves a box through an edge that faces away from the axis; on it the far parts lie at its
    ends.
    """
    edges = (
        (box.x_to_um, 0.0, box.y_from_um, box.y_to_um),
        (box.y_to_um, 900.0, -box.x_to_um, -box.x_from_um),
        (-box.x_from_um, 1_800.0, -box.y_to_um, -box.y_from_um),
        (-box.y_from_um, 2_700.0, box.x_from_um, box.x_to_um),
    )
    arcs: list[FrameArc] = []
    for out, facing, low, high in edges:
        if out <= 0 or max(math.hypot(out, low), math.hypot(out, high)) <= limit:
            continue
        near = math.sqrt(limit**2 - out**2) if limit > out else 0.0
        if near == 0.0 or low > near or high < -near:
            spans: list[tuple[float, float]] = [(low, high)]
        else:
            spans = [(low, -near)] * (low < -near) + [(near, high)] * (high > near)
        arcs += [
            (facing + math.atan2(one, out) / DDEG, facing + math.atan2(other, out) / DDEG)
            for one, other in spans
        ]
    return arcs


def blocked_bearings(
    solids: Iterable[Solid], start_ddeg: int, length_ddeg: int, radius_um: int
) -> list[tuple[int, int]]:
    """Motor bearings, as stretches (first, last) of whole tenths not wrapped, at which a solid exceeds a
    sector's radius.

    With the motor at bearing m a frame angle a lies at m + a, so the stretch (low, high) meets the sector
    from ``start`` over ``length`` for every m in start - high .. start + length - low.
    """
    return [
        (math.ceil(start_ddeg - high - HAIR_DDEG), math.floor(start_ddeg + length_ddeg - low + HAIR_DDEG))
        for low, high in beyond(solids, radius_um)
    ]
