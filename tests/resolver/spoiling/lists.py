"""Spoiling the list of kits, the cores and the prices."""

from dataclasses import replace
from random import Random

from catalog.resolver import parts
from catalog.resolver.answer import Answer, CoreFound, KitFound, SettingFound
from shared.intervals import Interval
from tests.resolver.spoiling.common import SURE, one_of, other_clockings, restacked, some_kit, with_kit

ROUNDING_UM = 2

# --- what a kit is said to be ----------------------------------------


def kit_called_sure(rng: Random, catalog: parts.Catalog, answer: Answer) -> Answer | None:
    """In the failing world of a depends no kit passes, so none is sure."""
    found = some_kit(rng, answer) if answer.verdict == "depends" else None
    return None if found is None else with_kit(answer, found, standing=SURE)


def sure_kit_called_possible(rng: Random, catalog: parts.Catalog, answer: Answer) -> Answer | None:
    found = some_kit(rng, answer, SURE)
    return None if found is None else with_kit(answer, found, standing="possible")


def kit_listed_twice(rng: Random, catalog: parts.Catalog, answer: Answer) -> Answer | None:
    found = some_kit(rng, answer)
    return None if found is None else replace(answer, kits=(*answer.kits, found))


def spacer_swapped(rng: Random, catalog: parts.Catalog, answer: Answer) -> Answer | None:
    """Another spacer in the kit, of another thickness: its band is then another."""
    found = some_kit(rng, answer)
    kit = None if found is None else restacked(rng, catalog, found.kit)
    return None if found is None or kit is None else with_kit(answer, found, kit=kit)


def part_replaced_by_a_stranger(rng: Random, catalog: parts.Catalog, answer: Answer) -> Answer | None:
    found = some_kit(rng, answer)
    if found is None:
        return None
    fill = replace(found.kit.fill, breaker="BREAKER-OF-NOBODY")
    return with_kit(answer, found, kit=replace(found.kit, fill=fill))


def switch_left_out(rng: Random, catalog: parts.Catalog, answer: Answer) -> Answer | None:
    found = some_kit(rng, answer)
    if found is None:
        return None
    fill = replace(found.kit.fill, switches=found.kit.fill.switches - 1)
    return with_kit(answer, found, kit=replace(found.kit, fill=fill))


def circumstance_left_out(rng: Random, catalog: parts.Catalog, answer: Answer) -> Answer | None:
    found = some_kit(rng, answer)
    return None if found is None else with_kit(answer, found, circumstances=found.circumstances[1:])


def circumstance_invented(rng: Random, catalog: parts.Catalog, answer: Answer) -> Answer | None:
    found = some_kit(rng, answer)
    if found is None:
        return None
    strange = replace(found.circumstances[0], motor_voltage_mv=36_000)
    return with_kit(answer, found, circumstances=(*found.circumstances, strange))


# --- the figures of a kit ----------------------------------------


def price_changed(rng: Random, catalog: parts.Catalog, answer: Answer) -> Answer | None:
    found = one_of(rng, [one for one in answer.kits if one.price is not None])
    if found is None or found.price is None:
        return None
    return with_kit(answer, found, price=found.price + rng.choice((-1, 1)))


def lead_time_changed(rng: Random, catalog: parts.Catalog, answer: Answer) -> Answer | None:
    found = some_kit(rng, answer)
    if found is None:
        return None
    days = 3 if found.lead_time_days is None else rng.choice((found.lead_time_days + 1, None))
    return with_kit(answer, found, lead_time_days=days)


def band_widened(rng: Random, catalog: parts.Catalog, answer: Answer) -> Answer | None:
    found = some_kit(rng, answer)
    if found is None or found.deck.low is None or found.deck.high is None:
        return None
    low, high = rng.choice(((1, 0), (0, 1)))
    return with_kit(answer, found, deck=Interval(found.deck.low - low, found.deck.high + high))


def depth_lowered(rng: Random, catalog: parts.Catalog, answer: Answer) -> Answer | None:
    found = some_kit(rng, answer)
    return None if found is None else with_kit(answer, found, depth_um=found.depth_um - 1)


SUMS = (
    "depth",
    "offer-up",
    "footprint",
    "length-short",
    "length-long",
    "torque",
    "breaker-size",
    "stack-height",
)


def margin_raised(rng: Random, catalog: parts.Catalog, answer: Answer) -> Answer | None:
    found = some_kit(rng, answer)
    check = None if found is None else one_of(rng, [one for one in found.checks if one.code in SUMS])
    if found is None or check is None:
        return None
    raised = [replace(one, margin=one.margin + 1) if one is check else one for one in found.checks]
    return with_kit(answer, found, checks=tuple(raised))


def room_raised(rng: Random, catalog: parts.Catalog, answer: Answer) -> Answer | None:
    """A mm more free radius than there is. Only where the datum is known, so that there is one figure."""
    found = some_kit(rng, answer) if answer.survey.datum.length == 0 else None
    if found is None:
        return None
    raised = [
        replace(one, margin=one.margin + 1_000) if one.code == "free-radius" else one for one in found.checks
    ]
    return with_kit(answer, found, checks=tuple(raised))


def figure_left_out(rng: Random, catalog: parts.Catalog, answer: Answer) -> Answer | None:
    found = some_kit(rng, answer)
    check = None if found is None else one_of(rng, [one for one in found.checks if one.code in SUMS])
    if found is None or check is None:
        return None
    return with_kit(answer, found, checks=tuple(one for one in found.checks if one is not check))


# --- settings and cut ----------------------------------------


def _with_setting(answer: Answer, found: KitFound, at: int, setting: SettingFound) -> Answer:
    settings = (*found.settings[:at], setting, *found.settings[at + 1 :])
    return with_kit(answer, found, settings=settings)


def setting_called_sure(rng: Random, catalog: parts.Catalog, answer: Answer) -> Answer | None:
    """A setting that is not: of a kit that is not sure, there is none that is."""
    found = some_kit(rng, answer) if answer.verdict == "depends" else None
    if found is None:
        return None
    at = rng.randrange(len(found.settings))
    return _with_setting(answer, found, at, replace(found.settings[at], sure=True))


def _surely_sure(rng: Random, answer: Answer) -> KitFound | None:
    """A kit whose first setting is sure with some room, so that no rounding can be to blame."""
    return one_of(
        rng,
        [
            found
            for found in answer.kits
            if found.standing == SURE
            and found.settings[0].sure
            and all(one.margin >= ROUNDING_UM for one in found.checks if one.code == "free-radius")
        ],
    )


def setting_called_unsure(rng: Random, catalog: parts.Catalog, answer: Answer) -> Answer | None:
    found = _surely_sure(rng, answer)
    return None if found is None else _with_setting(answer, found, 0, replace(found.settings[0], sure=False))


def sure_setting_left_out(rng: Random, catalog: parts.Catalog, answer: Answer) -> Answer | None:
    found = _surely_sure(rng, answer)
    return None if found is None else with_kit(answer, found, settings=found.settings[1:])


def setting_not_the_drives(rng: Random, catalog: parts.Catalog, answer: Answer) -> Answer | None:
    found = some_kit(rng, answer)
    others = [] if found is None else other_clockings(catalog, found.kit)
    if found is None or not others:
        return None
    clocking = rng.choice(others)
    return with_kit(answer, found, settings=(*found.settings, SettingFound(clocking, clocking, sure=False)))


def cut_lengthened(rng: Random, catalog: parts.Catalog, answer: Answer) -> Answer | None:
    """Longer than the shaft is to be had."""
    found = one_of(rng, [one for one in answer.kits if one.cut_length is not None])
    if found is None or found.cut_length is None:
        return None
    most = catalog.shafts[found.kit.core.shaft].cut_max_um
    return with_kit(answer, found, cut_length=Interval(found.cut_length.low, most + 1))


def cut_sureness_turned(rng: Random, catalog: parts.Catalog, answer: Answer) -> Answer | None:
    found = one_of(rng, [one for one in answer.kits if one.cut_length is not None])
    return None if found is None else with_kit(answer, found, cut_sure=not found.cut_sure)


# --- cores and prices ----------------------------------------


def core_called_sure(rng: Random, catalog: parts.Catalog, answer: Answer) -> Answer | None:
    """In the failing world of a depends no completion of any core passes."""
    found = some_kit(rng, answer) if answer.verdict == "depends" else None
    if found is None:
        return None
    return replace(answer, cores=(CoreFound(found.kit.core, SURE, None), *answer.cores))


def sure_core_called_possible(rng: Random, catalog: parts.Catalog, answer: Answer) -> Answer | None:
    core = one_of(rng, list(answer.cores))
    if core is None:
        return None
    cores = [replace(one, standing="possible") if one is core else one for one in answer.cores]
    return replace(answer, cores=tuple(cores))


def core_price_changed(rng: Random, catalog: parts.Catalog, answer: Answer) -> Answer | None:
    core = one_of(rng, [one for one in answer.cores if one.price is not None])
    if core is None or core.price is None:
        return None
    cores = [replace(one, price=core.price + 1) if one is core else one for one in answer.cores]
    return replace(answer, cores=tuple(cores))


def cheapest_raised(rng: Random, catalog: parts.Catalog, answer: Answer) -> Answer | None:
    """Above the price of a listed kit."""
    prices = [one.price for one in answer.kits if one.price is not None]
    return replace(answer, price_from=min(prices) + 1) if prices else None


def dearest_raised(rng: Random, catalog: parts.Catalog, answer: Answer) -> Answer | None:
    """Above the price of a kit that is sure, which is to be had in every world."""
    prices = [one.price for one in answer.kits if one.price is not None and one.standing == SURE]
    return replace(answer, price_to=min(prices) + 1) if prices else None


def dearest_below_cheapest(rng: Random, catalog: parts.Catalog, answer: Answer) -> Answer | None:
    if answer.price_from is None or answer.price_to is None:
        return None
    return replace(answer, price_to=answer.price_from - 1)


def price_of_a_depends_closed(rng: Random, catalog: parts.Catalog, answer: Answer) -> Answer | None:
    return replace(answer, price_to=10**6) if answer.verdict == "depends" else None


# --- the whole ----------------------------------------


def verdict_changed(rng: Random, catalog: parts.Catalog, answer: Answer) -> Answer | None:
    return replace(
        answer, verdict=rng.choice([one for one in ("yes", "no", "depends") if one != answer.verdict])
    )


def survey_narrowed(rng: Random, catalog: parts.Catalog, answer: Answer) -> Answer | None:
    """The worlds judged are fewer than the question allows."""
    depth = answer.survey.depth_below_deck
    if depth.is_point:
        return None
    return replace(answer, survey=replace(answer.survey, depth_below_deck=Interval.exactly(depth.high or 0)))
