"""What each gate has to say of a kit, said once more from the description: one figure for each check.

Nothing here is shared with the gates. Every sum is a whole number. The length and the free radius depend on
the deck and the datum and stand apart (``band``, ``bearings.py``); the other figures of a kit hold for a
place and a corner.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from catalog.resolver.checker.ground import Corner, Ground, Place
from catalog.resolver.checker.power import (
    breaker_figures,
    controller_figures,
    drive_figures,
    switch_figures,
)
from catalog.resolver.checker.rulings import part_figures, ruling_figures, run_figures
from catalog.resolver.checker.values import Figure, fact
from catalog.resolver.kits import Kit, Stack
from catalog.resolver.parts import (
    Adapter,
    Drive,
    DriveHand,
    Hand,
    Lifts,
    Mounting,
    Piece,
    Shaft,
)


def standing_figures(ground: Ground, kit: Kit, place: Place, corner: Corner) -> list[Figure]:
    """Every figure of a kit but those of length and free radius."""
    catalog, core, fill = ground.catalog, kit.core, kit.fill
    adapter, shaft, drive = (
        catalog.adapters[core.adapter],
        catalog.shafts[core.shaft],
        catalog.drives[core.drive],
    )
    return [
        *winch_figures(ground, place),
        *(one for sku in sorted(kit.skus()) for one in part_figures(ground, place, sku)),
        *ruling_figures(ground, place, kit.skus()),
        *mating_figures(ground, kit, place),
        *stack_figures(ground, drive, kit.stack),
        depth_figure(drive, kit.stack.thickness_um, corner),
        footprint_figure(adapter, corner),
        *entry_figures(drive, shaft, corner),
        *drive_figures(ground, drive, place),
        *controller_figures(ground, catalog.controllers[fill.controller], drive, place),
        *breaker_figures(ground, catalog.breakers[fill.breaker], drive),
        *switch_figures(ground, catalog.switches[fill.switch], fill.switches, place),
    ]


# --- the winch, and what mates ----------------------------------------


def winch_figures(ground: Ground, place: Place) -> list[Figure]:
    family = ground.catalog.families[ground.model.family]
    found = [fact("era.replace-only", passed=family.convertible), *run_figures(ground, place)]
    if place.run is not None:
        found.append(fact("reach.plug", passed=not place.plug_stays))
    return found


def takes_base(adapter: Adapter, place: Place) -> bool:
    """Whether an adapter takes the run's base pattern, or a keeper let it pass."""
    allowed = any(one.lifts is Lifts.MATING and one.sku == adapter.sku for one in place.variant.exceptions)
    return place.run is not None and (place.run.base_pattern in adapter.bases or allowed)


def window(shaft: Shaft, drive: Drive, place: Place) -> tuple[int, int] | None:
    """Between which lengths a shaft engages on this run's spindle and this drive; offsets if it is cut."""
    for row in shaft.windows:
        if place.run is not None and (row.spindle, row.coupling) == (place.run.spindle, drive.coupling):
            return row.from_um, row.to_um
    return None


def hands(ground: Ground, drive: Drive) -> set[tuple[Hand, str]]:
    """(hand, handing kit) in which a drive can be had; no kit is the empty text."""
    if drive.hand is not DriveHand.CONVERTIBLE:
        return {(Hand(drive.hand.value), "")}
    other = Hand.RIGHT if drive.supplied_hand is Hand.LEFT else Hand.LEFT
    kits = (one.sku for one in ground.catalog.handing_kits.values() if drive.sku in one.drives)
    return {(drive.supplied_hand, ""), *((other, sku) for sku in kits)}


def mating_figures(ground: Ground, kit: Kit, place: Place) -> Iterator[Figure]:
    catalog, core = ground.catalog, kit.core
    adapter, shaft, drive = (
        catalog.adapters[core.adapter],
        catalog.shafts[core.shaft],
        catalog.drives[core.drive],
    )
    spacers = [catalog.spacers[sku] for sku, _ in kit.stack.spacers]
    yield fact("reach.flange", passed=adapter.flange == drive.flange)
    yield fact("reach.flange", passed=all(one.flange == drive.flange for one in spacers))
    yield fact("reach.handing-kit", passed=(core.hand, core.handing_kit) in hands(ground, drive))
    if place.run is not None:
        yield fact("reach.base-pattern", passed=takes_base(adapter, place))
        yield fact("reach.spindle", passed=window(shaft, drive, place) is not None)


# --- lengths ----------------------------------------


def taken_um(ground: Ground, adapter: str, thickness_um: int) -> int:
    """What lies between winch and drive besides the deck."""
    bedding = ground.question.assumptions.bedding_um
    return ground.catalog.adapters[adapter].thickness_um + thickness_um + bedding


def band(ground: Ground, kit: Kit, place: Place) -> tuple[int, int] | None:
    """The thinnest and the thickest deck on which a kit's shaft engages, cut as it needs; None: on none."""
    shaft, drive = ground.catalog.shafts[kit.core.shaft], ground.catalog.drives[kit.core.drive]
    engages = window(shaft, drive, place)
    if engages is None:
        return None
    return shifted(shaft, engages, taken_um(ground, kit.core.adapter, kit.stack.thickness_um))


def shifted(shaft: Shaft, engages: tuple[int, int], taken: int) -> tuple[int, int] | None:
    """A window as decks. A shaft that is cut moves its window along with every µm of its length."""
    least, most = (shaft.cut_min_um, shaft.cut_max_um) if shaft.cut else (0, 0)
    low, high = engages[0] + least - taken, engages[1] + most - taken
    return (low, high) if engages[0] <= engages[1] and least <= most else None


def length_figures(
    ground: Ground, kit: Kit, place: Place, decks: tuple[int, int], cut_um: int | None
) -> list[Figure]:
    """The length equation: over-engagement judged on the first deck, slipping on the second."""
    shaft, drive = ground.catalog.shafts[kit.core.shaft], ground.catalog.drives[kit.core.drive]
    engages = window(shaft, drive, place)
    if engages is None:
        return []
    found, offset = [], 0
    if shaft.cut:
        offset = cut_um or 0
        found.append(Figure("reach.cut-length", min(offset - shaft.cut_min_um, shaft.cut_max_um - offset)))
    taken = taken_um(ground, kit.core.adapter, kit.stack.thickness_um)
    return [
        *found,
        Figure("reach.length-short", decks[0] + taken - offset - engages[0]),
        Figure("reach.length-long", offset + engages[1] - decks[1] - taken),
    ]


def stack_figures(ground: Ground, drive: Drive, stack: Stack) -> list[Figure]:
    flange = ground.catalog.flanges[drive.flange]
    number = sum(count for _, count in stack.spacers)
    room = [ground.catalog.spacers[sku].max_count - count for sku, count in stack.spacers]
    return [
        Figure("reach.stack-count", min([flange.max_spacers - number, *room])),
        Figure("reach.stack-height", flange.max_stack_um - stack.thickness_um),
    ]


def used_um(drive: Drive, thickness_um: int) -> int:
    """Depth used, from the face that the drive seats on."""
    return max(solid.depth_to_um for solid in drive.solids) + thickness_um + drive.clearance_um


def depth_figure(drive: Drive, thickness_um: int, corner: Corner) -> Figure:
    return Figure("space.depth", corner.depth_um - used_um(drive, thickness_um))


def footprint_figure(adapter: Adapter, corner: Corner) -> Figure:
    return Figure("space.footprint", corner.pad_um - adapter.footprint_um)


# --- getting it in ----------------------------------------


def entry_figures(drive: Drive, shaft: Shaft, corner: Corner) -> list[Figure]:
    standing = shaft.standing_height_um if shaft.mounting is Mounting.CAPTIVE else 0
    tightest = min(
        _passes_by(piece, standing if piece.carries_shaft else 0, corner) for piece in drive.pieces
    )
    return [
        Figure("entry.opening", tightest),
        Figure("entry.offer-up", corner.depth_um - lifted_um(drive, shaft)),
    ]


def lifted_um(drive: Drive, shaft: Shaft) -> int:
    """The depth that it takes to lift the drive, or push the shaft, into place."""
    if shaft.mounting is Mounting.FROM_ABOVE:
        return 0
    below = used_um(drive, 0) - drive.clearance_um if shaft.mounting is Mounting.CAPTIVE else 0
    return below + shaft.standing_height_um


def _passes_by(piece: Piece, standing: int, corner: Corner) -> int:
    """By how much the two smaller sides of a piece pass; through a round opening by their diagonal."""
    sides = [piece.length_um, piece.width_um, piece.height_um + standing]
    sides.remove(max(sides))
    if corner.round:
        squared = sides[0] ** 2 + sides[1] ** 2
        return corner.width_um - (math.isqrt(squared - 1) + 1 if squared else 0)
    return min(
        min(corner.width_um, corner.height_um) - min(sides),
        max(corner.width_um, corner.height_um) - max(sides),
    )
