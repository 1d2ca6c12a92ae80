"""Compiling: a catalog becomes an immutable index, so that one question is a few array look-ups.

Stages, once for each revision:

1. every article gets a number, in order of its SKU, so that columns can hold it;
2. for each *signature* (base pattern, spindle) the mating cores are joined: adapters on the pattern,
   drives on
   the adapter's flange, shafts with a window on (spindle, coupling), each in every hand the drive can
   be had in;
   what the length, depth and opening gates need of a core stands in integer columns (a ``Group``);
3. for each flange every allowed spacer stack is enumerated (``Stacks``).

What depends on the question's date and currency (prices, validity) is a ``Book``, made on first use and
kept. Two catalogs that differ only in the order of their mappings compile to equal indexes.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from threading import Lock
from typing import Any

import numpy as np
import numpy.typing as npt

from catalog.resolver.definition import allowed_clockings, every_stack
from catalog.resolver.facts import WinchIndex
from catalog.resolver.gates import READS, refuse_clashes
from catalog.resolver.geometry import TURN, core_radius_um, greatest_radius_um, in_hand
from catalog.resolver.groups import NOTHING, Bools, Group, Ints, Joiner
from catalog.resolver.kits import Stack, reached, replacing, stands_for
from catalog.resolver.parts import (
    Adapter,
    Catalog,
    CatalogException,
    Drive,
    ExceptionKind,
    Hand,
    Part,
    PartKind,
    Power,
    PoweredWinch,
    Solid,
    Status,
    TripRow,
)

COMPILER_FORMAT = 1
UNPRICED = 1 << 55
"""Stands for a price or lead time that is not known: larger than any sum of those that are."""
BOOKS_KEPT = 32

CORE_KINDS = frozenset({PartKind.ADAPTER, PartKind.SHAFT, PartKind.DRIVE, PartKind.HANDING_KIT})
FILL_KINDS = frozenset({PartKind.CONTROLLER, PartKind.BREAKER, PartKind.SWITCH})

NOT_YET, EXPIRED, WITHDRAWN = 1, 2, 4
"""Bits of ``Book.era``: why a part may not be had at the date."""


class UntiableException(TypeError):
    """An exception ties a spacer to a part of a slot, which the search does not decide; publishing refuses
    it.
    """


@dataclass(frozen=True, slots=True)
class Stacks:
    """The spacer stacks of a flange, thickest first, then by fewest pieces and SKU."""

    stacks: tuple[Stack, ...]
    thickness: Ints


@dataclass(frozen=True, slots=True)
class Side:
    """A drive in one hand: its solids as they lie, how far they reach, the clockings it allows.

    Whatever its clocking, the drive reaches ``core_um`` at every bearing and ``reach_um`` at some.
    ``turned`` are the
    clockings as a column, ``stretches`` as (first, count).
    """

    solids: tuple[Solid, ...]
    reach_um: int
    core_um: int
    clockings: tuple[int, ...]
    turned: Ints
    stretches: tuple[tuple[int, int], ...]

    @classmethod
    def of(cls, drive: Drive, hand: Hand) -> Side:
        clockings = tuple(allowed_clockings(drive.clockings_ddeg))
        return cls(
            solids=in_hand(drive.solids, hand),
            reach_um=greatest_radius_um(drive.solids, 0, TURN),
            core_um=core_radius_um(drive.solids),
            clockings=clockings,
            turned=np.array(clockings, dtype=np.int64),
            stretches=_stretches(clockings),
        )


def _stretches(clockings: tuple[int, ...]) -> tuple[tuple[int, int], ...]:
    """Consecutive clockings as (first, count)."""
    found: list[tuple[int, int]] = []
    for clocking in clockings:
        if found and sum(found[-1]) == clocking:
            found[-1] = (found[-1][0], found[-1][1] + 1)
        else:
            found.append((clocking, 1))
    return tuple(found)


@dataclass(slots=True)
class Book:
    """Prices (minor units), lead times (days) and validity of every article at one date, in one currency.

    ``fills`` keeps what suits a motor once asked (``fills.py``). For each flange ``stack_figures`` keeps
    price and lead time of its stacks, and ``best_stacks`` those of which no equally thick one is cheaper
    and sooner.
    """

    price: Ints
    lead: Ints
    era: npt.NDArray[np.int8]
    fills: dict[object, Any] = field(default_factory=dict)
    stack_figures: dict[str, tuple[Ints, Ints]] = field(default_factory=dict)
    best_stacks: dict[str, Ints] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Slots:
    """Controllers, breakers and switches in columns, for the feed gate."""

    controllers: tuple[str, ...]
    controller: Ints
    controller_leads: Ints
    controller_current: Ints
    controller_inputs: Ints
    breakers: tuple[str, ...]
    breaker: Ints
    breaker_rating: Ints
    breaker_voltage: Ints
    breaker_curve: Ints
    curves: tuple[tuple[TripRow, ...], ...]
    switches: tuple[str, ...]
    switch: Ints


@dataclass(frozen=True, slots=True)
class Validity:
    """For every article the day it begins, ends and was withdrawn (ordinals), and its lead time in days."""

    begins: Ints
    ends: Ints
    withdrawn: Ints
    lead: Ints


@dataclass(slots=True)
class Compiled:
    """An immutable revision, ready to be asked. Only the caches inside change."""

    catalog: Catalog
    index: WinchIndex
    number: Mapping[str, int]
    skus: tuple[str, ...]
    groups: Mapping[tuple[str, str], Group]
    stacks: Mapping[str, Stacks]
    adapters_on: Mapping[str, tuple[Adapter, ...]]
    joiner: Joiner
    standing: Mapping[str, tuple[str, ...]]
    in_place_of: Mapping[str, tuple[str, ...]]
    slots: Slots
    validity: Validity
    price_rows: Mapping[str, tuple[Ints, Ints, Ints]]
    powered: tuple[PoweredWinch, ...]
    sides: dict[tuple[str, Hand], Side] = field(default_factory=dict)
    _books: OrderedDict[tuple[date, str], Book] = field(default_factory=OrderedDict)
    _lock: Lock = field(default_factory=Lock)

    def book(self, as_of: date, currency: str) -> Book:
        """Prices and validity at a date, in a currency; the last few are kept."""
        key = (as_of, currency)
        with self._lock:
            found = self._books.get(key)
            if found is not None:
                self._books.move_to_end(key)
                return found
        made = _book(self, as_of, currency)
        with self._lock:
            self._books[key] = made
            while len(self._books) > BOOKS_KEPT:
                self._books.popitem(last=False)
        return made

    def stands_for(self, sku: str) -> frozenset[str]:
        """``sku`` and what may be fitted in its place."""
        return reached(self.standing, sku)

    def side(self, drive: str, hand: Hand) -> Side:
        """The solids and clockings of a drive in a hand."""
        found = self.sides.get((drive, hand))
        if found is None:
            found = self.sides[drive, hand] = Side.of(self.catalog.drives[drive], hand)
        return found

    def powered_from(self, working_load_n: int) -> Iterator[PoweredWinch]:
        """The powered winches of at least this working load, smallest first."""
        return (one for one in self.powered if one.working_load_n >= working_load_n)

    def group_with(self, base_pattern: str, spindle: str, lifted: frozenset[str]) -> Group:
        """The cores on a signature; with adapters whose mating a keeper's exception lifts, joined for the
        purpose.
        """
        known = self.groups.get((base_pattern, spindle))
        if known is not None and not lifted:
            return known
        adapters = {one.sku: one for one in self.adapters_on.get(base_pattern, ())}
        adapters |= {sku: self.catalog.adapters[sku] for sku in lifted if sku in self.catalog.adapters}
        return self.joiner.group(adapters.values(), spindle)


def compile_catalog(catalog: Catalog) -> Compiled:
    """Compile one revision. Raises ``UntiableException`` for an exception that cannot be decided."""
    refuse_clashes(READS)
    for ruling in catalog.exceptions:
        _refuse_untiable(catalog, ruling)
    skus = tuple(sorted(catalog.parts))
    number = {sku: at for at, sku in enumerate(skus)}
    joiner = _joiner(catalog, skus, number)
    compiled = Compiled(
        catalog=catalog,
        index=WinchIndex.of(catalog),
        number=number,
        skus=skus,
        groups={},
        stacks=_all_stacks(catalog),
        adapters_on=_by_keys((one, one.bases) for one in _in_order(catalog.adapters)),
        joiner=joiner,
        standing=replacing(catalog),
        in_place_of=_by_keys((one.old, [one.new]) for one in catalog.supersessions),
        slots=_slots(catalog, number),
        validity=_validity(catalog, skus),
        price_rows=_price_rows(catalog, skus),
        powered=tuple(sorted(catalog.powered_winches.values(), key=_by_size)),
    )
    signatures = sorted({(run.base_pattern, run.spindle) for run in catalog.runs.values()})
    compiled.groups = {
        (pattern, spindle): joiner.group(compiled.adapters_on.get(pattern, ()), spindle)
        for pattern, spindle in signatures
    }
    return compiled


def _by_size(winch: PoweredWinch) -> tuple[int, str]:
    return (winch.size, winch.sku)


def _in_order[T](mapping: Mapping[str, T]) -> list[T]:
    return [mapping[key] for key in sorted(mapping)]


def _by_keys[T, K](pairs: Iterable[tuple[T, Iterable[K]]]) -> dict[K, tuple[T, ...]]:
    found: dict[K, list[T]] = {}
    for one, keys in pairs:
        for key in keys:
            found.setdefault(key, []).append(one)
    return {key: tuple(listed) for key, listed in found.items()}


def _refuse_untiable(catalog: Catalog, ruling: CatalogException) -> None:
    tied = [ruling.sku]
    if ruling.with_sku:
        tied += (
            stands_for(catalog, ruling.with_sku)
            if ruling.kind is ExceptionKind.REQUIRE
            else [ruling.with_sku]
        )
    kinds = {catalog.parts[sku].kind for sku in tied}
    if PartKind.SPACER in kinds and kinds & FILL_KINDS:
        raise UntiableException(f"Exception {ruling.code} ties a spacer to a part of a slot.")


def _joiner(catalog: Catalog, skus: tuple[str, ...], number: Mapping[str, int]) -> Joiner:
    electric = [one for one in _in_order(catalog.drives) if one.power is Power.ELECTRIC]
    return Joiner(
        catalog=catalog,
        skus=skus,
        number=number,
        drives_on=_by_keys((one, [one.flange]) for one in electric),
        shafts_on=_by_keys(
            (one, [(row.spindle, row.coupling) for row in one.windows]) for one in _in_order(catalog.shafts)
        ),
        kits_for=_by_keys((one.sku, one.drives) for one in _in_order(catalog.handing_kits)),
    )


def _all_stacks(catalog: Catalog) -> dict[str, Stacks]:
    spacers = _by_keys((one.sku, [one.flange]) for one in _in_order(catalog.spacers))
    return {code: _stacks(catalog, code, spacers.get(code, ())) for code in sorted(catalog.flanges)}


def _stacks(catalog: Catalog, flange: str, spacers: tuple[str, ...]) -> Stacks:
    found = sorted(
        every_stack(catalog, catalog.flanges[flange], spacers),
        key=lambda stack: (-stack.thickness_um, stack.count, stack.spacers),
    )
    return Stacks(tuple(found), np.array([stack.thickness_um for stack in found], dtype=np.int64))


def _slots(catalog: Catalog, number: Mapping[str, int]) -> Slots:
    controllers, breakers = _in_order(catalog.controllers), _in_order(catalog.breakers)
    switches = _in_order(catalog.switches)
    curves: dict[tuple[TripRow, ...], int] = {}
    curve_of = [curves.setdefault(one.trips, len(curves)) for one in breakers]

    def column(values: Iterable[int]) -> Ints:
        return np.array(list(values), dtype=np.int64)

    return Slots(
        controllers=tuple(one.sku for one in controllers),
        controller=column(number[one.sku] for one in controllers),
        controller_leads=column(one.motor_leads for one in controllers),
        controller_current=column(one.max_current_ma for one in controllers),
        controller_inputs=column(one.inputs if one.plain_switches else 0 for one in controllers),
        breakers=tuple(one.sku for one in breakers),
        breaker=column(number[one.sku] for one in breakers),
        breaker_rating=column(one.rating_ma for one in breakers),
        breaker_voltage=column(one.max_voltage_mv for one in breakers),
        breaker_curve=column(curve_of),
        curves=tuple(curves),
        switches=tuple(one.sku for one in switches),
        switch=column(number[one.sku] for one in switches),
    )


def _validity(catalog: Catalog, skus: tuple[str, ...]) -> Validity:
    def column(values: Iterable[int]) -> Ints:
        return np.array(list(values), dtype=np.int64)

    parts = [catalog.parts[sku] for sku in skus]
    return Validity(
        begins=column(one.valid_from.toordinal() if one.valid_from else 0 for one in parts),
        ends=column(one.valid_to.toordinal() if one.valid_to else UNPRICED for one in parts),
        withdrawn=column(_withdrawn_day(one) for one in parts),
        lead=column(UNPRICED if one.lead_time_days is None else one.lead_time_days for one in parts),
    )


def _withdrawn_day(part: Part) -> int:
    """The day from which a part is no more to be had; one withdrawn on an unknown day is gone always."""
    if part.status is not Status.WITHDRAWN:
        return UNPRICED
    return part.withdrawn_on.toordinal() if part.withdrawn_on else 0


def _price_rows(catalog: Catalog, skus: tuple[str, ...]) -> dict[str, tuple[Ints, Ints, Ints]]:
    """For each currency every price as (part number, day it begins, minor units), by part and day."""
    rows: dict[str, list[tuple[int, int, int]]] = {}
    for number, sku in enumerate(skus):
        for price in catalog.parts[sku].prices:
            rows.setdefault(price.currency, []).append(
                (number, price.valid_from.toordinal(), price.amount_minor)
            )
    columns = {}
    for currency, listed in rows.items():
        part, day, minor = np.array(sorted(listed), dtype=np.int64).T
        columns[currency] = (part, day, minor)
    return columns


def _book(compiled: Compiled, as_of: date, currency: str) -> Book:
    price = np.full(len(compiled.skus), UNPRICED, dtype=np.int64)
    if currency in compiled.price_rows:
        part, begins, minor = compiled.price_rows[currency]
        begun = begins <= as_of.toordinal()
        price[part[begun]] = minor[begun]
    day = as_of.toordinal()
    validity = compiled.validity
    era = (
        NOT_YET * (validity.begins > day)
        + EXPIRED * (validity.ends < day)
        + WITHDRAWN * (validity.withdrawn <= day)
    )
    return Book(price, validity.lead, era.astype(np.int8))


__all__ = [
    "COMPILER_FORMAT",
    "NOTHING",
    "Book",
    "Bools",
    "Compiled",
    "Group",
    "Ints",
    "Side",
    "Stacks",
    "compile_catalog",
]
