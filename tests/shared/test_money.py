"""Amounts of money: whole minor units, never rounded, never converted."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared import money
from shared.errors import FaultyInput
from shared.money import Money, format_amount, parse_amount, read_money


@pytest.mark.parametrize(
    ("minor", "currency", "amount"),
    [
        (123_450, "EUR", "1234.50"),
        (5, "EUR", "0.05"),
        (-5, "EUR", "-0.05"),
        (0, "USD", "0.00"),
        (1_500, "JPY", "1500"),
        (1_500, "ISK", "1500"),
        (1_500, "KWD", "1.500"),
        (1_500, "CLF", "0.1500"),
    ],
)
def test_an_amount_has_the_places_of_its_currency(minor: int, currency: str, amount: str) -> None:
    assert format_amount(minor, currency) == amount
    assert parse_amount(amount, currency) == Money(minor, currency)
    assert read_money(Money(minor, currency).as_json()) == Money(minor, currency)
    assert str(Money(minor, currency)) == f"{amount} {currency}"


def test_missing_places_are_zeros() -> None:
    assert parse_amount("1234.5", "EUR") == parse_amount("1234.50", "EUR") == Money(123_450, "EUR")
    assert parse_amount("7", "KWD") == Money(7_000, "KWD")


@pytest.mark.parametrize(
    ("amount", "currency", "code"),
    [
        ("12.345", "EUR", "amount-too-fine"),
        ("12.5", "JPY", "amount-too-fine"),
        ("12.0", "ISK", "amount-too-fine"),
        ("1.2345", "KWD", "amount-too-fine"),
        ("1,234.50", "EUR", "not-an-amount"),
        ("1234,50", "EUR", "not-an-amount"),
        ("1 234", "EUR", "not-an-amount"),
        ("1e3", "EUR", "not-an-amount"),
        ("", "EUR", "not-an-amount"),
        (".50", "EUR", "not-an-amount"),
        ("5.", "EUR", "not-an-amount"),
        ("+5", "EUR", "not-an-amount"),
        ("NaN", "EUR", "not-an-amount"),
        ("1234567890123", "EUR", "not-an-amount"),
        ("١٢", "EUR", "not-an-amount"),
        (1234, "EUR", "not-an-amount"),
        (None, "EUR", "not-an-amount"),
        ("5", "EURO", "unknown-currency"),
        ("5", "eur", "unknown-currency"),
        ("5", "XAU", "unknown-currency"),
        ("5", "", "unknown-currency"),
    ],
)
def test_other_amounts_are_refused(amount: object, currency: str, code: str) -> None:
    with pytest.raises(FaultyInput) as caught:
        parse_amount(amount, currency)
    assert caught.value.code == code


@pytest.mark.parametrize(
    ("given_json", "code", "pointer"),
    [
        ("5 EUR", "not-money", ""),
        (None, "not-money", ""),
        ({"amount": "5"}, "not-money", ""),
        ({"amount": "5", "currency": "EUR", "tax": "1"}, "not-money", ""),
        ({"amount": "5", "currency": ["EUR"]}, "unknown-currency", "/currency"),
        ({"amount": 5, "currency": "EUR"}, "not-an-amount", "/amount"),
    ],
)
def test_a_price_in_json_has_two_members(given_json: object, code: str, pointer: str) -> None:
    with pytest.raises(FaultyInput) as caught:
        read_money(given_json)
    assert (caught.value.code, caught.value.pointer) == (code, pointer)
    assert '{"amount": "1234.50", "currency": "EUR"}' in str(money.NotMoney())


def test_sums_keep_the_currency() -> None:
    assert Money(123, "EUR") + Money(77, "EUR") == Money(200, "EUR")
    assert Money(123, "EUR").times(3) == Money(369, "EUR")
    with pytest.raises(ValueError, match="nothing is converted"):
        Money(1, "EUR") + Money(1, "USD")
    with pytest.raises(money.UnknownCurrency):
        Money(1, "ZZZ")


@given(st.integers(-(10**12) + 1, 10**12 - 1), st.sampled_from(sorted(money.PLACES)))
def test_every_amount_survives_the_round_trip(minor: int, currency: str) -> None:
    assert parse_amount(format_amount(minor, currency), currency).minor == minor
