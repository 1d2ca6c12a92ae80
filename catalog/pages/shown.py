"""An answer as its page shows it: the answer's JSON, its figures in the reader's unit.

The sentences come from the answer's JSON as they are.
"""

import json
import shlex
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from django.utils.translation import gettext as _

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
from catalog.pages.kits import Kits, ListedPart, ShownCore, ShownKit, columns_for
from catalog.pages.labels import FAILURES, HANDS, VERDICTS, label
from catalog.pages.telling import Gate, Json, Teller, days, gate_line, money
from catalog.resolver import explain
from catalog.resolver.question import Question, normalised
from shared.units import Unit


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
        self.tell = Teller(unit)
        self.kits = Kits(asked, self.json, unit, makers)

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
            reasons=self.tell.by_gate(form["reasons"]),
            kits=self.kits.kits(),
            columns=columns_for(len(answer.kits)),
            parts=self.kits.parts(),
            cores=self.kits.cores(),
            alternatives=[self._alternative(one) for one in form["alternatives"]],
            cover=self._cover(),
            worlds=self._worlds(),
            failures=self._failures(),
            checked=[gate_line(line) for line in form["gates"] if line["checked"]],
            not_checked=[gate_line(line) for line in form["gates"] if not line["checked"]],
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
            return _("from {low}").format(low=money(low))
        return money(low) if low == high else _("{low} to {high}").format(low=money(low), high=money(high))

    def _assumed(self) -> list[str]:
        """All assumptions: an address states those that were left at their usual values, too."""
        given = self.answer.question.assumptions
        return [str(line) for _name, _value, line in explain.assumed_lines(given, explain.ASSUMED)]

    def _cover(self) -> list[CoverLine]:
        numbers = {found.kit: number for number, found in enumerate(self.answer.kits, 1)}
        return [
            CoverLine(
                case=case_lines([row.circumstance], self.catalog)[0],
                deck=self.tell.band(row.deck.low, row.deck.high),
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

    def _alternative(self, one: Json) -> Alternative:
        return Alternative(
            sku=one["sku"],
            name=one["name"],
            maker=self.makers.get(one["maker"], one["maker"]),
            verdict=label(VERDICTS, one["verdict"]),
            sentence=one["sentence"],
            price=money(one["price"]),
            lead_time=days(one["lead_time_days"]),
        )

    # --- figures --------------------------------------------------------------------------------------------
