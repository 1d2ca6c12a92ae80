"""Reach: do the parts mate, and does the shaft engage? The length equation, with both margins.

L, from the winch's base plane to the drive's flange face, is adapter (signed) + deck + spacers + bedding.
It must lie in the window stated for (shaft, spindle, coupling): shorter, and the coupling is over-engaged
and the handle cannot uncouple; longer, and it slips. Worked example: adapter 12 mm, deck 38 mm, one spacer
of 10 mm, bedding 0: L = 60 mm; in a window of 55 .. 66 mm the margins are 5 mm and 6 mm.
"""

from __future__ import annotations

from catalog.resolver.facts import Direction
from catalog.resolver.kits import Case, Check, hands_of, verdict_check, window_of
from catalog.resolver.parts import Lifts, Plug, Run, ShaftWindow

READS = {"variant": Direction.SET, "plug_present": Direction.SET, "deck_thickness_um": Direction.BOTH}


def reach(case: Case) -> list[Check]:
    checks = [*_drive_side(case), *_stack(case)]
    if case.run is None:
        return checks
    checks += _winch_side(case, case.run)
    window = window_of(case.shaft, case.run.spindle, case.drive.coupling)
    facts = {"shaft": case.shaft.sku, "spindle": case.run.spindle, "coupling": case.drive.coupling}
    checks.append(verdict_check("reach", "spindle", passed=window is not None, **facts))
    return checks if window is None else checks + _length(case, window)


def _winch_side(case: Case, run: Run) -> list[Check]:
    mates = run.base_pattern in case.adapter.bases or any(
        one.lifts is Lifts.MATING and one.sku == case.adapter.sku for one in case.world.variant.exceptions
    )
    stays = case.world.plug_present and run.plug is not Plug.NONE and not run.plug_removable
    return [
        verdict_check(
            "reach", "base-pattern", passed=mates, adapter=case.adapter.sku, base_pattern=run.base_pattern
        ),
        verdict_check("reach", "plug", passed=not stays, plug=run.plug.value, note=run.plug_note),
    ]


def _drive_side(case: Case) -> list[Check]:
    core, flange = case.kit.core, case.drive.flange
    kits = [core.handing_kit] if core.handing_kit in case.catalog.handing_kits else []
    had = (core.hand, core.handing_kit) in set(hands_of(case.catalog, case.drive, kits))
    spacers = [case.catalog.spacers[sku] for sku, _ in case.kit.stack.spacers]
    return [
        verdict_check(
            "reach", "flange", passed=case.adapter.flange == flange, part=case.adapter.sku, flange=flange
        ),
        verdict_check(
            "reach",
            "flange",
            passed=all(one.flange == flange for one in spacers),
            part="spacers",
            flange=flange,
        ),
        verdict_check("reach", "handing-kit", passed=had, drive=case.drive.sku, hand=core.hand.value),
    ]


def _stack(case: Case) -> list[Check]:
    stack, flange = case.kit.stack, case.catalog.flanges[case.drive.flange]
    room = [case.catalog.spacers[sku].max_count - count for sku, count in stack.spacers]
    facts = {"flange": flange.code, "count": stack.count}
    thick = {"flange": flange.code, "thickness_um": stack.thickness_um, "most_um": flange.max_stack_um}
    return [
        Check("reach", "stack-count", min([flange.max_spacers - stack.count, *room]), "count", facts),
        Check("reach", "stack-height", flange.max_stack_um - stack.thickness_um, "um", thick),
    ]


def _length(case: Case, window: ShaftWindow) -> list[Check]:
    shaft, cut = case.shaft, case.setting.cut_length_um
    length = (
        case.adapter.thickness_um
        + case.world.deck_thickness_um
        + case.kit.stack.thickness_um
        + case.question.assumptions.bedding_um
    )
    checks = []
    offset = 0
    if shaft.cut:
        offset = cut or 0
        within = min(offset - shaft.cut_min_um, shaft.cut_max_um - offset)
        checks.append(Check("reach", "cut-length", within, "um", {"shaft": shaft.sku, "cut_um": offset}))
    low, high = offset + window.from_um, offset + window.to_um
    facts = {"shaft": shaft.sku, "length_um": length, "from_um": low, "to_um": high}
    return [
        *checks,
        Check("reach", "length-short", length - low, "um", facts),
        Check("reach", "length-long", high - length, "um", facts),
    ]
