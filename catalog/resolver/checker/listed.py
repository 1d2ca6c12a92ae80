"""The list of kits: is each one what it is said to be, with the figures it is shown with?"""

from __future__ import annotations

from collections.abc import Iterator

from catalog.resolver.answer import Answer, KitFound
from catalog.resolver.checker.bearings import FIGURE_UM, members, stretch, whole_room_um
from catalog.resolver.checker.bill import kit_faults, lead_time_days, named, price_minor
from catalog.resolver.checker.figures import (
    band,
    length_figures,
    lifted_um,
    standing_figures,
    taken_um,
    used_um,
    window,
)
from catalog.resolver.checker.ground import Corner, Ground, Place
from catalog.resolver.checker.shapes import TURN
from catalog.resolver.checker.standing import Standing
from catalog.resolver.checker.values import Figure

SURE, POSSIBLE = "sure", "possible"
FREE_RADIUS = "space.free-radius"


def check_list(ground: Ground, answer: Answer) -> Iterator[str]:
    seen = set()
    for found in answer.kits:
        name = named(found.kit)
        if found.kit in seen:
            yield f"kit-twice: {name} stands in the list twice."
        seen.add(found.kit)
        faults = list(kit_faults(ground, found.kit))
        yield from (f"kit-parts: {name}: {fault}." for fault in faults)
        if not faults:
            yield from (f"{code}: {name}: {fault}." for code, fault in _check_kit(ground, found))


Fault = tuple[str, str]


def _check_kit(ground: Ground, found: KitFound) -> Iterator[Fault]:
    standing = Standing(ground, found.kit)
    yield from _check_bill(ground, found)
    yield from _check_standing(standing, found)
    yield from _check_circumstances(ground, standing, found)
    yield from _check_lengths(ground, found)
    yield from _check_settings(standing, found)
    yield from _check_figures(ground, found)


def _check_bill(ground: Ground, found: KitFound) -> Iterator[Fault]:
    price, days = price_minor(ground, found.kit.lines()), lead_time_days(ground, found.kit)
    if found.price != price:
        yield "kit-price", f"its parts cost {price}, not {found.price}"
    if found.lead_time_days != days:
        yield "kit-lead-time", f"its longest lead time is {days} days, not {found.lead_time_days}"


def _check_standing(standing: Standing, found: KitFound) -> Iterator[Fault]:
    if found.standing == SURE:
        yield from (("kit-sure", f"it is not sure: {why}") for why in standing.shortfalls())
    elif found.standing != POSSIBLE:
        yield "kit-standing", f"there is no standing {found.standing!r}"
    elif not standing.possible_in():
        yield "kit-possible", "it passes in no world of the survey"
    elif not standing.may_fall_short():
        yield "kit-possible", "it passes in every world of the survey and is sure"


def _check_circumstances(ground: Ground, standing: Standing, found: KitFound) -> Iterator[Fault]:
    """Those named are of the survey, and the kit passes in just these."""
    keys = []
    for circumstance in found.circumstances:
        place = ground.place_of(circumstance)
        if place is None:
            yield "kit-circumstance", f"the survey does not allow {circumstance}"
        else:
            keys.append(place.key)
    possible = standing.possible_in()
    if len(keys) != len(set(keys)):
        yield "kit-circumstance", "a circumstance is named twice"
    for key, place in ground.distinct_places().items():
        if key in keys and key not in possible:
            yield "kit-circumstance", f"it passes in no world of {key}"
        if key not in keys and not standing.may_fail_in(place):
            yield "kit-circumstance", f"it passes in worlds of {key}, which is not named"


# --- lengths ----------------------------------------


def _check_lengths(ground: Ground, found: KitFound) -> Iterator[Fault]:
    drive = ground.catalog.drives[found.kit.core.drive]
    shaft = ground.catalog.shafts[found.kit.core.shaft]
    needed = max(used_um(drive, found.kit.stack.thickness_um), lifted_um(drive, shaft))
    if found.depth_um != needed:
        yield "kit-depth", f"it needs {needed} µm below the deck, not {found.depth_um}"
    bands = _bands(ground, found)
    if not bands:
        return
    common = max(low for low, _ in bands), min(high for _, high in bands)
    right = [common] if found.standing == SURE else [common, *bands]
    if (found.deck.low, found.deck.high) not in right:
        yield "kit-deck", f"it spans decks of {common} µm, not {found.deck.low} to {found.deck.high}"
    yield from _check_cut(ground, found)


def _bands(ground: Ground, found: KitFound) -> list[tuple[int, int]]:
    bands = [band(ground, found.kit, place) for place in ground.places_of(found.circumstances)]
    return [one for one in bands if one is not None]


def _check_cut(ground: Ground, found: KitFound) -> Iterator[Fault]:
    shaft = ground.catalog.shafts[found.kit.core.shaft]
    cut = found.cut_length
    if not shaft.cut:
        if cut is not None or not found.cut_sure:
            yield "kit-cut", "its shaft is not cut"
        return
    if cut is None or cut.low is None or cut.high is None:
        yield "kit-cut", "no length is given to which its shaft may be cut"
        return
    thin, thick = ground.deck
    sure = _cuts(ground, found, ground.places_of(found.circumstances), (thick, thin))
    holds = found.standing == SURE and sure[0] <= sure[1]
    if found.cut_sure != holds:
        yield "kit-cut", f"that one length holds in every world is {holds}"
    if found.cut_sure and (cut.low, cut.high) != sure:
        yield "kit-cut", f"in every world its shaft may be cut to {sure} µm, not {cut.low} to {cut.high}"
    some = [_cuts(ground, found, [place], (thin, thick)) for place in ground.places_of(found.circumstances)]
    if not any(low <= cut.low <= cut.high <= high for low, high in some):
        yield "kit-cut", f"its shaft may be cut to {some} µm at the most, not to {cut.low} to {cut.high}"


def _cuts(ground: Ground, found: KitFound, places: list[Place], decks: tuple[int, int]) -> tuple[int, int]:
    """The lengths that a shaft may be cut to: the least for the first deck, the greatest for the second.

    With the thickest deck first and the thinnest second, these lengths serve all decks between them.
    """
    core = found.kit.core
    shaft, drive = ground.catalog.shafts[core.shaft], ground.catalog.drives[core.drive]
    taken = taken_um(ground, core.adapter, found.kit.stack.thickness_um)
    low, high = shaft.cut_min_um, shaft.cut_max_um
    for place in places:
        engages = window(shaft, drive, place)
        if engages is not None:
            low = max(low, decks[0] + taken - engages[1])
            high = min(high, decks[1] + taken - engages[0])
    return low, high


# --- settings ----------------------------------------


def _check_settings(standing: Standing, found: KitFound) -> Iterator[Fault]:
    """Stretches of allowed clockings. Those listed pass in some world, those called sure in every one.

    A sure kit may keep silent on clockings that pass in some worlds only; a possible kit names them all.
    """
    listed = sure = 0
    for one in found.settings:
        if not (0 <= one.from_ddeg < TURN and 0 <= one.to_ddeg < TURN):
            yield "kit-setting", f"there is no clocking {one.from_ddeg} to {one.to_ddeg}"
            return
        bits = stretch(one.from_ddeg, (one.to_ddeg - one.from_ddeg) % TURN)
        if bits & listed:
            yield "kit-setting", f"the clockings {one.from_ddeg} to {one.to_ddeg} overlap others"
        listed |= bits
        sure |= bits if one.sure else 0
    if not listed:
        yield "kit-setting", "it is listed without a setting"
    allowed = standing.tight.clockings
    if listed & ~allowed:
        yield "kit-setting", "its drive may not be bolted at all of these clockings"
    yield from _check_sure_settings(standing, found, listed & allowed, sure)
    yield from _check_unlisted(standing, found, allowed & ~listed)


def _check_unlisted(standing: Standing, found: KitFound, unlisted: int) -> Iterator[Fault]:
    for clocking in members(unlisted):
        if found.standing != SURE and standing.wide.not_free_at(clocking) != standing.ground.datums:
            yield "kit-setting", f"clocking {clocking} is free in some world and not listed"
        if found.standing == SURE and not standing.tight.not_free_at(clocking):
            yield "kit-setting", f"clocking {clocking} is free in every world and not listed"


def _check_sure_settings(standing: Standing, found: KitFound, listed: int, sure: int) -> Iterator[Fault]:
    if sure and found.standing != SURE:
        yield "kit-setting", "a setting is called sure and the kit is not"
    for clocking in members(listed):
        if not standing.wide.free_at(clocking):
            yield "kit-setting", f"clocking {clocking} is free in no world"
        if sure >> clocking & 1:
            if standing.tight.free_at(clocking) != standing.ground.datums:
                yield "kit-setting", f"clocking {clocking} is not free in every world"
        elif found.standing == SURE and not standing.tight.not_free_at(clocking):
            yield "kit-setting", f"clocking {clocking} is free in every world and not called sure"


# --- figures ----------------------------------------


def _check_figures(ground: Ground, found: KitFound) -> Iterator[Fault]:
    """The gates' figures: of a sure kit the worst of all circumstances, else those of one, at its best."""
    if not found.settings:
        return
    faults: list[str] = []
    places = ground.places_of(found.circumstances)
    if found.standing == SURE:
        everywhere = [figure for place in places for figure in _expected(ground, found, place)]
        yield from (("kit-figure", fault) for fault in _differences(found, everywhere))
        return
    for place in places:
        faults = list(_differences(found, _expected(ground, found, place)))
        if not faults:
            return
    yield from (("kit-figure", fault) for fault in faults)


def _expected(ground: Ground, found: KitFound, place: Place) -> list[Figure]:
    sure = found.standing == SURE
    corner = Corner.tightest(ground.survey) if sure else Corner.widest(ground.survey)
    return [
        *standing_figures(ground, found.kit, place, corner),
        *_length_shown(ground, found, place),
        _room_shown(ground, found, corner),
    ]


def _length_shown(ground: Ground, found: KitFound, place: Place) -> list[Figure]:
    """Worst: each end of the window against the survey's own end. Best: as near the middle as it goes.

    A shaft that no one length suits is cut to each deck, to the middle of what suits it.
    """
    cut_um = next((one.facts.get("cut_um") for one in found.checks if one.code == "cut-length"), None)
    cut = cut_um if isinstance(cut_um, int) else None
    if found.standing == SURE and found.cut_sure:
        return length_figures(ground, found.kit, place, ground.deck, cut)
    if found.standing == SURE:
        figures = []
        for deck in ground.deck:
            to_this = sum(_cuts(ground, found, [place], (deck, deck))) // 2
            figures += length_figures(ground, found.kit, place, (deck, deck), to_this)
        return figures
    low, high = ground.deck
    at_low = {one.name: one.margin for one in length_figures(ground, found.kit, place, (low, low), cut)}
    short, long = at_low.get("reach.length-short", 0), at_low.get("reach.length-long", 0)
    deck = min(max(low + (long - short) // 2, low), high)
    return length_figures(ground, found.kit, place, (deck, deck), cut)


def _room_shown(ground: Ground, found: KitFound, corner: Corner) -> Figure:
    """The room that the first setting leaves: the least over the datum's bearings, or that of one of them."""
    around = ground.surroundings(found.kit.core.drive, found.kit.core.hand)
    clocking = found.settings[0].from_ddeg
    rooms = [around.room_um(datum + clocking, corner.radii) for datum in members(ground.datums)]
    if found.standing == SURE:
        return Figure(FREE_RADIUS, whole_room_um(min(rooms)))
    said = next((one.margin for one in found.checks if one.name == FREE_RADIUS), 0)
    return Figure(FREE_RADIUS, whole_room_um(min(rooms, key=lambda room: abs(room - said))))


def _differences(found: KitFound, expected: list[Figure]) -> Iterator[str]:
    """By name, the least margin shown is the least that was worked out."""
    shown: dict[str, int] = {}
    for check in found.checks:
        shown[check.name] = min(check.margin, shown.get(check.name, check.margin))
    worked_out: dict[str, Figure] = {}
    for one in expected:
        if one.name not in worked_out or one.margin < worked_out[one.name].margin:
            worked_out[one.name] = one
    for name in sorted(shown.keys() | worked_out.keys()):
        if name not in shown:
            yield f"the figure {name} is missing"
        elif name not in worked_out:
            yield f"there is no figure {name}"
        elif not _alike(shown[name], worked_out[name]):
            yield f"{name} leaves {worked_out[name].margin}, not {shown[name]}"


def _alike(shown: int, figure: Figure) -> bool:
    if figure.name == FREE_RADIUS:
        return abs(shown - figure.margin) <= FIGURE_UM
    return figure.margin - figure.slack <= shown <= figure.margin
