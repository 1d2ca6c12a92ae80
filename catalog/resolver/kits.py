"""What can be fitted and how: cores, kits, settings; and what a gate says of one of them in one world."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field

from catalog.resolver.facts import World
from catalog.resolver.parts import (
    Adapter,
    Catalog,
    Drive,
    DriveHand,
    Hand,
    Run,
    Shaft,
    ShaftWindow,
    WinchModel,
)
from catalog.resolver.question import Question

Value = object
"""A fact as a check names it: text, a whole number, true or false, or nothing."""


@dataclass(frozen=True, slots=True)
class Core:
    """Adapter, shaft and drive in one hand, with the handing kit that hand may need. SKUs; empty is none."""

    adapter: str
    shaft: str
    drive: str
    hand: Hand
    handing_kit: str = ""

    def skus(self) -> tuple[str, ...]:
        return tuple(sku for sku in (self.adapter, self.shaft, self.drive, self.handing_kit) if sku)


@dataclass(frozen=True, slots=True)
class Stack:
    """Spacers as (SKU, count), by SKU, and how thick they are together."""

    spacers: tuple[tuple[str, int], ...] = ()
    thickness_um: int = 0

    @property
    def count(self) -> int:
        return sum(count for _, count in self.spacers)


@dataclass(frozen=True, slots=True)
class Fill:
    """What fills the slots of a kit: controller, breaker, switches."""

    controller: str
    breaker: str
    switch: str
    switches: int


@dataclass(frozen=True, slots=True)
class Kit:
    core: Core
    stack: Stack
    fill: Fill

    def lines(self) -> tuple[tuple[str, int], ...]:
        """(SKU, quantity) of every part, in the order in which it is fitted."""
        fill = ((self.fill.controller, 1), (self.fill.breaker, 1), (self.fill.switch, self.fill.switches))
        return tuple((sku, 1) for sku in self.core.skus()) + self.stack.spacers + fill

    def skus(self) -> frozenset[str]:
        return frozenset(sku for sku, _ in self.lines())


@dataclass(frozen=True, slots=True)
class Setting:
    """How a kit is set up: clocking from the datum (tenths of a degree), and the length a shaft is cut to
    (µm).
    """

    clocking_ddeg: int
    cut_length_um: int | None = None


@dataclass(frozen=True, slots=True)
class Check:
    """One figure that a gate looked at. ``margin`` is how much room is left, in ``unit``; below 0 is a
    shortfall.

    A check that has no measure has the margin 0 (passed) or -1 and the unit "".
    """

    gate: str
    code: str
    margin: int
    unit: str = ""
    facts: Mapping[str, Value] = field(default_factory=dict)

    @property
    def passed(self) -> bool:
        return self.margin >= 0

    @property
    def name(self) -> str:
        return f"{self.gate}.{self.code}"


@dataclass(frozen=True, slots=True)
class Case:
    """One kit with one setting in one world: what a gate judges."""

    catalog: Catalog
    question: Question
    kit: Kit
    setting: Setting
    world: World

    @property
    def model(self) -> WinchModel:
        return self.catalog.models[self.question.winch.model]

    @property
    def run(self) -> Run | None:
        return self.world.variant.run

    @property
    def drive(self) -> Drive:
        return self.catalog.drives[self.kit.core.drive]

    @property
    def shaft(self) -> Shaft:
        return self.catalog.shafts[self.kit.core.shaft]

    @property
    def adapter(self) -> Adapter:
        return self.catalog.adapters[self.kit.core.adapter]


def verdict_check(gate: str, code: str, *, passed: bool, **facts: Value) -> Check:
    """A check without a measure."""
    return Check(gate, code, 0 if passed else -1, "", facts)


def window_of(shaft: Shaft, spindle: str, coupling: str) -> ShaftWindow | None:
    """The row in which a shaft states its window on this spindle and coupling."""
    for window in shaft.windows:
        if (window.spindle, window.coupling) == (spindle, coupling):
            return window
    return None


def hands_of(catalog: Catalog, drive: Drive, kits: Iterable[str] | None = None) -> Iterator[tuple[Hand, str]]:
    """Every (hand, handing kit) in which a drive can be had; the kit is empty where none is needed.

    ``kits`` are the handing kits to look at, where somebody knows them; else all of the catalog.
    """
    if drive.hand is not DriveHand.CONVERTIBLE:
        yield Hand(drive.hand.value), ""
        return
    yield drive.supplied_hand, ""
    other = Hand.LEFT if drive.supplied_hand is Hand.RIGHT else Hand.RIGHT
    for sku in sorted(catalog.handing_kits if kits is None else kits):
        if drive.sku in catalog.handing_kits[sku].drives:
            yield other, sku


def wished(question: Question, drive: Drive, hand: Hand) -> bool:
    """Whether a drive in this hand is what the question wishes. A drive without a hand satisfies every
    wish.
    """
    wishes = question.wishes
    return wishes.drive in ("any", drive.drive_type) and (wishes.hand in ("any", hand) or hand is Hand.NONE)


def stands_for(catalog: Catalog, sku: str) -> frozenset[str]:
    """``sku`` and what may be fitted in its place: the new one for the old one, either of a two-way pair."""
    return reached(replacing(catalog), sku)


def replacing(catalog: Catalog) -> dict[str, tuple[str, ...]]:
    """For each part what takes its place directly."""
    found: dict[str, tuple[str, ...]] = {}
    for one in catalog.supersessions:
        found[one.old] = (*found.get(one.old, ()), one.new)
        if one.two_way:
            found[one.new] = (*found.get(one.new, ()), one.old)
    return found


def reached(steps: Mapping[str, tuple[str, ...]], sku: str) -> frozenset[str]:
    """``sku`` and all that is reached from it by any number of steps."""
    found, waiting = {sku}, [sku]
    while waiting:
        for other in steps.get(waiting.pop(), ()):
            if other not in found:
                found.add(other)
                waiting.append(other)
    return frozenset(found)
