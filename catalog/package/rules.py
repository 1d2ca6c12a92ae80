"""Rules within one row, as values: the reader applies them, the documentation prints them, and the CHECKs of
the database are made from them (``catalog/models/checks.py``).

A rule names the columns that it reads. It is not applied to a row in which one of them could not be read, so
that one mistake is not reported twice.
"""

import operator
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from catalog.package import faults
from catalog.resolver.facts import serial_key
from catalog.resolver.parts import SerialRule
from shared.errors import FaultyInput

EXAMPLES: Mapping[str, str] = {SerialRule.NUMBER: "12345", SerialRule.PREFIX_NUMBER: "AB-1234"}
"""A serial as each rule reads it; ``catalog.resolver.facts.serial_key`` is what reads them."""

Row = Any
Found = Iterator[tuple[str, FaultyInput]]
Scalar = str | int | bool


@dataclass(frozen=True, slots=True)
class Condition:
    """A column has one of the values, or (``one_of`` empty) is given at all."""

    column: str
    one_of: tuple[Scalar, ...] = ()
    negated: bool = False

    def holds(self, row: Row) -> bool:
        value = getattr(row, self.column)
        found = value in self.one_of if self.one_of else value is not None
        return found != self.negated

    @property
    def in_words(self) -> str:
        if self.one_of == (True,):
            return f"{self.column} is {'false' if self.negated else 'true'}"
        is_it = "is not" if self.negated else "is"
        if not self.one_of:
            return f"{self.column} {is_it} given"
        return f"{self.column} {is_it} {' or '.join(map(str, self.one_of))}"

    def __invert__(self) -> "Condition":
        return Condition(self.column, self.one_of, not self.negated)


def when(column: str, *one_of: Scalar) -> Condition:
    return Condition(column, one_of)


def is_true(column: str) -> Condition:
    return Condition(column, (True,))


@dataclass(frozen=True, slots=True)
class Rule:
    """The base of all rules. ``check`` yields (column, fault); ``name`` is unique within a table."""

    @property
    def name(self) -> str:
        raise NotImplementedError

    @property
    def columns(self) -> tuple[str, ...]:
        raise NotImplementedError

    def check(self, row: Row) -> Found:
        raise NotImplementedError

    @property
    def in_words(self) -> str:
        raise NotImplementedError


@dataclass(frozen=True, slots=True)
class NeededIf(Rule):
    """``column`` is needed when the condition holds."""

    column: str
    condition: Condition

    @property
    def name(self) -> str:
        return f"{self.column}_needed"

    @property
    def columns(self) -> tuple[str, ...]:
        return (self.column, self.condition.column)

    def check(self, row: Row) -> Found:
        if getattr(row, self.column) is None and self.condition.holds(row):
            yield self.column, faults.NeededWhen(column=self.column, condition=self.condition.in_words)

    @property
    def in_words(self) -> str:
        return f"`{self.column}` is needed when {self.condition.in_words}."


@dataclass(frozen=True, slots=True)
class EmptyIf(Rule):
    """``column`` has no meaning when the condition holds, and must be empty."""

    column: str
    condition: Condition

    @property
    def name(self) -> str:
        return f"{self.column}_empty"

    @property
    def columns(self) -> tuple[str, ...]:
        return (self.column, self.condition.column)

    def check(self, row: Row) -> Found:
        if getattr(row, self.column) is not None and self.condition.holds(row):
            yield self.column, faults.EmptyWhen(column=self.column, condition=self.condition.in_words)

    @property
    def in_words(self) -> str:
        return f"`{self.column}` must be empty when {self.condition.in_words}."


def only_if(condition: Condition, *columns: str) -> tuple[Rule, ...]:
    """The columns are needed when the condition holds, and empty otherwise."""
    return tuple(
        rule for column in columns for rule in (NeededIf(column, condition), EmptyIf(column, ~condition))
    )


_RELATIONS: Mapping[str, tuple[Callable[[Any, Any], bool], str]] = {
    "<=": (operator.le, "not be above"),
    "<": (operator.lt, "be below"),
}


@dataclass(frozen=True, slots=True)
class Ordered(Rule):
    """``low`` is not above ``high`` (``<=``), or below it (``<``), when both are given."""

    low: str
    high: str
    relation: str = "<="

    @property
    def name(self) -> str:
        return f"{self.low}_{self.high}"

    @property
    def columns(self) -> tuple[str, ...]:
        return (self.low, self.high)

    def check(self, row: Row) -> Found:
        low, high = getattr(row, self.low), getattr(row, self.high)
        holds, words = _RELATIONS[self.relation]
        if low is not None and high is not None and not holds(low, high):
            yield self.high, out_of_order(row, self.low, self.high, words)

    @property
    def in_words(self) -> str:
        return f"`{self.low}` must {_RELATIONS[self.relation][1]} `{self.high}`."


@dataclass(frozen=True, slots=True)
class Different(Rule):
    """The two columns are not equal."""

    first: str
    second: str

    @property
    def name(self) -> str:
        return f"{self.first}_{self.second}_differ"

    @property
    def columns(self) -> tuple[str, ...]:
        return (self.first, self.second)

    def check(self, row: Row) -> Found:
        value = getattr(row, self.second)
        if value is not None and value == getattr(row, self.first):
            yield self.second, faults.MustDiffer(first=self.first, second=self.second)

    @property
    def in_words(self) -> str:
        return f"`{self.first}` and `{self.second}` differ."


@dataclass(frozen=True, slots=True)
class OneOf(Rule):
    """Exactly one of the columns is given."""

    among: tuple[str, ...]

    @property
    def name(self) -> str:
        return f"one_of_{'_'.join(self.among)}"

    @property
    def columns(self) -> tuple[str, ...]:
        return self.among

    def check(self, row: Row) -> Found:
        found = sum(getattr(row, column) is not None for column in self.among)
        if found != 1:
            yield self.among[0], faults.ExactlyOne(columns=", ".join(self.among), found=found)

    @property
    def in_words(self) -> str:
        return f"Exactly one of {', '.join(f'`{column}`' for column in self.among)} is given."


@dataclass(frozen=True, slots=True)
class SuppliedHand(Rule):
    """A drive is supplied with its hand; a convertible one with left or right."""

    hand: str = "hand"
    supplied: str = "supplied_hand"

    @property
    def name(self) -> str:
        return f"{self.supplied}_agrees"

    @property
    def columns(self) -> tuple[str, ...]:
        return (self.hand, self.supplied)

    def check(self, row: Row) -> Found:
        hand, supplied = str(getattr(row, self.hand)), str(getattr(row, self.supplied))
        allowed = ("left", "right") if hand == "convertible" else (hand,)
        if supplied not in allowed:
            yield (
                self.supplied,
                faults.OtherSuppliedHand(hand=hand, expected=" or ".join(allowed), given=supplied),
            )

    @property
    def in_words(self) -> str:
        return f"`{self.supplied}` equals `{self.hand}`; of a convertible drive it is left or right."


@dataclass(frozen=True, slots=True)
class SerialBounds(Rule):
    """The bounds of serial numbers are what the run's rule can read, and in order by it."""

    rule: str = "serial_rule"
    low: str = "serial_from"
    high: str = "serial_to"

    @property
    def name(self) -> str:
        return f"{self.rule}_reads"

    @property
    def columns(self) -> tuple[str, ...]:
        return (self.rule, self.low, self.high)

    def check(self, row: Row) -> Found:
        rule = getattr(row, self.rule)
        if rule not in EXAMPLES:
            return
        keys = []
        for column in (self.low, self.high):
            given = getattr(row, column)
            keys.append(None if given is None else serial_key(rule, given))
            if given is not None and keys[-1] is None:
                yield column, faults.UnreadableSerial(given=given, rule=str(rule), example=EXAMPLES[rule])
        if keys[0] is not None and keys[1] is not None and keys[0] > keys[1]:
            yield self.high, out_of_order(row, self.low, self.high, "not be above")

    @property
    def in_words(self) -> str:
        forms = "; ".join(f"`{rule}`: {example}" for rule, example in EXAMPLES.items())
        return f"Serial bounds are in the form of the rule and in its order ({forms})."


def out_of_order(row: Row, low: str, high: str, relation: str) -> FaultyInput:
    values = {"low_value": str(getattr(row, low)), "high_value": str(getattr(row, high))}
    return faults.OutOfOrder(low=low, high=high, relation=relation, **values)
