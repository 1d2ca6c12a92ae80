"""Kinds of columns: how a cell is read, written in canonical form, described, and bounded.

A kind reads the text of one cell, which is never empty (an empty cell is a null, and the column says whether
it may be one), and returns the value in the unit that the column's name ends in. It raises ``FaultyInput``.
``write`` gives the one canonical text of a value: ``write(read(text))`` is the same for all spellings.
"""

import re
import sys
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from enum import StrEnum

from stdnum import ean

from catalog.package import faults
from shared.money import PLACES, UnknownCurrency
from shared.units import MOST_DIGITS, CommaInNumber, NotWhole, NumberTooLong

Value = str | int | bool | Decimal | date | None

CODE_PATTERN = "[a-z0-9]+(-[a-z0-9]+)*"
SKU_PATTERN = "[!-~]+"
GTIN_PATTERN = "([0-9]{8}|[0-9]{12,14})"
CURRENCY_PATTERN = "[A-Z]{3}"
LONGEST_CODE = 60
LONGEST_SKU = 40
LONGEST_NAME = 120
LONGEST_NOTE = 1_000
LONGEST_SERIAL = 30
GTIN_DIGITS = 14
MOST_REMEMBERED = 20_000

_CODE = re.compile(CODE_PATTERN)
_SKU = re.compile(SKU_PATTERN)
_GTIN = re.compile(GTIN_PATTERN)
_DECIMAL = re.compile(r"-?[0-9]+(?:\.[0-9]+)?")
_EXPONENT = re.compile(r"[+-]?[0-9.]+[eE][+-]?[0-9]+")
_COMMA = re.compile(r"[+-]?[0-9]+,[0-9]+")
_DAY = re.compile(r"(?:19|20|21)[0-9]{2}-[0-9]{2}-[0-9]{2}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """The base of all kinds. ``refers`` names the resource whose key the value must be."""

    about: str
    refers: str = ""

    def read(self, text: str) -> Value:
        raise NotImplementedError

    def write(self, value: Value) -> str:
        return str(value)

    @property
    def json_type(self) -> str:
        """The type's name in a table schema of Data Package version 2."""
        return "string"

    @property
    def constraints(self) -> dict[str, object]:
        """The constraints of a table schema, save ``required`` and ``unique``."""
        return {}

    @property
    def in_words(self) -> str:
        """What may stand in a cell, for the documentation."""
        raise NotImplementedError


@dataclass(frozen=True, slots=True, kw_only=True)
class Text(Kind):
    """One line of printable text."""

    longest: int = LONGEST_NAME

    def read(self, text: str) -> str:
        if text[0] == " " or text[-1] == " ":
            raise faults.SpaceAround(given=f'"{text}"')
        if len(text) > self.longest:
            raise faults.TextTooLong(found=len(text), limit=self.longest)
        return text

    @property
    def constraints(self) -> dict[str, object]:
        return {"maxLength": self.longest}

    @property
    def in_words(self) -> str:
        return f"text, at most {self.longest:,} characters"


@dataclass(frozen=True, slots=True, kw_only=True)
class Code(Text):
    """A code slug: small letters and digits in groups joined by hyphens."""

    longest: int = LONGEST_CODE

    def read(self, text: str) -> str:
        if not _CODE.fullmatch(text):
            raise faults.NotACode(given=text)
        return sys.intern(super(Code, self).read(text))

    @property
    def constraints(self) -> dict[str, object]:
        return {"maxLength": self.longest, "pattern": CODE_PATTERN}

    @property
    def in_words(self) -> str:
        return "code"


@dataclass(frozen=True, slots=True, kw_only=True)
class Sku(Text):
    """A part number: printable ASCII without spaces. It may begin with ``-`` or ``+``."""

    longest: int = LONGEST_SKU

    def read(self, text: str) -> str:
        if not _SKU.fullmatch(text):
            raise faults.NotASku(given=text)
        return sys.intern(super(Sku, self).read(text))

    @property
    def constraints(self) -> dict[str, object]:
        return {"maxLength": self.longest, "pattern": SKU_PATTERN}

    @property
    def in_words(self) -> str:
        return "SKU"


@dataclass(frozen=True, slots=True, kw_only=True)
class Number(Kind):
    """A decimal number of at most ``places`` decimals, both bounds inclusive. Exact, never a float."""

    places: int = 3
    least: Decimal = Decimal(0)
    most: Decimal = Decimal(100_000)
    remembered: dict[str, Decimal] = field(default_factory=dict, repr=False, compare=False)

    def read(self, text: str) -> Decimal:
        value = self.remembered.get(text)
        if value is None:
            value = self._bounded(_decimal(text), text)
            if len(self.remembered) < MOST_REMEMBERED:
                self.remembered[text] = value
        return value

    def _bounded(self, value: Decimal, text: str) -> Decimal:
        kept = round(value, self.places)
        if kept != value:
            raise NotWhole(given=text, step=format(Decimal(1).scaleb(-self.places), "f"))
        if value < self.least:
            raise faults.TooSmall(given=text, limit=plain(self.least))
        if value > self.most:
            raise faults.TooLarge(given=text, limit=plain(self.most))
        return Decimal(plain(kept))

    def write(self, value: Value) -> str:
        return plain(value) if isinstance(value, Decimal) else str(value)

    @property
    def json_type(self) -> str:
        return "number"

    @property
    def constraints(self) -> dict[str, object]:
        return {"maximum": _bound(self.most), "minimum": _bound(self.least)}

    @property
    def in_words(self) -> str:
        return f"number, {plain(self.least)} to {plain(self.most)}, {self.places} decimals"


@dataclass(frozen=True, slots=True, kw_only=True)
class Amount(Number):
    """An amount of money. How many decimals it has is its currency's affair, which stands in the same row."""

    places: int = 4
    most: Decimal = Decimal(99_999_999)

    def write(self, value: Value) -> str:
        return format(value, "f") if isinstance(value, Decimal) else str(value)

    @property
    def in_words(self) -> str:
        return f"amount, 0 to {self.most}, with as many decimals as its currency has"


@dataclass(frozen=True, slots=True, kw_only=True)
class Whole(Kind):
    """A whole number, both bounds inclusive; ``choices`` narrows it to a few."""

    least: int = 0
    most: int = 1_000_000
    choices: tuple[int, ...] = ()

    def read(self, text: str) -> int:
        value = _decimal(text)
        if value != int(value):
            raise NotWhole(given=text, step="1")
        if self.choices and value not in self.choices:
            raise faults.NotAChoice(given=text, choices=", ".join(map(str, self.choices)))
        if value < self.least:
            raise faults.TooSmall(given=text, limit=self.least)
        if value > self.most:
            raise faults.TooLarge(given=text, limit=self.most)
        return int(value)

    @property
    def json_type(self) -> str:
        return "integer"

    @property
    def constraints(self) -> dict[str, object]:
        if self.choices:
            return {"enum": list(self.choices)}
        return {"maximum": self.most, "minimum": self.least}

    @property
    def in_words(self) -> str:
        if self.choices:
            return " or ".join(map(str, self.choices))
        return f"whole number, {self.least} to {self.most}"


@dataclass(frozen=True, slots=True, kw_only=True)
class YesNo(Kind):
    """``true`` or ``false``."""

    def read(self, text: str) -> bool:
        if text not in {"true", "false"}:
            raise faults.NotAChoice(given=text, choices="true, false")
        return text == "true"

    def write(self, value: Value) -> str:
        return "true" if value else "false"

    @property
    def json_type(self) -> str:
        return "boolean"

    @property
    def in_words(self) -> str:
        return "`true` or `false`"


@dataclass(frozen=True, slots=True, kw_only=True)
class Day(Kind):
    """A date of the years 1900 to 2199."""

    def read(self, text: str) -> date:
        if not _DAY.fullmatch(text):
            raise faults.NotADate(given=text)
        try:
            return date.fromisoformat(text)
        except ValueError:
            raise faults.NotADate(given=text) from None

    def write(self, value: Value) -> str:
        return value.isoformat() if isinstance(value, date) else str(value)

    @property
    def json_type(self) -> str:
        return "date"

    @property
    def in_words(self) -> str:
        return "date, `YYYY-MM-DD`"


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice(Kind):
    """One member of an enumeration of the resolver, which is what the value becomes."""

    among: Mapping[str, StrEnum]

    def read(self, text: str) -> StrEnum:
        found = self.among.get(text)
        if found is None:
            raise faults.NotAChoice(given=text, choices=", ".join(self.among))
        return found

    @property
    def constraints(self) -> dict[str, object]:
        return {"enum": list(self.among)}

    @property
    def in_words(self) -> str:
        return ", ".join(f"`{name}`" for name in self.among)


@dataclass(frozen=True, slots=True, kw_only=True)
class Currency(Kind):
    """An active currency of ISO 4217 that has a minor unit."""

    def read(self, text: str) -> str:
        if text not in PLACES:
            raise UnknownCurrency(given=text)
        return sys.intern(text)

    @property
    def constraints(self) -> dict[str, object]:
        return {"pattern": CURRENCY_PATTERN}

    @property
    def in_words(self) -> str:
        return "currency code of ISO 4217"


@dataclass(frozen=True, slots=True, kw_only=True)
class Gtin(Kind):
    """A GTIN of 8, 12, 13 or 14 digits whose check digit is right."""

    def read(self, text: str) -> str:
        if not _GTIN.fullmatch(text):
            raise faults.NotAGtin(given=text)
        expected = ean.calc_check_digit(text[:-1])
        if text[-1] != expected:
            raise faults.GtinCheckDigit(given=text, expected=expected)
        return text

    @property
    def constraints(self) -> dict[str, object]:
        return {"pattern": GTIN_PATTERN}

    @property
    def in_words(self) -> str:
        return "GTIN of 8, 12, 13 or 14 digits with its check digit"


def choice(about: str, among: Iterable[StrEnum]) -> Choice:
    """A column with the members of an enumeration, save the one whose value is empty (a null)."""
    return Choice(about=about, among={str(member): member for member in among if str(member)})


def plain(number: Decimal) -> str:
    """A number without exponent and without zeros at its end: ``41.500`` is ``41.5``, ``-0`` is ``0``."""
    text = format(number, "f")
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def gtin_14(gtin: str) -> str:
    """A GTIN with leading zeros, so that the same article compares equal in every length."""
    return gtin.rjust(GTIN_DIGITS, "0")


def _decimal(text: str) -> Decimal:
    if not _DECIMAL.fullmatch(text):
        raise _no_decimal(text)
    if len(text) - text.startswith("-") - ("." in text) > MOST_DIGITS:
        raise NumberTooLong(given=text)
    return Decimal(text)


def _no_decimal(text: str) -> Exception:
    if _EXPONENT.fullmatch(text):
        return faults.ExponentInNumber(given=text)
    if _COMMA.fullmatch(text):
        return CommaInNumber(given=text, suggestion=text.replace(",", "."))
    return faults.NotADecimal(given=text)


def _bound(number: Decimal) -> int | str:
    # A binary float has no place in a canonical description; the table schema takes text as well.
    return int(number) if number == int(number) else plain(number)
