"""One production run of a question, and the kits that may pass in some world of it, in columns.

Stages:

1. what no measurement changes (dates, exceptions, wishes, duty) fails cores outright;
2. the widest corner (deepest, freest, largest of what the survey allows) fails cores and rows for good;
3. what is left are the rows: a core with a spacer stack, a band of deck thicknesses, a depth it needs,
   a price. In the
   tightest corner some of them still pass; the search covers the deck with those.

The figures are those of the gates, computed on columns; ``tests/resolver/test_field.py`` holds them against
the gates.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from catalog.resolver.bearings import Free, datum_points, free_motor_bearings, room
from catalog.resolver.compile import (
    CORE_KINDS,
    EXPIRED,
    FILL_KINDS,
    NOT_YET,
    UNPRICED,
    WITHDRAWN,
    Book,
    Bools,
    Compiled,
    Group,
    Ints,
    Side,
)
from catalog.resolver.definition import bounds
from catalog.resolver.facts import Survey, Variant
from catalog.resolver.fills import Fills, PricedFill
from catalog.resolver.gates.duty import HIGH_LOSS_PERCENT, LOW_LOSS_PERCENT, pull_at_most_n, pull_n
from catalog.resolver.kits import Core, Kit, Stack, wished
from catalog.resolver.parts import CatalogException, Drive, ExceptionKind, Lifts, PartKind, Plug, Run
from catalog.resolver.question import Question
from shared.intervals import Arc

Failure = tuple[str, Bools]
"""The name of a check, and the cores that fail it."""

ERA_CODES = ((NOT_YET, "era.part-not-yet"), (EXPIRED, "era.part-expired"), (WITHDRAWN, "era.part-withdrawn"))


@dataclass(frozen=True, slots=True)
class Corner:
    """One end of every one-sided fact: all at their tightest, or all at their widest."""

    depth_um: int
    sectors: tuple[tuple[Arc, int], ...]
    round: bool
    width_um: int
    height_um: int
    pad_um: int

    @property
    def narrow_um(self) -> int:
        return min(self.width_um, self.height_um)

    @property
    def wide_um(self) -> int:
        return max(self.width_um, self.height_um)


def corner(survey: Survey, *, widest: bool) -> Corner:
    end = 1 if widest else 0
    return Corner(
        depth_um=bounds(survey.depth_below_deck)[end],
        sectors=tuple((sector.arc, bounds(sector.radius)[end]) for sector in survey.sectors),
        round=survey.opening_round,
        width_um=bounds(survey.opening_width)[end],
        height_um=bounds(survey.opening_height)[end],
        pad_um=bounds(survey.pad_diameter)[end],
    )


class Rules:
    """The exceptions that hold for a variant, as the search applies them."""

    def __init__(self, compiled: Compiled, variant: Variant) -> None:
        self.compiled = compiled
        rulings = variant.exceptions
        self.era_lifted = frozenset(one.sku for one in rulings if one.lifts is Lifts.ERA)
        self.mating_lifted = frozenset(one.sku for one in rulings if one.lifts is Lifts.MATING)
        self.judged = [one for one in rulings if one.kind is not ExceptionKind.ALLOW]
        self.fine = {one.code: self._fine(one) for one in self.judged}
        self.kinds = {one.code: self._kinds(one) for one in self.judged}

    def _fine(self, ruling: CatalogException) -> frozenset[str]:
        """What a require asks for: the part named, or what stands for it."""
        if ruling.kind is ExceptionKind.REQUIRE:
            return self.compiled.stands_for(ruling.with_sku)
        return frozenset({ruling.with_sku} - {""})

    def _kinds(self, ruling: CatalogException) -> frozenset[PartKind]:
        parts = self.compiled.catalog.parts
        return frozenset(parts[sku].kind for sku in {ruling.sku, *self.fine[ruling.code]})

    @property
    def loosens(self) -> bool:
        """Whether some stacks or fills are right for this variant that are not for another."""
        return bool(self.on(STACK_KINDS | FILL_KINDS) or self.era_lifted)

    def on(self, kinds: frozenset[PartKind]) -> list[CatalogException]:
        """The rulings that speak of a kind among ``kinds``."""
        return [one for one in self.judged if self.kinds[one.code] & kinds]

    def broken(self, skus: frozenset[str], rulings: Iterable[CatalogException]) -> str | None:
        """The name of the check that a kit of these parts fails, if any."""
        for one in rulings:
            if one.sku not in skus:
                continue
            if one.kind is ExceptionKind.FORBID and (not one.with_sku or one.with_sku in skus):
                return "era.exception-forbid"
            if one.kind is ExceptionKind.REQUIRE and not skus & self.fine[one.code]:
                return "era.exception-require"
        return None


STACK_KINDS = frozenset({PartKind.SPACER})


@dataclass(frozen=True, slots=True)
class Rows:
    """Kits without their fill, a row each: core and stack (by number), deck band, depth needed, price, lead
    time.
    """

    core: Ints
    stack: Ints
    low: Ints
    high: Ints
    need: Ints
    price: Ints
    lead: Ints

    def taken(self, chosen: Bools | Ints) -> Rows:
        return Rows(*(getattr(self, name)[chosen] for name in self.__slots__))


class Field:
    """One variant of the winch (a production run with the exceptions that hold), plug there or not."""

    def __init__(
        self,
        compiled: Compiled,
        question: Question,
        survey: Survey,
        variant: Variant,
        *,
        plug: bool,
        pruned: bool = True,
    ) -> None:
        self.compiled, self.question, self.survey = compiled, question, survey
        self.variant, self.plug = variant, plug
        self.book: Book = compiled.book(question.as_of, question.wishes.currency)
        self.rules = Rules(compiled, variant)
        self.prune_stacks = pruned and not self.rules.on(STACK_KINDS)
        self.prune_fills = pruned and not self.rules.on(FILL_KINDS)
        run = variant.run
        self.group: Group | None = (
            None
            if run is None
            else compiled.group_with(run.base_pattern, run.spindle, self.rules.mating_lifted)
        )
        self.fills = Fills(
            compiled,
            self.book,
            question.assumptions,
            self.usable,
            pruned=self.prune_fills,
            plain=self.prune_fills and not self.rules.era_lifted,
        )
        self.datum = datum_points(survey.datum)
        self._free: dict[tuple[int, bool], Free] = {}
        self._rooms: dict[bool, Bools] = {}
        self._stacks: dict[str, Ints] = {}
        self._core_fills: dict[int, tuple[PricedFill, ...]] = {}

    @property
    def runs(self) -> tuple[Run, ...]:
        """The production runs of the model, whichever this field is of."""
        return self.compiled.index.runs.get(self.survey.model.code, ())

    def usable(self, sku: str) -> bool:
        """Whether a part may be had at the date, or is let through by an exception."""
        return not self.book.era[self.compiled.number[sku]] or sku in self.rules.era_lifted

    # Stage 1: what no measurement changes ---------------------------------------------------------

    @cached_property
    def wished(self) -> Bools:
        """The cores that the wishes admit: only these are candidates."""
        group = self._group()
        drives = self.compiled.catalog.drives
        by_side = [wished(self.question, drives[sku], hand) for sku, hand in group.sides]
        return np.array(by_side, dtype=np.bool_)[group.side] if by_side else np.zeros(0, dtype=np.bool_)

    @cached_property
    def constant_failures(self) -> list[Failure]:
        """For each check that reads no measurement: its name, and the cores that fail it."""
        return [*self._winch_failures(), *self._era_failures(), *self._duty_failures()]

    def _group(self) -> Group:
        if self.group is None:
            raise ValueError("A winch outside every run has no cores.")
        return self.group

    def _all(self, *, failing: bool) -> Bools:
        return np.full(len(self._group()), failing, dtype=np.bool_)

    def _winch_failures(self) -> list[Failure]:
        family = self.compiled.catalog.families[self.survey.model.family]
        run = self.variant.run
        stays = run is not None and self.plug and run.plug is not Plug.NONE and not run.plug_removable
        return [
            ("era.replace-only", self._all(failing=not family.convertible)),
            ("reach.plug", self._all(failing=stays)),
        ]

    def _era_failures(self) -> list[Failure]:
        group, era = self._group(), self.book.era
        lifted = [self.compiled.number[sku] for sku in self.rules.era_lifted if sku in self.compiled.number]
        if lifted:
            era = era.copy()
            era[lifted] = 0
        bits = era[group.adapter] | era[group.shaft] | era[group.drive]
        bits = bits | np.where(group.handing >= 0, era[group.handing], 0)
        found = [(name, (bits & bit) != 0) for bit, name in ERA_CODES] if bits.any() else []
        return found + self._ruled_cores()

    def _ruled_cores(self) -> list[Failure]:
        within = [one for one in self.rules.judged if self.rules.kinds[one.code] <= CORE_KINDS]
        if not within:
            return []
        group = self._group()
        names = [self.rules.broken(frozenset(group.core(row).skus()), within) for row in range(len(group))]
        return [
            (name, np.array([one == name for one in names], dtype=np.bool_))
            for name in ("era.exception-forbid", "era.exception-require")
        ]

    def _duty_failures(self) -> list[Failure]:
        group = self._group()
        failing: dict[str, list[bool]] = {name: [] for name in _DUTY_CODES}
        for sku, _ in group.sides:
            for name, fails in zip(_DUTY_CODES, self._duty(self.compiled.catalog.drives[sku]), strict=True):
                failing[name].append(fails)
        return [
            (name, np.array(by_side, dtype=np.bool_)[group.side])
            for name, by_side in failing.items()
            if any(by_side)
        ]

    def _duty(self, drive: Drive) -> tuple[bool, ...]:
        model, assumed = self.survey.model, self.question.assumptions
        figures = (drive.torque_mnm, model.gear_ratios_milli[-1], model.drum_diameter_um)
        return (
            drive.torque_mnm > model.spindle_torque_max_mnm,
            pull_at_most_n(*figures, LOW_LOSS_PERCENT) > model.working_load_n,
            pull_n(*figures, HIGH_LOSS_PERCENT)
            < -(-model.working_load_n * assumed.least_pull_percent // 100),
            not drive.reversible and len(model.gear_ratios_milli) > 1,
            drive.max_press_ms < assumed.press_seconds * 1000,
        )

    # Stage 2: corners -----------------------------------------------------------------------------

    def corner_failures(self, at: Corner, datum: Ints | None = None) -> list[Failure]:
        """For each check that reads only one-sided facts and the datum: its name, and the cores that fail
        it.
        """
        group = self._group()
        opening = (
            group.round > at.narrow_um
            if at.round
            else (group.narrow > at.narrow_um) | (group.wide > at.wide_um)
        )
        return [
            ("entry.opening", opening),
            ("entry.offer-up", group.lift > at.depth_um),
            ("space.footprint", group.footprint > at.pad_um),
            # Only sides with a sound core were looked at; the others have failed already.
            ("space.free-radius", self.sound & ~self.rooms(at, datum).any(axis=1)[group.side]),
        ]

    def rooms(self, at: Corner, datum: Ints | None = None) -> Bools:
        """For each side, at which bearings of the datum it has room. Shape (sides, datum bearings)."""
        if datum is not None:
            return self._rooms_at(at, datum)
        kept = at is self.widest
        if not kept and at is not self.tightest:
            return self._rooms_at(at, self.datum)
        if kept not in self._rooms:
            self._rooms[kept] = self._rooms_at(at, self.datum)
        return self._rooms[kept]

    def _rooms_at(self, at: Corner, datum: Ints) -> Bools:
        sides = self._group().sides
        found = np.zeros((len(sides), len(datum)), dtype=np.bool_)
        for number in np.unique(self._group().side[self.sound]).tolist():
            found[number] = room(self.side(number), self.free(number, at), datum)
        return found

    def side(self, number: int) -> Side:
        return self.compiled.side(*self._group().sides[number])

    def free(self, number: int, at: Corner) -> Free:
        """At which motor bearings a side has room in the sectors of a corner."""
        key = (number, at.sectors == self.widest.sectors)
        if not key[1] and at.sectors != self.tightest.sectors:
            return free_motor_bearings(self.side(number), at.sectors)
        if key not in self._free:
            self._free[key] = free_motor_bearings(self.side(number), at.sectors)
        return self._free[key]

    @cached_property
    def widest(self) -> Corner:
        return corner(self.survey, widest=True)

    @cached_property
    def tightest(self) -> Corner:
        return corner(self.survey, widest=False)

    @cached_property
    def sound(self) -> Bools:
        """The candidate cores that pass every check that no measurement changes."""
        good = self.wished.copy()
        for _, failing in self.constant_failures:
            good &= ~failing
        return good

    @cached_property
    def tight_cores(self) -> Bools:
        """The sound cores that pass at the tightest corner for some bearing of the datum."""
        return self.passing(self.tightest)

    def passing(self, at: Corner, datum: Ints | None = None) -> Bools:
        """The sound cores that also pass at a corner (for some bearing of the datum)."""
        good = self.sound.copy()
        if good.any():
            for _, failing in self.corner_failures(at, datum):
                good &= ~failing
        return good

    # Stage 3: rows --------------------------------------------------------------------------------

    @cached_property
    def rows(self) -> Rows:
        """Every core and stack that may pass in some world, whatever the voltages."""
        first, last = bounds(self.survey.deck_thickness)
        return self.rows_within(self.passing(self.widest), first, last, self.widest.depth_um)

    def rows_within(self, cores: Bools, first: int, last: int, depth_um: int) -> Rows:
        """The rows of some cores whose band meets first .. last and whose depth is there."""
        parts = [self._rows_of(cores, number, flange) for number, flange in enumerate(self._group().flanges)]
        rows = Rows(*(np.concatenate(columns) for columns in zip(*parts, strict=True))) if parts else NO_ROWS
        kept = (rows.low <= last) & (rows.high >= first) & (rows.need <= depth_um)
        return self._ruled_rows(rows.taken(kept))

    def _rows_of(self, cores: Bools, number: int, flange: str) -> tuple[Ints, ...]:
        group, book = self._group(), self.book
        chosen = np.flatnonzero(cores & (group.flange == number))
        stacks = self.stacks(flange)
        thickness = self.compiled.stacks[flange].thickness[stacks]
        stack_price, stack_lead = (figures[stacks] for figures in self.stack_figures(flange))
        core = np.repeat(chosen, len(stacks))
        thick = np.tile(thickness, len(chosen)) + self.question.assumptions.bedding_um
        handing = group.handing[chosen]
        core_price = book.price[group.adapter[chosen]] + book.price[group.shaft[chosen]]
        core_price = (
            core_price + book.price[group.drive[chosen]] + np.where(handing >= 0, book.price[handing], 0)
        )
        core_lead = np.maximum(book.lead[group.adapter[chosen]], book.lead[group.shaft[chosen]])
        core_lead = np.maximum(core_lead, book.lead[group.drive[chosen]])
        core_lead = np.maximum(core_lead, np.where(handing >= 0, book.lead[handing], 0))
        spacers = np.tile(thickness, len(chosen))
        return (
            core,
            np.tile(stacks, len(chosen)),
            group.low[core] - thick,
            group.high[core] - thick,
            np.maximum(group.height[core] + spacers, group.lift[core]),
            np.minimum(np.repeat(core_price, len(stacks)) + np.tile(stack_price, len(chosen)), UNPRICED),
            np.maximum(np.repeat(core_lead, len(stacks)), np.tile(stack_lead, len(chosen))),
        )

    def _ruled_rows(self, rows: Rows) -> Rows:
        rulings = self.rules.on(STACK_KINDS)
        if not rulings:
            return rows
        good = [
            self.rules.broken(self._skus(int(core), int(stack)), rulings) is None
            for core, stack in zip(rows.core, rows.stack, strict=True)
        ]
        return rows.taken(np.array(good, dtype=np.bool_))

    def _skus(self, core: int, stack: int) -> frozenset[str]:
        spacers = self.stack_of(core, stack).spacers
        return frozenset(self._group().core(core).skus()) | {sku for sku, _ in spacers}

    def core_of(self, core: int) -> Core:
        return self._group().core(core)

    def stack_of(self, core: int, stack: int) -> Stack:
        group = self._group()
        return self.compiled.stacks[group.flanges[group.flange[core]]].stacks[stack]

    def stacks(self, flange: str) -> Ints:
        """The numbers of a flange's usable stacks; of equally thick ones only those not beaten on price and
        lead.
        """
        if flange not in self._stacks:
            plain = self.prune_stacks and not self.rules.era_lifted
            kept = self.book.best_stacks.get(flange) if plain else None
            if kept is None:
                kept = self._usable_stacks(flange)
            if plain:
                self.book.best_stacks[flange] = kept
            self._stacks[flange] = kept
        return self._stacks[flange]

    def _usable_stacks(self, flange: str) -> Ints:
        stacks = self.compiled.stacks[flange].stacks
        usable = [
            number for number, stack in enumerate(stacks) if all(self.usable(sku) for sku, _ in stack.spacers)
        ]
        return self._best(flange, usable) if self.prune_stacks else np.array(usable, dtype=np.int64)

    def _best(self, flange: str, usable: list[int]) -> Ints:
        prices, leads = self.stack_figures(flange)
        price, lead = prices[usable], leads[usable]
        thickness = self.compiled.stacks[flange].thickness
        kept: list[int] = []
        best: dict[int, list[tuple[int, int]]] = {}
        for position in np.lexsort((lead, price)).tolist():
            number = usable[position]
            beaten_by = best.setdefault(int(thickness[number]), [])
            figures = (int(price[position]), int(lead[position]))
            if not any(other[0] <= figures[0] and other[1] <= figures[1] for other in beaten_by):
                beaten_by.append(figures)
                kept.append(number)
        return np.array(sorted(kept), dtype=np.int64)

    def stack_figures(self, flange: str) -> tuple[Ints, Ints]:
        """(price, lead time) of every stack of a flange; the empty one costs nothing and is there."""
        book, number = self.book, self.compiled.number
        if flange not in book.stack_figures:
            prices, leads = [], []
            for stack in self.compiled.stacks[flange].stacks:
                prices.append(sum(int(book.price[number[sku]]) * count for sku, count in stack.spacers))
                leads.append(max((int(book.lead[number[sku]]) for sku, _ in stack.spacers), default=0))
            price = np.minimum(np.array(prices, dtype=np.int64), UNPRICED)
            book.stack_figures[flange] = (price, np.array(leads, dtype=np.int64))
        return book.stack_figures[flange]

    def bands_of(self, core: int) -> tuple[Ints, Ints, Ints, Ints]:
        """For each usable stack of one core: its number, the lowest and highest deck, the depth needed."""
        group = self._group()
        flange = group.flanges[group.flange[core]]
        stacks = self.stacks(flange)
        spacers = self.compiled.stacks[flange].thickness[stacks]
        thick = spacers + self.question.assumptions.bedding_um
        need = np.maximum(group.height[core] + spacers, group.lift[core])
        return stacks, group.low[core] - thick, group.high[core] - thick, need

    def margins(self, rows: Rows) -> Ints:
        """For each row the smallest reach or space margin, in µm, that it can be set up with.

        Where a row passes everywhere that is its margin in the worst world, else in the best.
        """
        group = self._group()
        first, last = bounds(self.survey.deck_thickness)
        deck = np.clip((rows.low + rows.high) // 2, max(first, 0), last)
        worst = np.minimum(first - rows.low, rows.high - last)
        tight = self.tightest
        space = np.minimum(tight.depth_um - self.space_need(rows), tight.pad_um - group.footprint[rows.core])
        best_space = np.minimum(
            self.widest.depth_um - self.space_need(rows), self.widest.pad_um - group.footprint[rows.core]
        )
        best = np.minimum(np.minimum(deck - rows.low, rows.high - deck), best_space)
        worst = np.minimum(worst, space)
        return np.where(worst >= 0, worst, np.maximum(best, 0))

    def space_need(self, rows: Rows) -> Ints:
        """The depth that each row's drive and spacers use."""
        group = self._group()
        spacers = group.low[rows.core] - self.question.assumptions.bedding_um - rows.low
        return group.height[rows.core] + spacers

    # Fills ----------------------------------------------------------------------------------------

    def fills_of(self, core: int) -> tuple[PricedFill, ...]:
        """The fills of a core, cheapest first, at whatever control voltage."""
        key = core if self.rules.on(FILL_KINDS) else int(self._group().drive[core])
        if key not in self._core_fills:
            self._core_fills[key] = self._ruled_fills(core)
        return self._core_fills[key]

    def _ruled_fills(self, core: int) -> tuple[PricedFill, ...]:
        stated = self.core_of(core)
        found = self.fills.of(self.compiled.catalog.drives[stated.drive])
        rulings = self.rules.on(FILL_KINDS)
        if not rulings:
            return found
        skus = frozenset(stated.skus())
        return tuple(
            one
            for one in found
            if self.rules.broken(skus | {one.fill.controller, one.fill.breaker, one.fill.switch}, rulings)
            is None
        )

    def figures_of(self, kit: Kit) -> tuple[int | None, int | None]:
        """(price, lead time) of a whole kit; None where one of its parts has none."""
        number, book = self.compiled.number, self.book
        price = sum(int(book.price[number[sku]]) * count for sku, count in kit.lines())
        lead = max(int(book.lead[number[sku]]) for sku, _ in kit.lines())
        return (None if price >= UNPRICED else price), (None if lead >= UNPRICED else lead)

    def motor_mv(self, cores: Ints) -> Ints:
        """The motor voltage of each core's drive."""
        drives = self.compiled.catalog.drives
        by_side = [drives[sku].motor_voltage_mv for sku, _ in self._group().sides]
        return np.array(by_side, dtype=np.int64)[self._group().side[cores]]


_DUTY_CODES = ("duty.torque", "duty.working-load", "duty.pull", "duty.gears", "duty.press-time")
NO_ROWS = Rows(*(np.zeros(0, dtype=np.int64) for _ in range(7)))
