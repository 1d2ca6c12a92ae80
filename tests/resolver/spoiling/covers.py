"""Spoiling the cover of a yes."""

from dataclasses import replace
from random import Random

from catalog.resolver import parts
from catalog.resolver.answer import Answer, CoverRow
from catalog.resolver.definition import bounds
from shared.intervals import TURN, Interval
from tests.resolver.spoiling.common import (
    alone,
    band,
    blocked_clockings,
    fails,
    one_of,
    other_clockings,
    restacked,
    some_kit,
    tightest,
    with_certificate,
    with_kit,
    with_row,
)


def _row(rng: Random, answer: Answer) -> CoverRow | None:
    return one_of(rng, list(answer.certificate.cover))


def stretch_shortened(rng: Random, catalog: parts.Catalog, answer: Answer) -> Answer | None:
    row = _row(rng, answer)
    if row is None or row.deck.is_point or not alone(answer, row, bounds(row.deck)[1]):
        return None
    low, high = bounds(row.deck)
    return with_row(answer, row, deck=Interval(low, high - 1))


def stretch_begins_later(rng: Random, catalog: parts.Catalog, answer: Answer) -> Answer | None:
    row = _row(rng, answer)
    if row is None or row.deck.is_point or not alone(answer, row, bounds(row.deck)[0]):
        return None
    low, high = bounds(row.deck)
    return with_row(answer, row, deck=Interval(low + 1, high))


def stretch_beyond_the_band(rng: Random, catalog: parts.Catalog, answer: Answer) -> Answer | None:
    row = _row(rng, answer)
    if row is None:
        return None
    _, thickest = band(catalog, answer, row.kit, row.circumstance.run)
    return with_row(answer, row, deck=Interval(row.deck.low, thickest + 1))


def cover_row_dropped(rng: Random, catalog: parts.Catalog, answer: Answer) -> Answer | None:
    row = _row(rng, answer)
    if row is None or not alone(answer, row, bounds(row.deck)[0]):
        return None
    return with_certificate(answer, cover=tuple(one for one in answer.certificate.cover if one is not row))


def datum_shortened(rng: Random, catalog: parts.Catalog, answer: Answer) -> Answer | None:
    row = _row(rng, answer)
    if row is None or row.datum_from_ddeg == row.datum_to_ddeg or not alone(answer, row, bounds(row.deck)[0]):
        return None
    return with_row(answer, row, datum_to_ddeg=(row.datum_to_ddeg - 1) % TURN)


def clocking_blocked(rng: Random, catalog: parts.Catalog, answer: Answer) -> Answer | None:
    row = _row(rng, answer)
    blocked = [] if row is None else blocked_clockings(catalog, answer, row)
    if row is None or not blocked:
        return None
    return with_row(answer, row, clocking_ddeg=rng.choice(blocked))


def clocking_not_the_drives(rng: Random, catalog: parts.Catalog, answer: Answer) -> Answer | None:
    row = _row(rng, answer)
    others = [] if row is None else other_clockings(catalog, row.kit)
    return None if row is None or not others else with_row(answer, row, clocking_ddeg=rng.choice(others))


def cover_spacer_swapped(rng: Random, catalog: parts.Catalog, answer: Answer) -> Answer | None:
    """Another stack in the row: one with which the kit fails on the row's thinnest deck."""
    row = _row(rng, answer)
    kit = None if row is None else restacked(rng, catalog, row.kit)
    if row is None or kit is None:
        return None
    world = tightest(answer.survey, row, bounds(row.deck)[0], row.datum_from_ddeg)
    return with_row(answer, row, kit=kit) if fails(catalog, answer, kit, world, row.clocking_ddeg) else None


def covering_kit_unlisted(rng: Random, catalog: parts.Catalog, answer: Answer) -> Answer | None:
    found = one_of(rng, [one for one in answer.kits if one.in_cover])
    if found is None:
        return None
    return replace(answer, kits=tuple(one for one in answer.kits if one is not found))


def in_cover_said_wrongly(rng: Random, catalog: parts.Catalog, answer: Answer) -> Answer | None:
    found = some_kit(rng, answer)
    return None if found is None else with_kit(answer, found, in_cover=not found.in_cover)
