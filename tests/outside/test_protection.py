"""What the feed gate says of breakers and voltages, against standards and regulations.

Each check names its source and kind: *published* was read in the document named, *common practice* is a fact
of the trade without a source.
"""

import math

import pytest

from catalog.resolver.gates.feed import carry_percent, charging_voltage_mv
from catalog.resolver.parts import TripRow

HOUR_MS = 3_600_000

DELAY_BREAKER = (
    TripRow(135, 60_000, 600_000),
    TripRow(200, 15_000, 60_000),
    TripRow(400, 2_000, 8_000),
)
"""Invented rows of a delay breaker, in the form that makers state them in."""


def test_full_rating_is_carried_for_an_hour() -> None:
    """At 100 % of its rating a breaker does not trip within an hour.

    Source: MIL-PRF-55629E, 4.8.18. Kind: published.
    """
    assert carry_percent(DELAY_BREAKER, HOUR_MS) == 100


@pytest.mark.parametrize(("press_s", "percent"), [(60, 135), (15, 200), (2, 400)])
def test_a_breakers_own_rows_hold_as_they_stand(press_s: int, percent: int) -> None:
    """Trip curves are a breaker's own data: rows of (percent, earliest, latest).

    Source: common practice. Kind: common practice.
    """
    assert carry_percent(DELAY_BREAKER, 1_000 * press_s) == percent


@pytest.mark.parametrize("press_ms", [2_500, 4_000, 5_477, 8_000, 12_000, 20_000, 30_000, 45_000])
def test_between_rows_the_curve_is_straight_on_log_axes(press_ms: int) -> None:
    """The time at the percentage found is not before the press, and at one percent more it is.

    Source: common practice, log-log between rows. Kind: common practice. Halfway on both axes between 200 %
    at 15 s and 400 % at 2 s lie 282.8 % at 5.477 s.
    """
    percent = carry_percent(DELAY_BREAKER, press_ms)
    assert _earliest_ms(percent) >= press_ms > _earliest_ms(percent + 1)
    if press_ms == 5_477:
        assert percent == 282


def _earliest_ms(percent: int) -> float:
    """The straight line through the two rows around ``percent``, on logarithmic axes."""
    rows = [(math.log(row.percent), math.log(row.earliest_ms)) for row in DELAY_BREAKER]
    (x1, y1), (x2, y2) = rows[:2] if percent <= 200 else rows[1:]
    return math.exp(y1 + (y2 - y1) * (math.log(percent) - x1) / (x2 - x1))


def test_past_the_last_row_nothing_is_promised() -> None:
    """Trip curves are never invented: half a second carries what the last row says, and no more."""
    assert carry_percent(DELAY_BREAKER, 500) == 400


def test_before_the_first_row_only_the_rating_is_promised() -> None:
    """A press longer than the first row's earliest trip is carried at the rating only."""
    assert carry_percent(DELAY_BREAKER, 61_000) == 100


def test_a_delay_breaker_carries_more_than_its_rating_for_a_press() -> None:
    """A press lasts five to fifteen seconds at most, and the peak pull must be reached within it.

    Source: common practice. Kind: common practice.
    """
    assert carry_percent(DELAY_BREAKER, 15_000) > carry_percent(DELAY_BREAKER, 60_000) > 100


@pytest.mark.parametrize("volts", [12, 24, 48])
def test_a_device_is_rated_for_at_least_the_circuits_voltage(volts: int) -> None:
    """The voltage rating of a protective device is not less than the nominal circuit voltage.

    Source: 33 CFR 183.455(d). Kind: published.
    """
    assert charging_voltage_mv(1_000 * volts) >= 1_000 * volts


def test_a_bank_of_48_volts_charges_near_57() -> None:
    """Devices are rated by the charging voltage, not by the name of the bank.

    Source: common practice. Kind: common practice.
    """
    assert charging_voltage_mv(48_000) >= 57_000


@pytest.mark.parametrize("volts", [12, 24, 48])
def test_charging_voltage_is_at_least_that_of_lead_cells(volts: int) -> None:
    """Lead cells of 2 V nominal are charged at up to 2.4 V or so each: 14.4, 28.8, 57.6 V.

    Source: common practice. Kind: common practice.
    """
    assert charging_voltage_mv(1_000 * volts) >= volts // 2 * 2_400
