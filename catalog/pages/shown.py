"""An answer as its page shows it: the answer's JSON, its figures in the reader's unit, its kits side by side.

The sentences come from the answer's JSON as they are. Every kit has the same rows, so that they can be
compared column by column; a row that a kit lacks is empty there.
"""

import json
import shlex
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from catalog.asking import Asked
from catalog.pages.cases import (
    Line,
    Pair,
    bearings_text,
    case_lines,
    question_lines,
    wish_lines,
    world_pairs,
)
from catalog.pages.figures import TIED, shown_length
from catalog.pages.labels import FAILURES, GATES, HANDS, KINDS, MARGINS, STANDINGS, STATUSES, VERDICTS, label
from catalog.resolver import explain
from catalog.resolver.answer import KitFound
from catalog.resolver.question import Question, normalised
from shared.units import UM_PER_MM, Rounding, Unit

FEW_CLOCKINGS = 8
MOST_COLUMNS = 5
Json = Mapping[str, Any]


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


@dataclass(frozen=True, slots=True)
class Item:
    """One part of a kit."""

    sku: str
    name: str
    quantity: int


@dataclass(frozen=True, slots=True)
class ListedPart:
    """One part of the kits listed, told once for all of them."""

    sku: str
    kind: str
    name: str
    maker: str
    price: str
    lead_time: str
    status: str
    whys: Sequence[str]
    kits: Sequence[int]


@dataclass(frozen=True, slots=True)
class Row:
    """The parts of one kind in one kit."""

    label: str
    items: Sequence[Item]


@dataclass(frozen=True, slots=True)
class Figure:
    label: str
    text: str


@dataclass(frozen=True, slots=True)
class ShownKit:
    number: int
    sure: bool
    standing: str
    in_cover: bool
    price: str
    amount: str
    lead_time: str
    days: int | None
    cases: Sequence[str]
    deck: str
    depth: str
    hand: str
    clockings: Sequence[str]
    more_clockings: Sequence[str]
    clocking_sure: bool
    rotations: str
    cut: str
    notes: Sequence[str]
    margins: Sequence[Figure]
    tightest: str
    gist: str
    rows: Sequence[Row]
    gates: Sequence[Gate]


@dataclass(frozen=True, slots=True)
class ShownCore:
    parts: Sequence[Figure]
    standing: str
    price: str


@dataclass(frozen=True, slots=True)
class Alternative:
    sku: str
    name: str
    maker: str
    verdict: str
    sentence: str
    price: str
    lead_time: str


@dataclass(frozen=True, slots=True)
class CoverLine:
    case: str
    deck: str
    datum: str
    kit: int
    clocking: str


@dataclass(frozen=True, slots=True)
class Failure:
    label: str
    drives: Sequence[str]


@dataclass(frozen=True, slots=True)
class Shown:
    """All that the page of an answer shows, in its order."""

    code: str
    verdict: str
    sentence: str
    order: str
    price: str
    currency: str
    reasons: Sequence[Gate]
    kits: Sequence[ShownKit]
    columns: int
    parts: Sequence[ListedPart]
    cores: Sequence[ShownCore]
    alternatives: Sequence[Alternative]
    cover: Sequence[CoverLine]
    worlds: Sequence[Pair]
    failures: Sequence[Failure]
    checked: Sequence[Gate]
    not_checked: Sequence[Gate]
    assumed: Sequence[str]
    remarks: Sequence[str]
    cautions: Sequence[str]
    last_caution: str
    facts: Sequence[Line]
    wishes: Sequence[Line]
    unknown: int
    question_json: str
    as_of: date
    resolver_version: str


def show(asked: Asked, unit: Unit, makers: Mapping[str, str]) -> Shown:
    """``makers`` names the makers by their codes."""
    return _Showing(asked, unit, makers).shown()


def curl_text(question_json: str, lookups: str) -> str:
    """A line for a terminal that asks the same question over the API."""
    return f"curl {lookups} -H 'Content-Type: application/json' -d {shlex.quote(question_json)}"


def question_text(question: Question) -> str:
    return json.dumps(normalised(question), ensure_ascii=False)


class _Showing:
    def __init__(self, asked: Asked, unit: Unit, makers: Mapping[str, str]) -> None:
        self.asked, self.unit, self.makers = asked, unit, makers
        self.answer, self.catalog = asked.answer, asked.compiled.catalog
        self.json: Json = asked.as_json(unit)
        kinds = {line["kind"] for kit in self.json["kits"] for line in kit["parts"]}
        self.kinds = [kind for kind in KINDS if kind in kinds]

    def shown(self) -> Shown:
        answer, form = self.answer, self.json
        facts = question_lines(answer.question, self.unit)
        cautions = [line["sentence"] for line in form["cautions"]]
        return Shown(
            code=answer.verdict,
            verdict=label(VERDICTS, answer.verdict),
            sentence=form["sentence"],
            order=form["order"]["sentence"],
            price=self._price_range(),
            currency=answer.question.wishes.currency,
            reasons=self._by_gate(form["reasons"]),
            kits=[self._kit(found, kit) for found, kit in zip(answer.kits, form["kits"], strict=True)],
            columns=_columns(len(answer.kits)),
            parts=self._parts(),
            cores=self._cores(),
            alternatives=[self._alternative(one) for one in form["alternatives"]],
            cover=self._cover(),
            worlds=self._worlds(),
            failures=self._failures(),
            checked=[_gate(line) for line in form["gates"] if line["checked"]],
            not_checked=[_gate(line) for line in form["gates"] if not line["checked"]],
            assumed=self._assumed(),
            remarks=[line["sentence"] for line in form["remarks"]],
            cautions=cautions[:-1],
            last_caution=cautions[-1],
            facts=facts,
            wishes=wish_lines(answer.question),
            unknown=sum(not line.texts for line in facts),
            question_json=question_text(answer.question),
            as_of=answer.question.as_of,
            resolver_version=form["resolver_version"],
        )

    # --- about the answer as a whole ------------------------------------------------------------------------

    def _price_range(self) -> str:
        low, high = self.json["price"]["from"], self.json["price"]["to"]
        if low is None:
            return ""
        if high is None:
            return _("from {low}").format(low=_money(low))
        return _money(low) if low == high else _("{low} to {high}").format(low=_money(low), high=_money(high))

    def _by_gate(self, checks: Sequence[Json]) -> list[Gate]:
        gates: dict[str, list[Check]] = {}
        for check in checks:
            gates.setdefault(check["gate"], []).append(self._check(check))
        return [Gate(label(GATES, gate), checks=found) for gate, found in gates.items()]

    def _check(self, check: Json) -> Check:
        margin = self._margin(check)
        said = margin.removeprefix("−").replace(TIED, " ") in check["sentence"]
        return Check(check["sentence"], "" if said else margin)

    def _margin(self, check: Json) -> str:
        margin = check["margin"]
        if margin is None or margin["unit"] not in ("mm", "N·m", "A", "V", "s", "N", "years", "days"):
            return ""
        if margin["unit"] == "mm":
            return self._length(margin["value"], Rounding.DOWN)
        return f"{margin['value']:g}{TIED}{margin['unit']}".replace("-", "−")

    def _assumed(self) -> list[str]:
        """All assumptions: an address states those that were left at their usual values, too."""
        given = self.answer.question.assumptions
        return [str(line) for _name, _value, line in explain.assumed_lines(given, explain.ASSUMED)]

    def _cover(self) -> list[CoverLine]:
        numbers = {found.kit: number for number, found in enumerate(self.answer.kits, 1)}
        return [
            CoverLine(
                case=case_lines([row.circumstance], self.catalog)[0],
                deck=self._band(row.deck.low, row.deck.high),
                datum=bearings_text(row.datum_from_ddeg, row.datum_to_ddeg),
                kit=numbers[row.kit],
                clocking=bearings_text(row.clocking_ddeg, row.clocking_ddeg),
            )
            for row in self.answer.certificate.cover
        ]

    def _worlds(self) -> list[Pair]:
        found = self.answer.certificate
        if found.passing is None or found.failing is None:
            return []
        return world_pairs(found.passing[0], found.failing, self.unit)

    def _failures(self) -> list[Failure]:
        """Which drives, in which hand, fail which check, in the order of the certificate."""
        drives: dict[str, dict[str, None]] = {}
        for row in self.answer.certificate.failures:
            for name in row.fails:
                hand = "" if row.hand.value == "none" else f" ({label(HANDS, row.hand.value)})"
                drives.setdefault(name, {})[f"{row.drive}{hand}" if row.drive else _("all")] = None
        return [Failure(label(FAILURES, name), list(found)) for name, found in drives.items()]

    # --- kits, cores, replacements --------------------------------------------------------------------------

    def _kit(self, found: KitFound, kit: Json) -> ShownKit:
        settings = kit["settings"]
        clockings = self._clockings(found)
        margins = self._margins(kit["checks"])
        sure = kit["standing"] == "sure"
        return ShownKit(
            number=kit["number"],
            sure=sure,
            standing=label(STANDINGS, kit["standing"]),
            in_cover=kit["in_cover"],
            price=_money(kit["price"]),
            amount=kit["price"]["amount"] if kit["price"] else "",
            lead_time=_days(kit["lead_time_days"]),
            days=kit["lead_time_days"],
            cases=[] if sure else case_lines(found.circumstances, self.catalog),
            deck=self._band(found.deck.low, found.deck.high),
            depth=shown_length(found.depth_um, self.unit, Rounding.UP),
            hand=label(HANDS, kit["hand"]),
            clockings=clockings[:FEW_CLOCKINGS],
            more_clockings=clockings[FEW_CLOCKINGS:],
            clocking_sure=any(one.sure for one in found.settings),
            rotations=", ".join(f"{one:g}°" for one in settings["motor_rotation"]),
            cut=self._cut(found),
            notes=[note["sentence"] for note in kit["notes"]],
            margins=margins,
            tightest=self._tightest(found),
            gist=self._gist(found),
            rows=[self._row(kind, kit["parts"]) for kind in self.kinds],
            gates=self._by_gate(kit["checks"]),
        )

    def _clockings(self, found: KitFound) -> list[str]:
        """The sure ones where there are any; else all that pass in some case."""
        sure = [one for one in found.settings if one.sure]
        return [bearings_text(one.from_ddeg, one.to_ddeg) for one in sure or found.settings]

    def _cut(self, found: KitFound) -> str:
        if found.cut_length is None:
            return ""
        return self._band(found.cut_length.low, found.cut_length.high)

    def _margins(self, checks: Sequence[Json]) -> list[Figure]:
        """The margins that are lengths; the others stand with every check."""
        margins = {
            f"{check['gate']}.{check['code']}": self._margin(check)
            for check in checks
            if check["margin"] and check["margin"]["unit"] == "mm"
        }
        return [Figure(str(name), margins[code]) for code, name in MARGINS.items() if code in margins]

    def _tightest(self, found: KitFound) -> str:
        """The smallest margin of reach and space, by which kits are ranked."""
        lengths = [one.margin for one in found.checks if one.unit == "um" and one.gate in ("reach", "space")]
        shown = shown_length(min(lengths), self.unit, Rounding.DOWN) if lengths else ""
        return shown.removesuffix(f"{TIED}{self.unit}")

    def _gist(self, found: KitFound) -> str:
        """What tells a kit from its neighbours in a line: the drive, and how thick its stack is."""
        thickness = found.kit.stack.thickness_um
        stack = f" + {shown_length(thickness, self.unit)}" if thickness else ""
        return f"{found.kit.core.drive}{stack}"

    def _row(self, kind: str, parts: Sequence[Json]) -> Row:
        return Row(label(KINDS, kind), [self._item(part) for part in parts if part["kind"] == kind])

    def _item(self, part: Json) -> Item:
        return Item(part["sku"], part["name"], part["quantity"])

    def _parts(self) -> list[ListedPart]:
        """Every part of the kits listed, in the order in which a kit is fitted."""
        lines = [(kit["number"], part) for kit in self.json["kits"] for part in kit["parts"]]
        found: dict[str, list[tuple[int, Json]]] = {}
        for line in sorted(lines, key=lambda line: (self.kinds.index(line[1]["kind"]), line[1]["sku"])):
            found.setdefault(line[1]["sku"], []).append(line)
        return [self._listed(uses) for uses in found.values()]

    def _listed(self, uses: Sequence[tuple[int, Json]]) -> ListedPart:
        part = uses[0][1]
        return ListedPart(
            sku=part["sku"],
            kind=label(KINDS, part["kind"]),
            name=part["name"],
            maker=self.makers.get(part["maker"], part["maker"]),
            price=_money(part["price"]),
            lead_time=_days(part["lead_time_days"]),
            status="" if part["status"] == "current" else label(STATUSES, part["status"]),
            whys=list(dict.fromkeys(use["why"] for _number, use in uses)),
            kits=[number for number, _part in uses],
        )

    def _cores(self) -> list[ShownCore]:
        """Cores that say more than the kits do: those of a kit that is sure by itself are left out."""
        sure = {found.kit.core for found in self.answer.kits if found.standing == "sure"}
        pairs = zip(self.answer.cores, self.json["cores"], strict=True)
        return [self._core(core) for found, core in pairs if found.core not in sure]

    def _core(self, core: Json) -> ShownCore:
        parts = [
            Figure(label(KINDS, kind), core[key])
            for kind, key in (
                ("adapter", "adapter"),
                ("shaft", "shaft"),
                ("drive", "drive"),
                ("handing-kit", "handing_kit"),
            )
            if core[key]
        ]
        return ShownCore(parts, label(STANDINGS, core["standing"]), _money(core["price"]))

    def _alternative(self, one: Json) -> Alternative:
        return Alternative(
            sku=one["sku"],
            name=one["name"],
            maker=self.makers.get(one["maker"], one["maker"]),
            verdict=label(VERDICTS, one["verdict"]),
            sentence=one["sentence"],
            price=_money(one["price"]),
            lead_time=_days(one["lead_time_days"]),
        )

    # --- figures --------------------------------------------------------------------------------------------

    def _length(self, length_mm: float, rounding: Rounding) -> str:
        return shown_length(round(length_mm * UM_PER_MM), self.unit, rounding)

    def _band(self, low: int | None, high: int | None) -> str:
        """From ... to, rounded inward: what lies between the shown ends is sure to be within."""
        if low is None or high is None:
            return ""
        first, last = (
            shown_length(low, self.unit, Rounding.UP),
            shown_length(high, self.unit, Rounding.DOWN),
        )
        if low == high:
            return shown_length(low, self.unit)
        return _("{low} to {high}").format(low=first.removesuffix(f"{TIED}{self.unit}"), high=last)


def _columns(kits: int) -> int:
    """How many kits stand side by side at a desk: the widest rows of which the last is nearly full."""
    if kits <= MOST_COLUMNS:
        return kits
    return max(range(3, MOST_COLUMNS + 1), key=lambda columns: (-(-kits % columns), columns))


def _gate(line: Json) -> Gate:
    return Gate(label(GATES, line["gate"]), line["sentence"])


def _money(price: Json | None) -> str:
    return f"{price['amount']} {price['currency']}" if price else ""


def _days(days: int | None) -> str:
    return "" if days is None else ngettext("{days} day", "{days} days", days).format(days=days)
