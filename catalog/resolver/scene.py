"""A field at one pair of voltages, and how its rows cover what the survey leaves open of deck and datum.

A scene is one combination of set values. In each cell of deck thickness and datum bearing some kit must
pass at the tightest corner of everything else. Rows read the deck alone, sides (a drive in a hand) the
datum alone, so bearings with the same sides are one class, and each class is a stretch of deck to be
covered by bands.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from catalog.resolver.answer import Circumstance
from catalog.resolver.compile import UNPRICED, Bools, Ints
from catalog.resolver.cover import completing, fewest, uncovered
from catalog.resolver.definition import bounds
from catalog.resolver.facts import OpeningSize, World
from catalog.resolver.field import NO_ROWS, Corner, Field, Rows
from catalog.resolver.fills import PricedFill
from shared.intervals import TURN


@dataclass(frozen=True, slots=True)
class Hole:
    """A deck thickness and a bearing of the datum at which no kit passes at the tightest corner."""

    deck_um: int
    datum_ddeg: int


@dataclass(frozen=True, slots=True)
class Patch:
    """One piece of a cover: these decks and bearings (positions in the datum) by this row."""

    row: int
    first_um: int
    last_um: int
    bearings: Ints


class Scene:
    """One combination of set facts. ``rank_by`` is the wish by which its rows are ordered."""

    def __init__(self, field: Field, motor_mv: int, control_mv: int, rank_by: str) -> None:
        self.field, self.motor_mv, self.control_mv, self.rank_by = field, motor_mv, control_mv, rank_by
        self.first, self.last = bounds(field.survey.deck_thickness)

    @cached_property
    def _built(self) -> tuple[Rows, Rows, Ints]:
        """The rows, the same without their fills, and the price of each with its cheapest fill."""
        field = self.field
        if field.group is None:
            return NO_ROWS, NO_ROWS, NO_ROWS.price
        bare, fills = field.rows, self._fills_by_core()
        bare = bare.taken(np.isin(bare.core, np.array(list(fills), dtype=np.int64)))
        cheapest = _by_core(bare, {core: suiting[0].price for core, suiting in fills.items()})
        price, lead = bare.price + cheapest, np.maximum(bare.lead, _by_core(bare, _leads(fills, 0)))
        if self.by_lead:
            for rank in range(1, max((len(suiting) for suiting in fills.values()), default=0)):
                other = np.maximum(bare.lead, _by_core(bare, _leads(fills, rank)))
                sooner = other < lead
                price = np.where(sooner, bare.price + _by_core(bare, _prices(fills, rank)), price)
                lead = np.where(sooner, other, lead)
        rows = Rows(bare.core, bare.stack, bare.low, bare.high, bare.need, np.minimum(price, UNPRICED), lead)
        order = self.order(rows)
        return (
            rows.taken(order),
            bare.taken(order),
            np.minimum(bare.price + cheapest, UNPRICED)[order],
        )

    def _fills_by_core(self) -> dict[int, list[PricedFill]]:
        """For each core of the field's rows whose motor suits, the fills that suit, cheapest first."""
        field = self.field
        cores = np.unique(field.rows.core)
        found = {}
        for core in cores[field.motor_mv(cores) == self.motor_mv].tolist():
            suiting = [one for one in field.fills_of(core) if self.control_mv in one.control_mv]
            if suiting:
                found[core] = suiting
        return found

    def fill_of(self, row: int) -> PricedFill:
        """The fill that a row is ranked with: the cheapest, or of those that keep the lead time short."""
        core, lead = int(self.rows.core[row]), int(self.bare.lead[row])
        suiting = [one for one in self.field.fills_of(core) if self.control_mv in one.control_mv]
        return first_fill(suiting, lead if self.by_lead else None)

    @property
    def rows(self) -> Rows:
        """The field's rows whose drive and fill suit the voltages, priced with the fill wished for, best
        first.
        """
        return self._built[0]

    @property
    def cheapest(self) -> Ints:
        """For each row its price with the cheapest fill, which a ranking by lead time need not choose."""
        return self._built[2]

    @property
    def bare(self) -> Rows:
        """The rows with the price and lead time of core and stack alone."""
        return self._built[1]

    @property
    def by_lead(self) -> bool:
        return self.rank_by == "lead-time"

    def order(self, rows: Rows) -> Ints:
        """Best first by the wish; ties by the other figures, then by the order of cores and stacks."""
        keys = {"price": (rows.lead, rows.price), "lead-time": (rows.price, rows.lead)}
        if self.rank_by == "margin":
            return np.lexsort((rows.stack, rows.core, rows.lead, rows.price, -self.field.margins(rows)))
        return np.lexsort((rows.stack, rows.core, *keys[self.rank_by]))

    @cached_property
    def side(self) -> Ints:
        """For each row the number of its drive and hand."""
        return self.field.group.side[self.rows.core] if self.field.group is not None else self.rows.core

    @cached_property
    def tight_room(self) -> Bools:
        """For each side and bearing of the datum whether there is room at the tightest corner."""
        return self.field.rooms(self.field.tightest)

    @cached_property
    def tight(self) -> Bools:
        """The rows that pass at the tightest corner for some bearing and deck."""
        if not len(self.rows.core):
            return np.zeros(0, dtype=np.bool_)
        return self.field.tight_cores[self.rows.core] & (self.rows.need <= self.field.tightest.depth_um)

    @cached_property
    def sure(self) -> Bools:
        """The rows that pass in every world of this scene with some setting."""
        rows = self.rows
        if not self.tight.any():
            return self.tight
        everywhere = self.tight_room.all(axis=1)[self.side]
        return self.tight & everywhere & (rows.low <= self.first) & (rows.high >= self.last)

    def classes(self) -> Iterator[tuple[Ints, Bools]]:
        """Bearings of the datum (positions) at which the same tight rows have room, with those rows."""
        if not self.tight.any():
            yield np.arange(len(self.field.datum)), self.tight
            return
        sides = np.unique(self.side[self.tight])
        patterns = self.tight_room[sides]
        if patterns.all():
            yield np.arange(len(self.field.datum)), self.tight
            return
        packed = np.packbits(patterns, axis=0).T
        _, first, number = np.unique(packed, axis=0, return_index=True, return_inverse=True)
        for cell, at in enumerate(first.tolist()):
            yield np.flatnonzero(number.ravel() == cell), self.tight & self.tight_room[:, at][self.side]

    @cached_property
    def hole(self) -> Hole | None:
        """Where no kit passes at the tightest corner; None when every cell is covered."""
        for bearings, rows in self.classes():
            deck = uncovered(self.rows.low[rows], self.rows.high[rows], self.first, self.last)
            if deck is not None:
                return Hole(deck, int(self.field.datum[bearings[0]]))
        return None

    def dearest(self) -> int | None:
        """The price at which, from the cheapest kit on, every world has one; None if unpriced."""
        found = 0
        for _, chosen in self.classes():
            priced = chosen & (self.cheapest < UNPRICED)
            rows, price = self.rows.taken(priced), self.cheapest[priced]
            order = np.argsort(price, kind="stable")
            taken = completing(rows.low[order], rows.high[order], self.first, self.last)
            if taken is None:
                return None
            found = max(found, int(price[order[taken - 1]]))
        return found

    def patches(self) -> Iterator[Patch]:
        """A cover: for each class the fewest of the best rows that together cover the deck."""
        for bearings, chosen in self.classes():
            numbers = np.flatnonzero(chosen)
            rows = self.rows.taken(numbers)
            taken = completing(rows.low, rows.high, self.first, self.last) or 0
            for row, first, last in fewest(rows.low[:taken], rows.high[:taken], self.first, self.last):
                yield Patch(int(numbers[row]), first, last, bearings)

    def sure_cores(self) -> set[int]:
        """The cores of which in every world of the scene some stack passes."""
        everywhere = self.tight & self.tight_room.all(axis=1)[self.side] if self.tight.any() else self.tight
        numbers = np.flatnonzero(everywhere)
        cores = self.rows.core[numbers]
        order = np.argsort(cores, kind="stable")
        starts = np.flatnonzero(np.diff(cores[order], prepend=-1))
        found = set()
        for group in np.split(numbers[order], starts[1:]) if len(numbers) else []:
            if uncovered(self.rows.low[group], self.rows.high[group], self.first, self.last) is None:
                found.add(int(self.rows.core[group[0]]))
        return found

    @property
    def circumstance(self) -> Circumstance:
        variant = self.field.variant
        return Circumstance(
            run=variant.run.code if variant.run else None,
            exceptions=tuple(one.code for one in variant.exceptions),
            plug_present=self.field.plug,
            motor_voltage_mv=self.motor_mv,
            control_voltage_mv=self.control_mv,
        )

    def world(self, at: Corner, deck_um: int, datum_ddeg: int) -> World:
        """The world of this scene at a corner, a deck thickness and a bearing of the datum."""
        return World(
            variant=self.field.variant,
            plug_present=self.field.plug,
            deck_thickness_um=deck_um,
            depth_below_deck_um=at.depth_um,
            free_radius=at.sectors,
            datum_ddeg=datum_ddeg % TURN,
            opening=OpeningSize(at.round, at.width_um, at.height_um),
            pad_diameter_um=at.pad_um,
            motor_voltage_mv=self.motor_mv,
            control_voltage_mv=self.control_mv,
        )


def first_fill(suiting: list[PricedFill], lead: int | None) -> PricedFill:
    """Of fills that come cheapest first, the cheapest; or, beside parts of this lead time, the soonest."""
    return suiting[0] if lead is None else min(suiting, key=lambda one: (max(one.lead, lead), one.price))


def _by_core(rows: Rows, figures: dict[int, int]) -> Ints:
    """A figure of each row's core."""
    column = np.full(1 + max(figures, default=0), UNPRICED, dtype=np.int64)
    column[list(figures)] = list(figures.values())
    return column[rows.core]


def _leads(fills: dict[int, list[PricedFill]], rank: int) -> dict[int, int]:
    """The lead time of each core's fill of this rank; ``LATEST`` where it has no such fill."""
    return {core: suiting[rank].lead if rank < len(suiting) else LATEST for core, suiting in fills.items()}


def _prices(fills: dict[int, list[PricedFill]], rank: int) -> dict[int, int]:
    return {core: suiting[rank].price if rank < len(suiting) else UNPRICED for core, suiting in fills.items()}


LATEST = 2 * UNPRICED
"""Later than a lead time that is not known."""
