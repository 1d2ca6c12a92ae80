"""Lengths, angles and other measured figures, read exactly and rounded on purpose. Pure: no Django import.

A figure comes in three steps, each visible to the reader:

1. *read*: text or a JSON number becomes an exact ``Fraction`` in the unit it was given in. ``1 1/2``,
   ``1-1/2``, ``1.5`` and ``1½`` are the same figure;
2. *convert*: millimetres or inches become micrometres, still exact (1/64 in is 396.875 µm);
3. *round*: to ``int`` outward (``floor_um`` for a lower, ``ceil_um`` for an upper bound), or not at all
   (``exact_um`` refuses what is not whole).

So a deck measured as 1 5/8 in ± 1/32 in lies between 40 481.25 and 42 068.75 µm and is kept as 40 481 ... 42
069.

No number has more than 12 digits or a power of ten beyond ±6: nothing measured on a boat needs more, and a
text such as ``1E+999999`` must not become a million digits.
"""

import math
import re
from decimal import Decimal, InvalidOperation
from enum import StrEnum
from fractions import Fraction

from shared.errors import FaultyInput
from shared.words import N_

MOST_DIGITS = 12
MOST_EXPONENT = 6
LONGEST_TEXT = 40

UM_PER_MM = 1_000
UM_PER_INCH = 25_400
TENTHS_PER_TURN = 3_600


class Unit(StrEnum):
    """The two units of length that people give and read."""

    MM = "mm"
    INCH = "in"


class Rounding(StrEnum):
    """Which way a figure is rounded when it is shown: a limit goes to its safe side."""

    NEAREST = "nearest"
    DOWN = "down"
    UP = "up"


class NotANumber(FaultyInput):
    code = "not-a-number"
    title = N_("Not a number")
    sentence = N_("{given} is not a number. Write it like 38, 38.5 or 1 1/2.")


class CommaInNumber(FaultyInput):
    code = "comma-in-number"
    title = N_("A comma in a number")
    sentence = N_("{given} has a comma, which could stand for two things. Write {suggestion} with a point.")


class NumberTooLong(FaultyInput):
    code = "number-too-long"
    title = N_("A number is too long")
    sentence = N_("{given} has more than 12 digits, or a power of ten beyond 6.")


class ZeroDenominator(FaultyInput):
    code = "zero-denominator"
    title = N_("A fraction by zero")
    sentence = N_("{given} divides by zero.")


class ImproperFraction(FaultyInput):
    code = "improper-fraction"
    title = N_("A mixed number with a fraction of one or more")
    sentence = N_("{given} is unclear: after a whole number the fraction must be less than one.")


class UnknownUnit(FaultyInput):
    code = "unknown-unit"
    title = N_("Unknown unit")
    sentence = N_("{given} is not a unit of length known here. Use mm or in.")


class NotWhole(FaultyInput):
    code = "finer-than-kept"
    title = N_("Finer than it can be kept")
    sentence = N_("{given} is finer than {step}, the smallest step that is kept here.")


class NotABearing(FaultyInput):
    code = "not-a-bearing"
    title = N_("Not a bearing")
    sentence = N_("{given} is not a bearing. Bearings run from 0 to 360 degrees.")


_DECIMAL = re.compile(r"[+-]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][+-]?[0-9]+)?")
_MIXED = re.compile(r"([+-]?)(?:([0-9]{1,12})(?:\s+|\s*-\s*))?([0-9]{1,6})\s*/\s*([0-9]{1,6})")
_LENGTH = re.compile(r"""(.*?)\s*(mm|in|["″]|[^\W\d_]+)?""", re.DOTALL)
_COMMA = re.compile(r"[+-]?[0-9]+,[0-9]+")
_UNITS = {"mm": Unit.MM, "in": Unit.INCH, '"': Unit.INCH, "″": Unit.INCH}
_VULGAR = {"½": " 1/2", "¼": " 1/4", "¾": " 3/4", "⅛": " 1/8", "⅜": " 3/8", "⅝": " 5/8", "⅞": " 7/8"}
_PLAIN = str.maketrans(
    {**_VULGAR, "−": "-", "⁄": "/", "\N{NO-BREAK SPACE}": " ", "\N{NARROW NO-BREAK SPACE}": " "}
)


def read_number(given: object) -> Fraction:
    """Read a number exactly.

    ``given`` is a ``Decimal`` or ``int`` (a JSON number), or text: a decimal number, a fraction, or a whole
    number and a fraction joined by a space or a hyphen. Raises ``NotANumber``, ``CommaInNumber``,
    ``NumberTooLong``, ``ZeroDenominator`` or ``ImproperFraction``. Binary floats are not taken: they are not
    what was typed.
    """
    if isinstance(given, bool) or not isinstance(given, (Decimal, int, str)):
        raise NotANumber(given=repr(given))
    if isinstance(given, str):
        return _read_text(given)
    return Fraction(_bounded(given))


def _bounded(given: Decimal | int) -> Decimal:
    # Comparing first keeps an absurd int from being turned into text digit by digit.
    if isinstance(given, int) and abs(given) >= 10**MOST_DIGITS:
        raise NumberTooLong(given=f"a whole number of {given.bit_length()} bits")
    number = Decimal(given)
    if not number.is_finite():
        raise NotANumber(given=str(number))
    _, digits, exponent = number.as_tuple()
    if len(digits) > MOST_DIGITS or abs(int(exponent)) > MOST_EXPONENT:
        raise NumberTooLong(given=str(number))
    return number


def _read_text(given: str) -> Fraction:
    if len(given) > LONGEST_TEXT:
        raise NumberTooLong(given=given)
    text = given.translate(_PLAIN).strip()
    mixed = _MIXED.fullmatch(text)
    if mixed:
        return _read_mixed(given, *mixed.groups())
    if _COMMA.fullmatch(text):
        raise CommaInNumber(given=given, suggestion=text.replace(",", "."))
    if not _DECIMAL.fullmatch(text):
        raise NotANumber(given=given or "An empty text")
    try:
        return Fraction(_bounded(Decimal(text)))
    except InvalidOperation:  # an exponent of more digits than the decimal module can hold
        raise NumberTooLong(given=given) from None


def _read_mixed(given: str, sign: str, whole: str | None, numerator: str, denominator: str) -> Fraction:
    if int(denominator) == 0:
        raise ZeroDenominator(given=given)
    part = Fraction(int(numerator), int(denominator))
    if whole is not None and part >= 1:
        raise ImproperFraction(given=given)
    amount = int(whole or 0) + part
    return -amount if sign == "-" else amount


def read_length(given: object, unit: object = Unit.MM) -> Fraction:
    """Read a length and return it in micrometres, exact.

    ``unit`` is what a bare figure is in; text may name its own (``38 mm``, ``1 1/2 in``, ``1-1/2"``). Raises
    what ``read_number`` raises, and ``UnknownUnit``.
    """
    base = _unit(unit)
    if isinstance(given, str) and len(given) <= LONGEST_TEXT:
        split = _LENGTH.fullmatch(given.translate(_PLAIN).strip())
        if split and split[1] and split[2]:
            return read_number(split[1]) * _um_per(_unit(split[2]))
    return read_number(given) * _um_per(base)


def _unit(name: object) -> Unit:
    if not isinstance(name, str) or name not in _UNITS:
        raise UnknownUnit(given=str(name))
    return _UNITS[name]


def _um_per(unit: Unit) -> int:
    return UM_PER_MM if unit is Unit.MM else UM_PER_INCH


def floor_um(length: Fraction) -> int:
    """The whole micrometres at or below ``length``: the outward rounding of a lower bound."""
    return math.floor(length)


def ceil_um(length: Fraction) -> int:
    """The whole micrometres at or above ``length``: the outward rounding of an upper bound."""
    return math.ceil(length)


def exact_um(length: Fraction) -> int:
    """``length`` as whole micrometres; ``NotWhole`` when it is none. For figures of a catalog."""
    return _exact(length, given=f"{float(length / UM_PER_MM):g} mm", step="0.001 mm")


def _exact(figure: Fraction, *, given: str, step: str) -> int:
    if figure.denominator != 1:
        raise NotWhole(given=given, step=step)
    return figure.numerator


def thousandths(given: object) -> Fraction:
    """Read a figure and return it in thousandths, exact: A in mA, V in mV, N·m in mN·m."""
    return read_number(given) * 1000


def exact_thousandths(given: object) -> int:
    """``thousandths`` as an int; ``NotWhole`` when a finer figure was given."""
    return _exact(thousandths(given), given=str(given), step="0.001")


def tenths_of_degree(given: object) -> Fraction:
    """Read an angle in degrees and return it in tenths of a degree, exact, of any sign and size."""
    return read_number(given) * 10


def exact_tenths(given: object) -> int:
    """``tenths_of_degree`` as an int; ``NotWhole`` when a finer angle was given."""
    return _exact(tenths_of_degree(given), given=f"{given}°", step="0.1°")


def bearing_tenths(given: object) -> int:
    """A bearing from 0 to 360 degrees in tenths of a degree, 0 ... 3600; 360 stays 3600, as a sector's end
    needs it.

    Raises ``NotABearing`` outside, ``NotWhole`` when finer than a tenth.
    """
    tenths = exact_tenths(given)
    if not 0 <= tenths <= TENTHS_PER_TURN:
        raise NotABearing(given=str(given))
    return tenths


def as_mm(length_um: int) -> Decimal:
    """Micrometres as millimetres, exact, without trailing zeros: 41500 becomes 41.5."""
    return Decimal(format_length(length_um))


def format_length(
    length_um: int,
    unit: Unit | str = Unit.MM,
    *,
    places: int | None = None,
    rounding: Rounding = Rounding.NEAREST,
) -> str:
    """Show a length as decimal text without its unit: ``format_length(41500)`` is ``41.5``.

    ``places`` defaults to 3 for mm (exact) and 4 for in (2.54 µm). A limit is shown rounded to its safe side
    by ``rounding``; zeros at the end are dropped.
    """
    base = _unit(unit)
    digits = places if places is not None else (3 if base is Unit.MM else 4)
    return _plain(_rounded(Fraction(length_um, _um_per(base)), digits, rounding))


def format_inch_fraction(
    length_um: int, *, denominator: int = 64, rounding: Rounding = Rounding.NEAREST
) -> str:
    """Show a length as a tape in inches reads: 41275 µm is ``1 5/8``; ``denominator`` is its finest step."""
    steps = int(_rounded(Fraction(length_um * denominator, UM_PER_INCH), 0, rounding))
    whole, part = divmod(abs(steps), denominator)
    sign = "-" if steps < 0 else ""
    if not part:
        return f"{sign}{whole}"
    fraction = Fraction(part, denominator)
    return f"{sign}{f'{whole} ' if whole else ''}{fraction.numerator}/{fraction.denominator}"


def format_angle(tenths: int) -> str:
    """Show tenths of a degree as degrees, without the sign: 3155 is ``315.5``."""
    return _plain(_rounded(Fraction(tenths, 10), 1, Rounding.NEAREST))


def _rounded(figure: Fraction, places: int, rounding: Rounding) -> Decimal:
    scaled = figure * 10**places
    if rounding is Rounding.NEAREST:
        whole = round(scaled)
    else:
        whole = math.floor(scaled) if rounding is Rounding.DOWN else math.ceil(scaled)
    return Decimal(whole).scaleb(-places)


def _plain(number: Decimal) -> str:
    text = f"{number:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
