"""Lengths, angles and figures: read exactly, rounded outward, shown back."""

import math
import pickle
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared import units
from shared.errors import FaultyInput
from shared.units import Rounding, Unit, read_length, read_number


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("38", Fraction(38)),
        ("38.5", Fraction(77, 2)),
        (" 38.50 ", Fraction(77, 2)),
        (".5", Fraction(1, 2)),
        ("5.", Fraction(5)),
        ("+3", Fraction(3)),
        ("-12.25", Fraction(-49, 4)),
        ("−12.25", Fraction(-49, 4)),
        ("1e3", Fraction(1000)),
        ("1.5E-2", Fraction(3, 200)),
        ("1 1/2", Fraction(3, 2)),
        ("1-1/2", Fraction(3, 2)),
        ("1 - 1/2", Fraction(3, 2)),
        ("1½", Fraction(3, 2)),
        ("½", Fraction(1, 2)),
        ("1 5⁄8", Fraction(13, 8)),
        ("13/8", Fraction(13, 8)),
        ("-1 1/2", Fraction(-3, 2)),
        ("-1-1/2", Fraction(-3, 2)),
        ("0", Fraction(0)),
    ],
)
def test_reads_a_number_as_it_is_written(text: str, expected: Fraction) -> None:
    assert read_number(text) == expected


@pytest.mark.parametrize(
    ("value", "code"),
    [
        ("", "not-a-number"),
        ("thirty", "not-a-number"),
        ("1 1", "not-a-number"),
        ("--1", "not-a-number"),
        ("1..2", "not-a-number"),
        ("0x10", "not-a-number"),
        ("1_000", "not-a-number"),
        ("٣٨", "not-a-number"),
        ("NaN", "not-a-number"),
        ("Infinity", "not-a-number"),
        (Decimal("NaN"), "not-a-number"),
        (Decimal("sNaN"), "not-a-number"),
        (Decimal("-Infinity"), "not-a-number"),
        (True, "not-a-number"),
        (None, "not-a-number"),
        (1.5, "not-a-number"),
        (["38"], "not-a-number"),
        ("38,5", "comma-in-number"),
        ("1,234", "comma-in-number"),
        ("1/0", "zero-denominator"),
        ("1 1/0", "zero-denominator"),
        ("1 3/2", "improper-fraction"),
        ("1 2/2", "improper-fraction"),
        ("1E+999999", "number-too-long"),
        ("1E+99999999999999999999999", "number-too-long"),
        ("1E+7", "number-too-long"),
        ("1E-7", "number-too-long"),
        ("0.0000001", "number-too-long"),
        ("1234567890123", "number-too-long"),
        pytest.param("9" * 5000, "number-too-long", id="a long text"),
        (Decimal("1E+999999"), "number-too-long"),
        (Decimal("1.234567890123"), "number-too-long"),
        (10**12, "number-too-long"),
        pytest.param(10**5000, "number-too-long", id="five thousand digits"),
    ],
)
def test_refuses_what_is_no_plain_number(value: object, code: str) -> None:
    with pytest.raises(FaultyInput) as caught:
        read_number(value)
    assert caught.value.code == code
    assert len(str(caught.value)) < 250


def test_twelve_digits_and_a_power_of_six_are_still_read() -> None:
    assert read_number("123456.789012") == Fraction(123456789012, 10**6)
    assert read_number(Decimal("1E+6")) == 10**6
    assert read_number(10**12 - 1) == 10**12 - 1


def test_the_comma_error_suggests_the_point() -> None:
    with pytest.raises(units.CommaInNumber, match=r"Write 38\.5 with a point"):
        read_number("38,5")


@pytest.mark.parametrize(
    ("value", "unit", "um"),
    [
        ("38", "mm", 38_000),
        (Decimal("41.5"), Unit.MM, 41_500),
        (38, Unit.MM, 38_000),
        ("1 1/2", "in", 38_100),
        ("1-1/2", "in", 38_100),
        ("1.5", "in", 38_100),
        ('1 1/2"', "mm", 38_100),
        ("1 1/2 in", "mm", 38_100),
        ("38 mm", "in", 38_000),
        ("38mm", "in", 38_000),
        (Decimal("-2.5"), "mm", -2_500),
    ],
)
def test_lengths_become_micrometres(value: object, unit: str, um: int) -> None:
    assert units.exact_um(read_length(value, unit)) == um


@pytest.mark.parametrize(("value", "unit"), [("38 cm", "mm"), ("38", "cm"), (38, "MM"), ("38 parsec", "mm")])
def test_other_units_are_refused(value: object, unit: str) -> None:
    with pytest.raises(units.UnknownUnit):
        read_length(value, unit)


@pytest.mark.parametrize("text", ["mm", '"', "", " ", "in 38"])
def test_a_unit_alone_is_no_length(text: str) -> None:
    with pytest.raises(units.NotANumber):
        read_length(text)


def test_a_sixty_fourth_is_rounded_outward_and_refused_as_exact() -> None:
    length = read_length("1/64", "in")
    assert length == Fraction(396_875, 1000)
    assert (units.floor_um(length), units.ceil_um(length)) == (396, 397)
    with pytest.raises(units.NotWhole, match="finer than 0.001 mm"):
        units.exact_um(length)


def test_the_worked_number_of_the_module() -> None:
    middle, plus_minus = read_length("1 5/8", "in"), read_length("1/32", "in")
    low, high = middle - plus_minus, middle + plus_minus
    assert (float(low), float(high)) == (40_481.25, 42_068.75)
    assert (units.floor_um(low), units.ceil_um(high)) == (40_481, 42_069)


def test_figures_are_kept_in_thousandths() -> None:
    assert units.exact_thousandths("12.5") == 12_500
    assert units.exact_thousandths(Decimal("0.001")) == 1
    with pytest.raises(units.NotWhole):
        units.exact_thousandths("0.0001")


def test_angles_are_kept_in_tenths_of_a_degree() -> None:
    assert units.exact_tenths("-30.5") == -305
    assert units.bearing_tenths(360) == 3_600
    assert units.bearing_tenths("0") == 0
    with pytest.raises(units.NotWhole):
        units.exact_tenths("30.25")
    for outside in ("-0.1", "360.1", "1000"):
        with pytest.raises(units.NotABearing):
            units.bearing_tenths(outside)


@pytest.mark.parametrize(
    ("um", "expected"),
    [(41_500, "41.5"), (0, "0"), (1, "0.001"), (-2_500, "-2.5"), (38_000, "38"), (1_000_000, "1000")],
)
def test_millimetres_are_shown_exactly(um: int, expected: str) -> None:
    assert units.format_length(um) == expected
    assert units.as_mm(um) == Decimal(expected)


def test_inches_are_shown_rounded_as_asked() -> None:
    assert units.format_length(38_100, "in") == "1.5"
    assert units.format_length(10_000, "in") == "0.3937"
    assert units.format_length(10_000, "in", places=2, rounding=Rounding.DOWN) == "0.39"
    assert units.format_length(10_000, "in", places=2, rounding=Rounding.UP) == "0.4"
    assert units.format_length(-10_000, "in", places=2, rounding=Rounding.UP) == "-0.39"
    assert units.format_length(41_549, places=1, rounding=Rounding.DOWN) == "41.5"


@pytest.mark.parametrize(
    ("um", "expected"),
    [
        (41_275, "1 5/8"),
        (38_100, "1 1/2"),
        (12_700, "1/2"),
        (0, "0"),
        (-41_275, "-1 5/8"),
        (25_400, "1"),
        (100, "0"),
    ],
)
def test_inches_are_shown_as_a_tape_reads(um: int, expected: str) -> None:
    assert units.format_inch_fraction(um) == expected


def test_a_tape_reading_goes_to_its_safe_side() -> None:
    assert units.format_inch_fraction(10_000, denominator=16, rounding=Rounding.DOWN) == "3/8"
    assert units.format_inch_fraction(10_000, denominator=16, rounding=Rounding.UP) == "7/16"


def test_angles_are_shown_in_degrees() -> None:
    assert [units.format_angle(tenths) for tenths in (3155, 300, 0, -5)] == ["315.5", "30", "0", "-0.5"]


lengths_um = st.integers(min_value=-999_999_999, max_value=999_999_999)


@given(lengths_um)
def test_millimetres_survive_the_round_trip(um: int) -> None:
    assert units.exact_um(read_length(units.format_length(um))) == um
    assert units.exact_um(read_length(units.as_mm(um))) == um


@given(lengths_um)
def test_five_places_of_an_inch_name_the_micrometre(um: int) -> None:
    assert round(read_length(units.format_length(um, "in", places=5), "in")) == um


@given(lengths_um, st.sampled_from([1, 2, 4, 8, 16, 32, 64]))
def test_a_tape_reading_is_within_half_a_step(um: int, denominator: int) -> None:
    shown = read_length(units.format_inch_fraction(um, denominator=denominator), "in")
    assert abs(shown - um) <= Fraction(units.UM_PER_INCH, 2 * denominator)


@given(
    st.decimals(min_value=-999_999, max_value=999_999, places=6, allow_nan=False, allow_infinity=False),
    st.sampled_from(list(Unit)),
)
def test_outward_rounding_encloses_by_less_than_a_micrometre(value: Decimal, unit: Unit) -> None:
    length = read_length(value, unit)
    low, high = units.floor_um(length), units.ceil_um(length)
    assert low <= length <= high
    assert high - low <= 1
    assert (high == low) == (length.denominator == 1)


@given(st.integers(0, 9999), st.integers(1, 63), st.sampled_from([2, 4, 8, 16, 32, 64]))
def test_the_three_ways_to_write_an_inch_agree(whole: int, part: int, denominator: int) -> None:
    part %= denominator
    exact = whole + Fraction(part, denominator)
    assert read_number(f"{whole} {part}/{denominator}") == exact
    assert read_number(f"{whole}-{part}/{denominator}") == exact
    assert read_number(f"{float(exact)!r}") == exact


@given(st.text(max_size=60))
def test_any_text_is_a_number_or_a_fault_with_a_sentence(text: str) -> None:
    try:
        assert math.isfinite(read_length(text))
    except FaultyInput as fault:
        assert str(fault).isprintable()
        assert str(pickle.loads(pickle.dumps(fault))) == str(fault)  # noqa: S301 - our own bytes
