"""Space: does the drive fit under the deck, in this hand and at this clocking, and the adapter on the pad?

Depth used is counted from the underside of the deck: spacers + the drive's height below its flange + its
stated clearance. Round the shaft, in every sector of the survey, the greatest radius that a solid reaches
within the sector must not exceed the free radius there. Worked example: spacers 10 mm + drive 205 mm +
clearance 15 mm use 230 mm; 240 mm below the deck leave a margin of 10 mm.
"""

from __future__ import annotations

from catalog.resolver.facts import Direction
from catalog.resolver.geometry import greatest_radius_um, in_hand
from catalog.resolver.kits import Case, Check

READS = {
    "depth_below_deck_um": Direction.MORE,
    "free_radius": Direction.MORE,
    "pad_diameter_um": Direction.MORE,
    "datum_ddeg": Direction.BOTH,
}


def space(case: Case) -> list[Check]:
    return [_depth(case), _free_radius(case), _footprint(case)]


def _depth(case: Case) -> Check:
    stack, drive = case.kit.stack, case.drive
    used = stack.thickness_um + drive.height_um + drive.clearance_um
    facts = {
        "drive": drive.sku,
        "stack_um": stack.thickness_um,
        "height_um": drive.height_um,
        "clearance_um": drive.clearance_um,
        "used_um": used,
    }
    return Check("space", "depth", case.world.depth_below_deck_um - used, "um", facts)


def _free_radius(case: Case) -> Check:
    """The sector with the smallest margin speaks for all."""
    solids = in_hand(case.drive.solids, case.kit.core.hand)
    motor = (case.world.datum_ddeg + case.setting.clocking_ddeg) % 3_600
    found = []
    for arc, radius in case.world.free_radius:
        reached = greatest_radius_um(solids, arc.start - motor, arc.length)
        found.append((radius - reached, arc, reached))
    margin, arc, reached = min(found, key=lambda one: (one[0], one[1].start))
    facts = {
        "drive": case.drive.sku,
        "hand": case.kit.core.hand.value,
        "motor_bearing_ddeg": motor,
        "from_ddeg": arc.start,
        "to_ddeg": arc.start + arc.length,
        "reached_um": reached,
    }
    return Check("space", "free-radius", margin, "um", facts)


def _footprint(case: Case) -> Check:
    footprint = case.adapter.footprint_um
    facts = {"adapter": case.adapter.sku, "footprint_um": footprint}
    return Check("space", "footprint", case.world.pad_diameter_um - footprint, "um", facts)
