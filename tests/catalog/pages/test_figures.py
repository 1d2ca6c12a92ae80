"""What is typed into a box is read exactly, and what a box is filled with reads as the same again."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from catalog.pages.figures import (
    TIED,
    given_length,
    read_typed_length,
    read_typed_number,
    shown_length,
    typed_length,
    typed_spread,
)
from shared.errors import FaultyInput
from shared.intervals import Interval
from shared.units import Rounding, Unit, ceil_um, floor_um, read_length

LENGTHS = st.integers(0, 3_000_000)
UNITS = st.sampled_from(list(Unit))
INCH_UM = 25_400


@pytest.mark.parametrize("text", ["1 1/2", "1-1/2", "1.5", "1½", "1 1/2 in", '1 1/2"', "38.1 mm", " 1,5 "])
def test_the_ways_to_write_an_inch_and_a_half(text: str) -> None:
    assert read_typed_length(text, Unit.INCH) == Decimal("38.1")


def test_a_bare_figure_is_in_the_unit_of_the_sheet() -> None:
    assert read_typed_length("38", Unit.MM) == 38
    assert read_typed_length("38", Unit.INCH) == Decimal("965.2")
    assert read_typed_length("1 1/2 in", Unit.MM) == Decimal("38.1")


def test_a_comma_is_a_decimal_one_where_it_can_be_nothing_else() -> None:
    """The number pad of many phones has no point; 1,250 may also be a thousand."""
    assert read_typed_number("38,5") == Decimal("38.5")
    assert read_typed_number("38,25") == Decimal("38.25")
    with pytest.raises(FaultyInput, match="comma"):
        read_typed_number("1,250")
    with pytest.raises(FaultyInput):
        read_typed_number("1,2,3")


def test_a_fraction_without_an_end_is_cut_below_what_is_kept() -> None:
    third = read_typed_length("1/3", Unit.INCH)
    assert third == Decimal("8.466667")
    exact = Fraction(INCH_UM, 3)
    assert (floor_um(Fraction(third) * 1000), ceil_um(Fraction(third) * 1000)) == (
        floor_um(exact),
        ceil_um(exact),
    )


@pytest.mark.parametrize("text", ["", "abc", "1/0", "1E+999999", "9" * 30, "--3", "3 3/2", "12 furlong"])
def test_what_is_no_length_is_refused_in_a_sentence(text: str) -> None:
    with pytest.raises(FaultyInput) as refused:
        read_typed_length(text, Unit.MM)
    assert str(refused.value)


@given(LENGTHS, UNITS, st.sampled_from(list(Rounding)))
@example(41_275, Unit.INCH, Rounding.NEAREST)
@example(396, Unit.INCH, Rounding.DOWN)
@example(397, Unit.INCH, Rounding.UP)
def test_a_filled_box_reads_as_the_same_length(length_um: int, unit: Unit, rounding: Rounding) -> None:
    read = read_length(typed_length(length_um, unit, rounding), unit)
    rounded = {Rounding.DOWN: floor_um(read), Rounding.UP: ceil_um(read)}.get(rounding, read)
    assert rounded == length_um


@pytest.mark.parametrize(
    ("length_um", "rounding", "text"),
    [
        (41_275, Rounding.NEAREST, "1 5/8"),
        (38_100, Rounding.NEAREST, "1 1/2"),
        (40_640, Rounding.NEAREST, "1.6"),
        (40_481, Rounding.DOWN, "1 19/32"),
        (42_069, Rounding.UP, "1 21/32"),
        (12_345, Rounding.NEAREST, "12.345 mm"),
    ],
)
def test_a_box_in_inches_is_filled_as_a_tape_reads(length_um: int, rounding: Rounding, text: str) -> None:
    assert typed_length(length_um, Unit.INCH, rounding) == text


@given(LENGTHS, st.integers(0, 200_000), UNITS)
@example(37_000, 2_000, Unit.MM)
@example(40_481, 1_588, Unit.INCH)
def test_a_figure_with_its_spread_reads_as_the_same_interval(low: int, width: int, unit: Unit) -> None:
    spread = typed_spread(Interval(low, low + width), unit)
    if spread:
        middle, half = (read_length(text, unit) for text in spread)
        assert (floor_um(middle - half), ceil_um(middle + half)) == (low, low + width)


@pytest.mark.parametrize(
    ("low", "high", "unit", "spread"),
    [
        (37_000, 39_000, Unit.MM, ("38", "1")),
        (37_500, 38_500, Unit.MM, ("38", "0.5")),
        (40_481, 42_069, Unit.INCH, ("1 5/8", "1/32")),
        (20_000, 60_000, Unit.MM, None),
        (37_000, 37_000, Unit.MM, None),
        (37_000, None, Unit.MM, None),
        (37_001, 39_000, Unit.MM, None),
    ],
)
def test_which_intervals_are_shown_as_figure_and_spread(
    low: int, high: int | None, unit: Unit, spread: tuple[str, str] | None
) -> None:
    assert typed_spread(Interval(low, high), unit) == spread


@pytest.mark.parametrize(
    ("low", "high", "unit", "text"),
    [
        (37_000, 39_000, Unit.MM, "38 ± 1 mm"),
        (20_000, 60_000, Unit.MM, "20 to 60 mm"),
        (240_000, None, Unit.MM, "at least 240 mm"),
        (None, 60_000, Unit.INCH, "at most 2.3622 in"),
        (41_275, 41_275, Unit.INCH, "1 5/8 in"),
        (12_345, 12_345, Unit.INCH, "0.486 in"),
        (None, None, Unit.MM, None),
    ],
)
def test_how_a_length_is_told(low: int | None, high: int | None, unit: Unit, text: str | None) -> None:
    told = given_length(Interval(low, high), unit)
    assert (told.replace(TIED, " ") if told else told) == text


def test_a_shown_margin_is_rounded_as_asked() -> None:
    assert shown_length(856, Unit.MM, Rounding.DOWN) == f"0.8{TIED}mm"
    assert shown_length(-1, Unit.MM, Rounding.DOWN) == f"−0.1{TIED}mm"
    assert shown_length(25_399, Unit.INCH, Rounding.DOWN) == f"0.99{TIED}in"
