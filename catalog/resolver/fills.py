"""What fills a kit's slots: the controllers, breakers and switches that suit a drive, by the figures of the
feed gate.

Of two fills that suit the same drive at the same control voltage, one that is no worse in price and lead
time is enough; the rest is left out, unless an exception speaks of parts in slots.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import product

import numpy as np

from catalog.resolver.compile import UNPRICED, Book, Compiled, Ints
from catalog.resolver.gates.feed import carry_percent, charging_voltage_mv, switch_count
from catalog.resolver.kits import Fill
from catalog.resolver.parts import Drive
from catalog.resolver.question import Assumptions


@dataclass(frozen=True, slots=True)
class PricedFill:
    """A fill with its price and lead time, ``UNPRICED`` where one is not known, and the voltages it can run
    at.
    """

    fill: Fill
    price: int
    lead: int
    control_mv: frozenset[int]

    def no_worse(self, other: PricedFill) -> bool:
        """Whether it does what ``other`` does, for no more money and no later."""
        return self.price <= other.price and self.lead <= other.lead and self.control_mv >= other.control_mv


Choice = tuple[str, int, int, frozenset[int], int]
"""One part for a slot: SKU, price, lead time, control voltages it takes, quantity."""
Usable = Callable[[str], bool]


class Fills:
    """The fills for each drive, under one question's assumptions.

    ``usable`` tells which parts may be had; ``plain`` says that no exception lets one through, and that all
    are pruned.
    """

    def __init__(
        self,
        compiled: Compiled,
        book: Book,
        assumptions: Assumptions,
        usable: Usable,
        *,
        pruned: bool,
        plain: bool,
    ) -> None:
        self.compiled, self.book, self.assumptions = compiled, book, assumptions
        self.usable, self.pruned = usable, pruned
        # What no exception touches is the same for every question at this date, in this currency.
        self._found: dict[object, tuple[PricedFill, ...]] = book.fills if plain else {}
        self._switches: list[Choice] | None = None
        press_ms = assumptions.press_seconds * 1000
        slots = compiled.slots
        carried = np.array([carry_percent(curve, press_ms) for curve in slots.curves], dtype=np.int64)
        self.carried_ma: Ints = (
            slots.breaker_rating * carried[slots.breaker_curve] // 100
            if len(slots.breakers)
            else slots.breaker_rating
        )

    def of(self, drive: Drive) -> tuple[PricedFill, ...]:
        """Every fill that suits the drive at some control voltage, cheapest first."""
        assumed = (self.assumptions.press_seconds, self.assumptions.switch_inputs)
        motor = (drive.motor_voltage_mv, drive.motor_leads, drive.peak_current_ma, drive.largest_breaker_ma)
        key = (motor, assumed)
        if key not in self._found:
            self._found[key] = self._fills(drive)
        return self._found[key]

    def _fills(self, drive: Drive) -> tuple[PricedFill, ...]:
        found = []
        for controller, breaker, switch in product(
            self.controllers(drive), self.breakers(drive), self.switches()
        ):
            volts = controller[3] & switch[3]
            price = min(UNPRICED, controller[1] + breaker[1] + switch[1])
            if volts:
                fill = Fill(controller[0], breaker[0], switch[0], switch[4])
                found.append(PricedFill(fill, price, max(controller[2], breaker[2], switch[2]), volts))
        found.sort(key=_in_order)
        return tuple(_without_worse(found) if self.pruned else found)

    def controllers(self, drive: Drive) -> list[Choice]:
        slots, volts = self.compiled.slots, drive.motor_voltage_mv
        fits = (
            (slots.controller_leads == drive.motor_leads)
            & (slots.controller_current >= drive.peak_current_ma)
            & (slots.controller_inputs >= self.assumptions.switch_inputs)
        )
        found = []
        for row in np.flatnonzero(fits):
            sku = slots.controllers[row]
            stated = self.compiled.catalog.controllers[sku]
            if volts in stated.motor_voltages_mv and self.usable(sku):
                found.append(self._choice(sku, slots.controller[row], stated.control_voltages_mv))
        return self._best(found)

    def breakers(self, drive: Drive) -> list[Choice]:
        slots = self.compiled.slots
        fits = (
            (self.carried_ma >= drive.peak_current_ma)
            & (slots.breaker_rating <= drive.largest_breaker_ma)
            & (slots.breaker_voltage >= charging_voltage_mv(drive.motor_voltage_mv))
        )
        rows = np.flatnonzero(fits)
        found = [self._choice(slots.breakers[row], slots.breaker[row], frozenset()) for row in rows]
        return self._best([one for one in found if self.usable(one[0])])

    def switches(self) -> list[Choice]:
        if self._switches is None:
            slots, found = self.compiled.slots, []
            for row, sku in enumerate(slots.switches):
                stated = self.compiled.catalog.switches[sku]
                runs_at = frozenset(volts for volts in (12_000, 24_000) if volts <= stated.max_voltage_mv)
                count = switch_count(self.assumptions.switch_inputs, stated.buttons)
                if runs_at and self.usable(sku):
                    found.append(self._choice(sku, slots.switch[row], runs_at, count))
            self._switches = self._best(found)
        return self._switches

    def _choice(self, sku: str, number: int, control_mv: frozenset[int], count: int = 1) -> Choice:
        price = int(self.book.price[number])
        total = UNPRICED if price == UNPRICED else price * count
        return (sku, total, int(self.book.lead[number]), control_mv, count)

    def _best(self, choices: list[Choice]) -> list[Choice]:
        """Without those that another replaces at no more money and no later; ties by SKU."""
        if not self.pruned:
            return choices
        kept: list[Choice] = []
        for one in sorted(choices, key=lambda choice: (choice[1], choice[2], -len(choice[3]), choice[0])):
            if not any(other[1] <= one[1] and other[2] <= one[2] and other[3] >= one[3] for other in kept):
                kept.append(one)
        return kept


def _in_order(fill: PricedFill) -> tuple[int, int, tuple[str, str, str]]:
    return (fill.price, fill.lead, (fill.fill.controller, fill.fill.breaker, fill.fill.switch))


def _without_worse(fills: list[PricedFill]) -> list[PricedFill]:
    kept: list[PricedFill] = []
    for one in fills:
        if not any(other.no_worse(one) for other in kept):
            kept.append(one)
    return kept
