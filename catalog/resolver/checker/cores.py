"""Cores: does some completion pass in every world, or in some?"""

from __future__ import annotations

from collections.abc import Iterator

from catalog.resolver.answer import Answer, CoreFound
from catalog.resolver.checker.bearings import first
from catalog.resolver.checker.bill import core_faults, fills, price_minor, stacks
from catalog.resolver.checker.figures import band, standing_figures
from catalog.resolver.checker.ground import Corner, Ground, Place
from catalog.resolver.checker.power import (
    breaker_figures,
    controller_figures,
    switch_figures,
    switches_wanted,
)
from catalog.resolver.checker.rulings import part_figures, ruled_skus
from catalog.resolver.checker.values import Figure, all_pass
from catalog.resolver.kits import Core, Fill, Kit, Stack

Band = tuple[int, int]


def check_cores(ground: Ground, answer: Answer) -> Iterator[str]:
    seen = set()
    for found in answer.cores:
        name = " + ".join(found.core.skus())
        if found.core in seen:
            yield f"core-twice: {name} stands among the cores twice."
        seen.add(found.core)
        faults = list(core_faults(ground, found.core))
        yield from (f"core-parts: {name}: {fault}." for fault in faults)
        if not faults:
            yield from (f"core-{code}: {name}: {fault}." for code, fault in _check_core(ground, found))


def _check_core(ground: Ground, found: CoreFound) -> Iterator[tuple[str, str]]:
    price = price_minor(ground, ((sku, 1) for sku in found.core.skus()))
    if found.price != price:
        yield "price", f"its parts cost {price}, not {found.price}"
    short = list(_shortfalls(ground, found.core))
    if found.standing == "sure":
        yield from (("sure", f"it is not sure: {why}") for why in short)
    elif found.standing != "possible":
        yield "standing", f"there is no standing {found.standing!r}"
    elif not short:
        yield "possible", "a completion of it passes in every world, and it is sure"
    elif not _possible(ground, found.core):
        yield "possible", "no completion of it passes in any world"


def _shortfalls(ground: Ground, core: Core) -> Iterator[str]:
    """Why a core is not sure: a place and a deck on which no completion passes, or a bearing."""
    corner = Corner.tightest(ground.survey)
    for key, place in ground.distinct_places().items():
        deck = first_gap(ground.deck, passing_bands(ground, core, place, corner))
        if deck is not None:
            yield f"in {key} no completion passes on a deck of {deck} µm"
    unserved = ground.datums & ~_served(ground, core, corner)
    if unserved:
        yield f"with the datum at {first(unserved)} no clocking leaves the motor free"


def _served(ground: Ground, core: Core, corner: Corner) -> int:
    """The bearings of the datum at which some clocking leaves the motor free."""
    return ground.turning(core.drive, core.hand, corner.radii, ground.datums).served


def _possible(ground: Ground, core: Core) -> bool:
    corner = Corner.widest(ground.survey)
    if not _served(ground, core, corner):
        return False
    low, high = ground.deck
    return any(
        thin <= high and low <= thick
        for place in ground.distinct_places().values()
        for thin, thick in passing_bands(ground, core, place, corner)
    )


def first_gap(within: Band, bands: list[Band]) -> int | None:
    """The least whole number of ``within`` that no band holds."""
    reached = within[0]
    for low, high in sorted(bands):
        if low > reached:
            break
        reached = max(reached, high + 1)
    return reached if reached <= within[1] else None


def passing_bands(ground: Ground, core: Core, place: Place, corner: Corner) -> list[Band]:
    """The decks that a core takes with each stack for which some fill lets all standing figures pass."""
    drive = ground.catalog.drives[core.drive]
    choices = list(_distinct_fills(ground, core, place))
    found = []
    for stack in stacks(ground, drive):
        engages = band(ground, Kit(core, stack, Fill("", "", "", 0)), place)
        if engages is not None and any(_passes(ground, core, stack, fill, place, corner) for fill in choices):
            found.append(engages)
    return found


def _passes(ground: Ground, core: Core, stack: Stack, fill: Fill, place: Place, corner: Corner) -> bool:
    return all_pass(standing_figures(ground, Kit(core, stack, fill), place, corner))


def _distinct_fills(ground: Ground, core: Core, place: Place) -> Iterator[Fill]:
    """Fills whose devices suit, one for each set of parts that a ruling can tell apart."""
    catalog, drive = ground.catalog, ground.catalog.drives[core.drive]
    ruled, seen = ruled_skus(catalog, place), set()

    def suits(sku: str, figures: list[Figure]) -> bool:
        return all_pass(figures) and all_pass(part_figures(ground, place, sku))

    good = fills(
        ground,
        [
            sku
            for sku, one in catalog.controllers.items()
            if suits(sku, controller_figures(ground, one, drive, place))
        ],
        [sku for sku, one in catalog.breakers.items() if suits(sku, breaker_figures(ground, one, drive))],
        [
            sku
            for sku, one in catalog.switches.items()
            if suits(sku, switch_figures(ground, one, switches_wanted(ground, one), place))
        ],
    )
    for fill in good:
        told_apart = frozenset(ruled & {fill.controller, fill.breaker, fill.switch})
        if told_apart not in seen:
            seen.add(told_apart)
            yield fill
