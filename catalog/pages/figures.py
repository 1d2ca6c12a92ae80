"""Figures as people type and read them: from a box to exact text of JSON, from micrometres back to a box.

A box takes what a tape shows: ``38``, ``38.5``, ``1 1/2``, ``1-1/2``, ``1½``, and may name its own unit
(``1 1/2 in``). What a box is filled with again reads as the very same micrometres, in either unit.
"""

import re
from collections.abc import Callable, Iterator
from decimal import Decimal, localcontext
from fractions import Fraction

from django.utils.translation import gettext as _

from shared.intervals import Interval
from shared.units import (
    UM_PER_MM,
    Rounding,
    Unit,
    ceil_um,
    floor_um,
    format_inch_fraction,
    format_length,
    read_length,
    read_number,
)

TIED = "\N{NO-BREAK SPACE}"
"""Between a figure and its unit, so that no line ends there."""
NANOMETRE = Decimal("0.000001")
"""What a fraction without an end, such as 1/3 in, is cut to: far below the micrometre that is kept."""
_DECIMAL_COMMA = re.compile(r"([+-]?[0-9]+),([0-9]{1,2})(?![0-9])")


def read_typed_number(text: str) -> Decimal:
    """A number from a box. Raises what ``read_number`` raises."""
    return _decimal(read_number(_pointed(text)))


def read_typed_length(text: str, unit: Unit) -> Decimal:
    """A length from a box in mm; a bare figure is in ``unit``. Raises what ``read_length`` raises."""
    return _decimal(read_length(_pointed(text), unit) / UM_PER_MM)


def _pointed(text: str) -> str:
    """With a point for a comma, where the comma can only be a decimal one.

    The number pad of many phones has a comma and no point. Before three digits it could also part thousands:
    that one is left for ``read_number`` to refuse.
    """
    return _DECIMAL_COMMA.sub(r"\1.\2", text, count=1)


def _decimal(number: Fraction) -> Decimal:
    with localcontext(prec=60):
        exact = Decimal(number.numerator) / Decimal(number.denominator)
        return exact if Fraction(exact) == number else exact.quantize(NANOMETRE)


# --- back into a box ----------------------------------------------------------------------------------------


def typed_length(length_um: int, unit: Unit, rounding: Rounding = Rounding.NEAREST) -> str:
    """What to fill a box with, so that it reads as exactly ``length_um`` again.

    ``rounding`` says how the box is rounded when it is read: down at a lower bound, up at an upper one, and
    not at all (``NEAREST``) for a figure by itself. In inches a tape's fraction is preferred, then a decimal;
    what neither can hold is given in mm, with its unit.
    """
    if unit is Unit.MM:
        return format_length(length_um)
    for text in _inch_texts(length_um, rounding):
        if _reads_as(text, unit, rounding) == length_um:
            return text
    return f"{format_length(length_um)} {Unit.MM}"


def _inch_texts(length_um: int, rounding: Rounding) -> Iterator[str]:
    # A bound was rounded outward when it was read, so the figure that was typed lies on its inner side.
    inner = {Rounding.DOWN: Rounding.UP, Rounding.UP: Rounding.DOWN}.get(rounding, Rounding.NEAREST)
    yield format_inch_fraction(length_um, rounding=inner)
    for places in (2, 3, 4):
        yield format_length(length_um, Unit.INCH, places=places, rounding=inner)


def _reads_as(text: str, unit: Unit, rounding: Rounding) -> Fraction | int:
    length = read_length(text, unit)
    rounded: dict[Rounding, Callable[[Fraction], int]] = {Rounding.DOWN: floor_um, Rounding.UP: ceil_um}
    return rounded[rounding](length) if rounding in rounded else length


def typed_spread(length: Interval, unit: Unit) -> tuple[str, str] | None:
    """An interval as (figure, ±), when both are steps that a person would type; else None.

    The steps are half a millimetre or 1/64 inch, and the ± is at most a quarter of the figure: beyond that
    somebody knew two ends rather than a figure.
    """
    if length.low is None or length.high is None or length.is_point:
        return None
    step = Fraction(UM_PER_MM, 2) if unit is Unit.MM else Fraction(25_400, 64)
    middle = round(Fraction(length.low + length.high, 2) / step) * step
    spread = round(Fraction(length.high - length.low, 2) / step) * step
    same = (floor_um(middle - spread), ceil_um(middle + spread)) == (length.low, length.high)
    if not same or not 0 < spread * 4 <= middle:
        return None
    return _typed_steps(middle, unit), _typed_steps(spread, unit)


def _typed_steps(length: Fraction, unit: Unit) -> str:
    # Exact: the figure is a whole number of the unit's steps.
    if unit is Unit.MM:
        return format_length(int(length))
    sixty_fourths = length * 64 / 25_400
    whole, part = divmod(sixty_fourths.numerator, 64)
    fraction = Fraction(part, 64)
    over = f"{fraction.numerator}/{fraction.denominator}" if part else ""
    return " ".join(text for text in (str(whole) if whole or not part else "", over) if text)


# --- for reading --------------------------------------------------------------------------------------------


def shown_length(length_um: int, unit: Unit, rounding: Rounding = Rounding.NEAREST) -> str:
    """A figure of an answer with its unit, to the places that its sentences use."""
    places = 1 if unit is Unit.MM else 2
    figure = format_length(length_um, unit, places=places, rounding=rounding)
    return f"{figure.replace('-', '−')}{TIED}{unit}"


def given_length(length: Interval, unit: Unit) -> str | None:
    """A length as it was given, in full: ``37 to 39 mm``, ``at least 240 mm``. None when nothing is known."""
    spread = typed_spread(length, unit)
    if spread:
        return f"{spread[0]} ± {spread[1]}{TIED}{unit}"
    low = None if length.low is None else _exact(length.low, unit, Rounding.DOWN)
    high = None if length.high is None else _exact(length.high, unit, Rounding.UP)
    if length.low is not None and length.is_point:
        return f"{_exact(length.low, unit, Rounding.NEAREST)}{TIED}{unit}"
    if low and high:
        return _("{low} to {high}").format(low=low, high=f"{high}{TIED}{unit}")
    if low:
        return _("at least {low}").format(low=f"{low}{TIED}{unit}")
    return _("at most {high}").format(high=f"{high}{TIED}{unit}") if high else None


def _exact(length_um: int, unit: Unit, rounding: Rounding) -> str:
    typed = typed_length(length_um, unit, rounding)
    # What only mm can hold exactly is shown in inches all the same, rounded outward.
    return format_length(length_um, unit, rounding=rounding) if typed.endswith(Unit.MM) else typed
