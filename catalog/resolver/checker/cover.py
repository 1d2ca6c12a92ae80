"""The proof of a yes: rows that together serve every place, deck and bearing of the datum."""

from __future__ import annotations

from collections.abc import Iterator

from catalog.resolver.answer import Answer, CoverRow
from catalog.resolver.checker.bearings import Radii, clockings, first, stretch
from catalog.resolver.checker.bill import kit_faults, named
from catalog.resolver.checker.figures import band, standing_figures
from catalog.resolver.checker.ground import Corner, Ground, Place, PlaceKey, ends
from catalog.resolver.checker.shapes import TURN
from catalog.resolver.checker.values import failing


def check_cover(ground: Ground, answer: Answer) -> Iterator[str]:
    rows = answer.certificate.cover
    by_place: dict[PlaceKey, list[CoverRow]] = {}
    for row in rows:
        faults = list(_row_faults(ground, row))
        yield from (f"cover-row: {named(row.kit)}: {fault}." for fault in faults)
        place = ground.place_of(row.circumstance)
        if place is not None and not faults:
            by_place.setdefault(place.key, []).append(row)
    for key in ground.distinct_places():
        yield from _gaps(ground, key, by_place.get(key, []))
    covering = {row.kit for row in rows}
    listed = {found.kit for found in answer.kits if found.in_cover}
    yield from (f"cover-kit: {named(kit)} is in the cover and not so listed." for kit in covering - listed)
    yield from (f"cover-kit: {named(kit)} is listed as in the cover and is not." for kit in listed - covering)


def _row_faults(ground: Ground, row: CoverRow) -> Iterator[str]:
    """Why a row does not hold at the tightest corner over its whole stretch; nothing if it does."""
    place = ground.place_of(row.circumstance)
    if place is None:
        yield f"the survey does not allow {row.circumstance}"
        return
    faults = list(kit_faults(ground, row.kit))
    if faults:
        yield from faults
        return
    corner = Corner.tightest(ground.survey)
    fails = failing(standing_figures(ground, row.kit, place, corner))
    if fails:
        yield f"in {place.key} it fails {', '.join(fails)}"
    yield from _deck_faults(ground, row, place)
    yield from _datum_faults(ground, row, corner.radii)


def _deck_faults(ground: Ground, row: CoverRow, place: Place) -> Iterator[str]:
    engages = band(ground, row.kit, place)
    if row.deck.low is None or row.deck.high is None:
        yield "its stretch of decks is open"
    elif engages is None or row.deck.low < engages[0] or row.deck.high > engages[1]:
        yield f"its shaft engages on decks of {engages} µm, not on {row.deck.low} to {row.deck.high}"


def _datum_faults(ground: Ground, row: CoverRow, radii: Radii) -> Iterator[str]:
    ends_legal = all(0 <= one < TURN for one in (row.datum_from_ddeg, row.datum_to_ddeg, row.clocking_ddeg))
    if not ends_legal or not clockings(ground.catalog.drives[row.kit.core.drive]) >> row.clocking_ddeg & 1:
        yield f"there is no clocking {row.clocking_ddeg} with this drive, or no such bearing"
        return
    turning = ground.turning(row.kit.core.drive, row.kit.core.hand, radii, _datums(row))
    blocked = _datums(row) & ~turning.free_at(row.clocking_ddeg)
    if blocked:
        yield f"clocking {row.clocking_ddeg} is not free with the datum at {first(blocked)}"


def _datums(row: CoverRow) -> int:
    return stretch(row.datum_from_ddeg, (row.datum_to_ddeg - row.datum_from_ddeg) % TURN)


def _gaps(ground: Ground, key: PlaceKey, rows: list[CoverRow]) -> Iterator[str]:
    """Decks and bearings of the survey that no row of a place serves, one for each stretch of decks."""
    low, high = ground.deck
    stretches = [(ends(row.deck), _datums(row)) for row in rows]
    begins = {low} | {one for (first_deck, last), _ in stretches for one in (first_deck, last + 1)}
    for deck in sorted(one for one in begins if low <= one <= high):
        served = 0
        for (first_deck, last), datums in stretches:
            served |= datums if first_deck <= deck <= last else 0
        unserved = ground.datums & ~served
        if unserved:
            yield f"cover-gap: in {key} no row serves {deck} µm of deck with the datum at {first(unserved)}."
