"""Our currency table against ISO 4217, as the packages py-moneyed and iso4217 carry it.

Source: ISO 4217 by way of the general-purpose packages named; kind: published.
"""

import iso4217
import moneyed

from shared.money import PLACES


def test_the_codes_and_places_are_those_of_iso_4217() -> None:
    published = {currency.code: currency.exponent for currency in iso4217.Currency}
    priced = {code: places for code, places in published.items() if places is not None}
    assert dict(PLACES) == priced


def test_a_second_package_agrees_on_the_places() -> None:
    known = {currency.code: currency.sub_unit for currency in moneyed.CURRENCIES.values()}
    common = known.keys() & PLACES.keys()
    assert len(common) > 150
    assert {code: 10 ** PLACES[code] for code in common} == {code: known[code] for code in common}


def test_the_figures_named_in_the_standard() -> None:
    assert [PLACES[code] for code in ("JPY", "ISK", "EUR", "KWD")] == [0, 0, 2, 3]
