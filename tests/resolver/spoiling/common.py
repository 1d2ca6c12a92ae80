"""How answers are spoiled: changing one place, and what the gates say is true."""

from dataclasses import replace
from random import Random
from typing import Any

from catalog.resolver import parts
from catalog.resolver.answer import Answer, CoverRow, FailureRow, KitFound
from catalog.resolver.definition import allowed_clockings, bounds
from catalog.resolver.facts import OpeningSize, Survey, World
from catalog.resolver.gates import passes
from catalog.resolver.kits import Case, Kit, Setting, Stack, window_of
from shared.intervals import TURN

SURE = "sure"


# --- changing one place ----------------------------------------


def with_certificate(answer: Answer, **changes: Any) -> Answer:
    return replace(answer, certificate=replace(answer.certificate, **changes))


def with_row(answer: Answer, row: CoverRow, **changes: Any) -> Answer:
    rows = [replace(one, **changes) if one is row else one for one in answer.certificate.cover]
    return with_certificate(answer, cover=tuple(rows))


def with_failure(answer: Answer, row: FailureRow, **changes: Any) -> Answer:
    rows = [replace(one, **changes) if one is row else one for one in answer.certificate.failures]
    return with_certificate(answer, failures=tuple(rows))


def with_kit(answer: Answer, found: KitFound, **changes: Any) -> Answer:
    return replace(
        answer, kits=tuple(replace(one, **changes) if one is found else one for one in answer.kits)
    )


def one_of[T](rng: Random, choices: list[T]) -> T | None:
    return rng.choice(choices) if choices else None


def some_kit(rng: Random, answer: Answer, standing: str | None = None) -> KitFound | None:
    return one_of(rng, [one for one in answer.kits if standing in (None, one.standing)])


# --- what is true, by the gates ----------------------------------------


def tightest(survey: Survey, row: CoverRow, deck: int, datum: int) -> World:
    """The world of a cover's row in which all else is at its worst."""
    said = row.circumstance
    variant = next(
        one
        for one in survey.variants
        if (one.run.code if one.run else None, tuple(ruling.code for ruling in one.exceptions))
        == (said.run, said.exceptions)
    )
    width, height = bounds(survey.opening_width)[0], bounds(survey.opening_height)[0]
    return World(
        variant=variant,
        plug_present=said.plug_present,
        deck_thickness_um=deck,
        depth_below_deck_um=bounds(survey.depth_below_deck)[0],
        free_radius=tuple((sector.arc, bounds(sector.radius)[0]) for sector in survey.sectors),
        datum_ddeg=datum,
        opening=OpeningSize(survey.opening_round, width, height),
        pad_diameter_um=bounds(survey.pad_diameter)[0],
        motor_voltage_mv=said.motor_voltage_mv,
        control_voltage_mv=said.control_voltage_mv,
    )


def band(catalog: parts.Catalog, answer: Answer, kit: Kit, run: str | None) -> tuple[int, int]:
    """Thinnest and thickest deck of a kit on a run, by the length equation."""
    shaft, drive = catalog.shafts[kit.core.shaft], catalog.drives[kit.core.drive]
    window = window_of(shaft, catalog.runs[run or ""].spindle, drive.coupling)
    assert window is not None
    taken = catalog.adapters[kit.core.adapter].thickness_um + kit.stack.thickness_um
    taken += answer.question.assumptions.bedding_um
    return window.from_um + shaft.cut_min_um - taken, window.to_um + shaft.cut_max_um - taken


def any_cut(catalog: parts.Catalog, kit: Kit) -> list[int | None]:
    shaft = catalog.shafts[kit.core.shaft]
    return [*range(shaft.cut_min_um, shaft.cut_max_um + 1, 500)] if shaft.cut else [None]


def fails(catalog: parts.Catalog, answer: Answer, kit: Kit, world: World, clocking: int) -> bool:
    """Whether a kit fails in a world at this clocking, however its shaft is cut."""
    return not any(
        passes(Case(catalog, answer.question, kit, Setting(clocking, cut), world))
        for cut in any_cut(catalog, kit)
    )


def alone(answer: Answer, row: CoverRow, deck: int) -> bool:
    """Whether no other row could stand in for this one on this deck."""
    said = replace(row.circumstance, plug_present=False)
    others = [
        one
        for one in answer.certificate.cover
        if one is not row and replace(one.circumstance, plug_present=False) == said
    ]
    return answer.survey.deck_thickness.contains(deck) and not any(one.deck.contains(deck) for one in others)


def other_clockings(catalog: parts.Catalog, kit: Kit) -> list[int]:
    """Clockings that the drive does not have."""
    allowed = set(allowed_clockings(catalog.drives[kit.core.drive].clockings_ddeg))
    return [one for one in range(0, TURN, 10) if one not in allowed]


def blocked_clockings(catalog: parts.Catalog, answer: Answer, row: CoverRow) -> list[int]:
    """Clockings that the drive has and at which it does not fit on the row's thinnest deck.

    A µm more all round would not help either, so that no rounding is to blame.
    """
    deck, _ = bounds(row.deck)
    world = tightest(answer.survey, row, deck, row.datum_from_ddeg)
    world = replace(world, free_radius=tuple((arc, radius + 1) for arc, radius in world.free_radius))
    allowed = allowed_clockings(catalog.drives[row.kit.core.drive].clockings_ddeg)
    return [one for one in allowed if fails(catalog, answer, row.kit, world, one)]


def restacked(rng: Random, catalog: parts.Catalog, kit: Kit) -> Kit | None:
    """The kit with one spacer exchanged for another of the same flange but not of the same thickness."""
    if not kit.stack.spacers:
        return None
    at = rng.randrange(len(kit.stack.spacers))
    sku, count = kit.stack.spacers[at]
    old = catalog.spacers[sku]
    used = dict(kit.stack.spacers)
    others = [
        one
        for one in catalog.spacers.values()
        if one.flange == old.flange and one.sku not in used and one.thickness_um != old.thickness_um
    ]
    new = one_of(rng, others)
    if new is None:
        return None
    spacers = [*kit.stack.spacers[:at], (new.sku, count), *kit.stack.spacers[at + 1 :]]
    thickness = kit.stack.thickness_um + count * (new.thickness_um - old.thickness_um)
    return replace(kit, stack=Stack(tuple(sorted(spacers)), thickness))
