"""Spoiling the two worlds of a depends."""

from dataclasses import replace
from random import Random
from typing import Any

from catalog.resolver import parts
from catalog.resolver.answer import Answer
from catalog.resolver.definition import bounds
from catalog.resolver.facts import Survey, World
from catalog.resolver.gates import passes
from catalog.resolver.kits import Case
from shared.intervals import TURN
from tests.resolver.spoiling.common import one_of, other_clockings, with_certificate


def failing_world_passes(rng: Random, catalog: parts.Catalog, answer: Answer) -> Answer | None:
    passing = answer.certificate.passing
    return None if passing is None else with_certificate(answer, failing=passing[0])


def passing_world_fails(rng: Random, catalog: parts.Catalog, answer: Answer) -> Answer | None:
    passing, failing = answer.certificate.passing, answer.certificate.failing
    if passing is None or failing is None:
        return None
    return with_certificate(answer, passing=(failing, *passing[1:]))


def passing_world_outside(rng: Random, catalog: parts.Catalog, answer: Answer) -> Answer | None:
    passing = answer.certificate.passing
    if passing is None:
        return None
    return with_certificate(answer, passing=(_outside(rng, answer.survey, passing[0]), *passing[1:]))


def failing_world_outside(rng: Random, catalog: parts.Catalog, answer: Answer) -> Answer | None:
    failing = answer.certificate.failing
    if failing is None:
        return None
    return with_certificate(answer, failing=_outside(rng, answer.survey, failing))


def _outside(rng: Random, survey: Survey, world: World) -> World:
    """The world with one fact just beyond the survey's bounds."""
    (arc, _), *others = world.free_radius
    first = survey.sectors[0].radius
    turned = (survey.datum.start - 1) % TURN
    changes: list[dict[str, Any]] = [
        {"deck_thickness_um": bounds(survey.deck_thickness)[1] + 1},
        {"deck_thickness_um": bounds(survey.deck_thickness)[0] - 1},
        {"depth_below_deck_um": bounds(survey.depth_below_deck)[1] + 1},
        {"pad_diameter_um": bounds(survey.pad_diameter)[0] - 1},
        {"free_radius": ((arc, bounds(first)[1] + 1), *others)},
        {"opening": replace(world.opening, round=not world.opening.round)},
        {"motor_voltage_mv": 36_000},
        *([{"datum_ddeg": turned}] if not survey.datum.is_full else []),
    ]
    return replace(world, **rng.choice(changes))


def passing_kit_fails(rng: Random, catalog: parts.Catalog, answer: Answer) -> Answer | None:
    """In the passing world, the kit with another device or stack, with which the gates say it fails."""
    passing = answer.certificate.passing
    if passing is None:
        return None
    world, kit, setting = passing
    others = [replace(kit, fill=replace(kit.fill, controller=sku)) for sku in catalog.controllers]
    others += [replace(kit, fill=replace(kit.fill, breaker=sku)) for sku in catalog.breakers]
    others += [replace(kit, core=replace(kit.core, adapter=sku)) for sku in catalog.adapters]
    others += [replace(kit, core=replace(kit.core, shaft=sku)) for sku in catalog.shafts]
    failing = [one for one in others if not passes(Case(catalog, answer.question, one, setting, world))]
    other = one_of(rng, failing)
    return None if other is None else with_certificate(answer, passing=(world, other, setting))


def passing_clocking_not_the_drives(rng: Random, catalog: parts.Catalog, answer: Answer) -> Answer | None:
    passing = answer.certificate.passing
    others = [] if passing is None else other_clockings(catalog, passing[1])
    if passing is None or not others:
        return None
    world, kit, setting = passing
    return with_certificate(answer, passing=(world, kit, replace(setting, clocking_ddeg=rng.choice(others))))


def passing_cut_wrong(rng: Random, catalog: parts.Catalog, answer: Answer) -> Answer | None:
    """The shaft cut shorter than it may be."""
    passing = answer.certificate.passing
    if passing is None:
        return None
    world, kit, setting = passing
    shaft = catalog.shafts[kit.core.shaft]
    cut = shaft.cut_min_um - 1 if shaft.cut else 30_000
    return with_certificate(answer, passing=(world, kit, replace(setting, cut_length_um=cut)))
