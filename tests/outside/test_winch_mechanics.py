"""What the duty gate computes, against elementary mechanics and worked values from elsewhere.

Each check names its source and kind: *published* was read in the document named, *common practice* is a fact
of the trade without a source, *from memory* had no document at hand.
"""

from fractions import Fraction

import pytest

from catalog.resolver.gates.duty import HIGH_LOSS_PERCENT, LOW_LOSS_PERCENT, pull_at_most_n, pull_n

INCH_UM = 25_400
POUND_FORCE_N = Fraction(
    "4.4482216152605"
)  # exact by definition of the pound (0.45359237 kg) and standard gravity

STANDARD_HANDLE_UM = 254_000
"""10 in, what ratios and size numbers are quoted for. Common practice."""


def torque_mnm(force_n: Fraction, arm_um: int) -> int:
    """The torque of a force at the end of an arm."""
    return round(force_n * arm_um / 1_000)


def test_the_plain_winch() -> None:
    """R 12 in, r 4 in: 60 lb at the handle hold 180 lb on the rope.

    Source: A. G. H. Thatcher, Scaffolding (public domain), winches, fig. 117. Kind: published.
    """
    torque = torque_mnm(60 * POUND_FORCE_N, 12 * INCH_UM)
    pull = pull_n(torque, ratio_milli=1_000, drum_diameter_um=8 * INCH_UM, loss_percent=0)
    assert pull == int(180 * POUND_FORCE_N)


def test_the_power_ratio_of_a_deck_winch() -> None:
    """Gear ratio x handle / drum radius: 10 in handle, 4 in drum, 5:1 make 25.

    Source: a worked value seen in a sailing column, not citable. Kind: common practice.
    """
    at_the_handle = Fraction(100)
    pull = pull_n(torque_mnm(at_the_handle, STANDARD_HANDLE_UM), 5_000, 4 * INCH_UM, 0)
    assert pull / at_the_handle == 25


def test_the_velocity_ratio_of_a_geared_winch() -> None:
    """(2L/d)(T2/T1): handle 254 mm, drum 80 mm, teeth 15 driving 48 make 20.32.

    Source: elementary mechanics. Kind: common practice.
    """
    expected = Fraction(2 * 254, 80) * Fraction(48, 15)
    at_the_handle = Fraction(1_000)
    pull = pull_n(torque_mnm(at_the_handle, STANDARD_HANDLE_UM), 3_200, 80_000, 0)
    assert pull == int(expected * at_the_handle) == 20_320


def test_the_standard_handle_is_ten_inches() -> None:
    """10 in are 254 mm exactly; the short handle of 8 in is 203.2 mm and pulls a fifth less.

    Source: ratios are quoted for 10 in handles. Kind: common practice.
    """
    assert 10 * INCH_UM == STANDARD_HANDLE_UM
    long, short = (pull_n(torque_mnm(Fraction(200), arm * INCH_UM), 10_000, 100_000, 0) for arm in (10, 8))
    assert (long, short) == (10_160, 8_128)


def test_friction_is_an_interval() -> None:
    """About 10 % is lost in a maintained winch, up to 35 % elsewhere.

    Source: a magazine's test, not named. Kind: common practice. 50 N·m x 8 / 0.04 m = 10 000 N without loss.
    """
    assert (LOW_LOSS_PERCENT, HIGH_LOSS_PERCENT) == (10, 35)
    figures = (50_000, 8_000, 80_000)
    assert pull_n(*figures, 0) == 10_000
    assert pull_at_most_n(*figures, LOW_LOSS_PERCENT) == 9_000
    assert pull_n(*figures, HIGH_LOSS_PERCENT) == 6_500


@pytest.mark.parametrize("loss_percent", [0, 10, 20, 35])
def test_the_last_gear_is_the_strong_one(loss_percent: int) -> None:
    """Two speeds: the motor's two directions drive the winch's two gears, the slower of which pulls more.

    Source: common practice. Kind: common practice. The pulls are as the ratios.
    """
    fast, slow = (pull_n(40_000, ratio, 100_000, loss_percent) for ratio in (2_500, 10_000))
    assert slow == 4 * fast


def test_rounding_errs_to_the_safe_side() -> None:
    """A pull is rounded up where it could overload and down where it must suffice: 1/3 N is 1 N and 0 N."""
    assert (pull_n(1, 50_000, 300_000, 0), pull_at_most_n(1, 50_000, 300_000, 0)) == (0, 1)
