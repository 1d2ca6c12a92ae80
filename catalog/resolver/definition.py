"""What an answer means, said as directly as it can be: try every kit, with every setting, in every world.

Far too slow for a real catalog, and that is its worth: nothing here is clever. On small catalogs whose
lengths lie on a lattice the search must give the same answer (``tests/resolver/test_completeness.py``).
``step_um`` is the lattice of two-sided lengths (half of the catalog's own, so that a gap between two bands
is seen); of a one-sided fact the two ends and the middle stand for the rest, which the tests of the gates'
declared directions justify.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Iterator
from dataclasses import dataclass
from functools import reduce
from itertools import combinations_with_replacement, product
from operator import or_

from catalog.resolver.facts import OpeningSize, Survey, World, survey_of
from catalog.resolver.gates import GATES, READS
from catalog.resolver.gates.feed import switch_count
from catalog.resolver.kits import Case, Core, Fill, Kit, Setting, Stack, hands_of, wished
from catalog.resolver.parts import Catalog, Flange, Power
from catalog.resolver.pricing import kit_price
from catalog.resolver.question import Question
from shared.intervals import Interval


@dataclass(frozen=True, slots=True)
class Meaning:
    """The answer by definition. Prices in minor units of the question's currency."""

    verdict: str
    sure_kits: frozenset[Kit]
    possible_kits: frozenset[Kit]
    sure_cores: frozenset[Core]
    possible_cores: frozenset[Core]
    price_from: int | None
    price_to: int | None


def meaning(catalog: Catalog, question: Question, step_um: int = 500) -> Meaning:
    """Answer by trying everything. A set of worlds is an int with one bit for each world."""
    worlds = list(every_world(survey_of(question, catalog), step_um))
    everywhere = (1 << len(worlds)) - 1
    where = _worlds_by_kit(catalog, question, worlds, step_um)
    some = reduce(or_, where.values(), 0)
    verdict = "yes" if some == everywhere else "no" if some == 0 else "depends"
    by_core: dict[Core, int] = {}
    for kit, bits in where.items():
        by_core[kit.core] = by_core.get(kit.core, 0) | bits
    prices = {kit: kit_price(catalog, kit, question.wishes.currency, question.as_of) for kit in where}
    priced = sorted((price, where[kit]) for kit, price in prices.items() if price is not None and where[kit])
    return Meaning(
        verdict=verdict,
        sure_kits=frozenset(kit for kit, bits in where.items() if bits == everywhere),
        possible_kits=frozenset(kit for kit, bits in where.items() if bits),
        sure_cores=frozenset(core for core, bits in by_core.items() if bits == everywhere),
        possible_cores=frozenset(core for core, bits in by_core.items() if bits),
        price_from=priced[0][0] if priced else None,
        price_to=_dearest_world(priced, everywhere),
    )


def _dearest_world(priced: list[tuple[int, int]], everywhere: int) -> int | None:
    """The dearest world's cheapest kit: the price at which, from the cheapest on, every world has one."""
    served = 0
    for price, bits in priced:
        served |= bits
        if served == everywhere:
            return price
    return None


def _worlds_by_kit(catalog: Catalog, question: Question, worlds: list[World], step_um: int) -> dict[Kit, int]:
    """For each kit the worlds in which it passes with some setting."""
    gate_passes = _remembering(catalog, question, worlds)
    where = {}
    for kit in every_kit(catalog, question):
        where[kit] = 0
        for setting in every_setting(catalog, kit, step_um):
            passing = -1
            for gate in GATES:
                passing &= gate_passes(gate, kit, setting) if passing else 0
            where[kit] |= passing
    return where


def _remembering(
    catalog: Catalog, question: Question, worlds: list[World]
) -> Callable[[str, Kit, Setting], int]:
    """The worlds in which a gate passes. Saves time only: a gate is asked once for what it reads."""
    groups: dict[str, dict[Hashable, int]] = {gate: {} for gate in GATES}
    for index, world in enumerate(worlds):
        for gate, reads in READS.items():
            facts = tuple(getattr(world, fact) for fact in reads)
            groups[gate][facts] = groups[gate].get(facts, 0) | 1 << index
    asked: dict[Hashable, int] = {}

    def gate_passes(gate: str, kit: Kit, setting: Setting) -> int:
        key = (gate, _PARTS_READ[gate](kit, setting))
        if key not in asked:
            asked[key] = 0
            for bits in groups[gate].values():
                world = worlds[(bits & -bits).bit_length() - 1]
                case = Case(catalog, question, kit, setting, world)
                if all(check.passed for check in GATES[gate](case)):
                    asked[key] |= bits
        return asked[key]

    return gate_passes


_PARTS_READ: dict[str, Callable[[Kit, Setting], Hashable]] = {
    "era": lambda kit, _: kit,
    "reach": lambda kit, setting: (kit.core, kit.stack, setting.cut_length_um),
    "space": lambda kit, setting: (kit.core, kit.stack, setting.clocking_ddeg),
    "entry": lambda kit, _: kit.core,
    "duty": lambda kit, _: kit.core,
    "feed": lambda kit, _: (kit.core, kit.fill),
}


def every_world(survey: Survey, step_um: int) -> Iterator[World]:
    """All combinations of all values of all facts."""
    openings = product(_ends(survey.opening_width), _ends(survey.opening_height))
    arcs = tuple(sector.arc for sector in survey.sectors)
    for variant, plug, deck, depth, radii, turn, (width, height), pad, (motor, control) in product(
        survey.variants,
        survey.plugs,
        _lattice(survey.deck_thickness, step_um),
        _ends(survey.depth_below_deck),
        product(*(_ends(sector.radius) for sector in survey.sectors)),
        range(survey.datum.length + 1 if not survey.datum.is_full else survey.datum.length),
        [one for one in openings if not survey.opening_round or one[0] == one[1]],
        _ends(survey.pad_diameter),
        survey.voltages_mv,
    ):
        yield World(
            variant=variant,
            plug_present=plug,
            deck_thickness_um=deck,
            depth_below_deck_um=depth,
            free_radius=tuple(zip(arcs, radii, strict=True)),
            datum_ddeg=(survey.datum.start + turn) % 3_600,
            opening=OpeningSize(survey.opening_round, width, height),
            pad_diameter_um=pad,
            motor_voltage_mv=motor,
            control_voltage_mv=control,
        )


def _lattice(interval: Interval, step_um: int) -> list[int]:
    low, high = bounds(interval)
    return sorted({*range(low, high + 1, step_um), high})


def _ends(interval: Interval) -> list[int]:
    return sorted(set(bounds(interval)))


def bounds(interval: Interval) -> tuple[int, int]:
    """Both ends of an interval that a survey has closed."""
    if interval.low is None or interval.high is None:
        raise ValueError("A survey's intervals are closed.")
    return interval.low, interval.high


def every_kit(catalog: Catalog, question: Question) -> Iterator[Kit]:
    """Every combination of parts that the wishes admit, whether or not they mate."""
    for drive in catalog.drives.values():
        if drive.power is not Power.ELECTRIC:
            continue
        hands = [pair for pair in hands_of(catalog, drive) if wished(question, drive, pair[0])]
        stacks = list(every_stack(catalog, catalog.flanges[drive.flange]))
        for adapter, shaft, (hand, kit), stack, fill in product(
            catalog.adapters, catalog.shafts, hands, stacks, every_fill(catalog, question)
        ):
            yield Kit(Core(adapter, shaft, drive.sku, hand, kit), stack, fill)


def every_stack(catalog: Catalog, flange: Flange, known: Iterable[str] | None = None) -> Iterator[Stack]:
    """Every choice of the flange's spacers (``known``, or all that have its flange) within its limits."""
    spacers = sorted(
        (one.sku for one in catalog.spacers.values() if one.flange == flange.code) if known is None else known
    )
    for count in range(flange.max_spacers + 1 if spacers else 1):
        for chosen in combinations_with_replacement(spacers, count):
            counted = tuple((sku, chosen.count(sku)) for sku in dict.fromkeys(chosen))
            thickness = sum(catalog.spacers[sku].thickness_um for sku in chosen)
            allowed = all(number <= catalog.spacers[sku].max_count for sku, number in counted)
            if allowed and thickness <= flange.max_stack_um:
                yield Stack(counted, thickness)


def every_fill(catalog: Catalog, question: Question) -> Iterator[Fill]:
    for controller, breaker, switch in product(
        catalog.controllers, catalog.breakers, catalog.switches.values()
    ):
        count = switch_count(question.assumptions.switch_inputs, switch.buttons)
        yield Fill(controller, breaker, switch.sku, count)


def every_setting(catalog: Catalog, kit: Kit, step_um: int) -> Iterator[Setting]:
    """Every allowed clocking with, for a shaft cut to length, every length on the lattice."""
    shaft = catalog.shafts[kit.core.shaft]
    lengths: list[int | None] = [None]
    if shaft.cut:
        lengths = [*range(shaft.cut_min_um, shaft.cut_max_um + 1, step_um)]
    for clocking in allowed_clockings(catalog.drives[kit.core.drive].clockings_ddeg):
        for length in lengths:
            yield Setting(clocking, length)


def allowed_clockings(arcs: tuple[tuple[int, int], ...]) -> list[int]:
    """Every whole tenth of a degree in closed arcs (from, to), which may pass over 0."""
    return sorted(
        {(start + turn) % 3_600 for start, end in arcs for turn in range((end - start) % 3_600 + 1)} or {0}
    )
