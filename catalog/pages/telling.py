"""How the figures of an answer's JSON are told: money, days, lengths in the reader's unit, checks by gate."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from catalog.pages.figures import TIED, shown_length
from catalog.pages.labels import GATES, label
from shared.units import UM_PER_MM, Rounding, Unit

Json = Mapping[str, Any]
MARGIN_UNITS = frozenset({"mm", "N·m", "A", "V", "s", "N", "years", "days"})


@dataclass(frozen=True, slots=True)
class Check:
    """What a gate says, with its margin where the sentence does not hold it already."""

    sentence: str
    margin: str = ""


@dataclass(frozen=True, slots=True)
class Gate:
    label: str
    sentence: str = ""
    checks: Sequence[Check] = ()


def gate_line(line: Json) -> Gate:
    return Gate(label(GATES, line["gate"]), line["sentence"])


def money(price: Json | None) -> str:
    """Empty where there is no price."""
    return f"{price['amount']} {price['currency']}" if price else ""


def days(count: int | None) -> str:
    """Empty where the lead time is not known."""
    return "" if count is None else ngettext("{days} day", "{days} days", count).format(days=count)


@dataclass(frozen=True, slots=True)
class Teller:
    unit: Unit

    def by_gate(self, checks: Sequence[Json]) -> list[Gate]:
        gates: dict[str, list[Check]] = {}
        for check in checks:
            gates.setdefault(check["gate"], []).append(self._check(check))
        return [Gate(label(GATES, gate), checks=found) for gate, found in gates.items()]

    def _check(self, check: Json) -> Check:
        margin = self.margin(check)
        said = margin.removeprefix("−").replace(TIED, " ") in check["sentence"]
        return Check(check["sentence"], "" if said else margin)

    def margin(self, check: Json) -> str:
        """The room that is left, below zero what is missing; empty where it is no measure."""
        margin = check["margin"]
        if margin is None or margin["unit"] not in MARGIN_UNITS:
            return ""
        if margin["unit"] == "mm":
            return shown_length(round(margin["value"] * UM_PER_MM), self.unit, Rounding.DOWN)
        return f"{margin['value']:g}{TIED}{margin['unit']}".replace("-", "−")

    def band(self, low: int | None, high: int | None) -> str:
        """From ... to (µm), rounded inward: what lies between the shown ends is sure to be within."""
        if low is None or high is None:
            return ""
        if low == high:
            return shown_length(low, self.unit)
        first = shown_length(low, self.unit, Rounding.UP).removesuffix(f"{TIED}{self.unit}")
        last = shown_length(high, self.unit, Rounding.DOWN)
        return _("{low} to {high}").format(low=first, high=last)
