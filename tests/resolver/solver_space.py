"""Whether a drive's solids leave the surroundings free, by shapely: a second opinion on roots and angles.

Everything is laid out in the drive's own frame with the motor along x. Bearings turn clockwise seen from
above, and so do the frame's angles from x over y, so that in this plane a sector of bearings is simply
turned back by the motor's.
"""

from collections.abc import Iterable, Mapping
from functools import lru_cache
from math import cos, radians, sin
from typing import Any

import numpy as np
from shapely import Point, Polygon, box, get_coordinates
from shapely.affinity import scale
from shapely.geometry.base import BaseGeometry

from catalog.resolver.parts import Box, Hand, Solid

FAR_MM = 10_000.0
HAIR_DEG = 1e-8
"""A sector's bounds belong to it: what lies on one must not be lost to rounding."""
LENIENT_MM, STRICT_MM = 0.0005, -0.0015
"""Two readings of "within the free radius": what takes a root or an angle may be rounded up by 1 µm."""


def fits_at(
    solids: tuple[Solid, ...], hand: Hand, clocking_ddeg: int, survey: Mapping[str, Any], tolerance_mm: float
) -> bool:
    """Whether in every sector of a fixed world the solids stay within the free radius."""
    motor = survey["datum_bearing"]["value"] + clocking_ddeg / 10
    return all(
        reach_mm(solids, hand, round(10 * (sector["from"] - motor)) % 3_600, _width_ddeg(sector))
        <= sector["radius"]["value"] + tolerance_mm
        for sector in survey["free_radius"]
    )


def _width_ddeg(sector: Mapping[str, Any]) -> int:
    return round(10 * (sector["to"] - sector["from"])) % 3_600 or 3_600


@lru_cache(maxsize=50_000)
def reach_mm(solids: tuple[Solid, ...], hand: Hand, start_ddeg: int, width_ddeg: int) -> float:
    """How far from the axis the solids reach between two angles of the drive's frame."""
    wedge = _wedge(start_ddeg / 10 - HAIR_DEG, width_ddeg / 10 + 2 * HAIR_DEG)
    return max(_farthest(_shape(solid, hand).intersection(wedge)) for solid in solids)


def _farthest(shape: BaseGeometry) -> float:
    corners = get_coordinates(shape)
    return float(np.hypot(corners[:, 0], corners[:, 1]).max(initial=0.0))


@lru_cache(maxsize=1_000)
def _shape(solid: Solid, hand: Hand) -> BaseGeometry:
    if isinstance(solid, Box):
        edges = (solid.x_from_um, solid.y_from_um, solid.x_to_um, solid.y_to_um)
        left, near, right, far = (edge / 1_000 for edge in edges)
        shape: BaseGeometry = box(left, near, right, far)
    else:
        shape = Point(solid.x_um / 1_000, solid.y_um / 1_000).buffer(solid.diameter_um / 2_000, quad_segs=400)
    return scale(shape, yfact=-1, origin=(0, 0)) if hand is Hand.LEFT else shape


def _wedge(start_deg: float, width_deg: float) -> BaseGeometry:
    if width_deg >= 360:
        return Point(0, 0).buffer(FAR_MM)
    steps = 1 + int(width_deg // 10)
    return Polygon([(0.0, 0.0), *_rim(start_deg + width_deg * step / steps for step in range(steps + 1))])


def _rim(angles: Iterable[float]) -> Iterable[tuple[float, float]]:
    return ((FAR_MM * cos(radians(angle)), FAR_MM * sin(radians(angle))) for angle in angles)
