"""What a kit costs and when it comes: by hand, and the search's columns against the plain functions."""

from dataclasses import replace
from datetime import date, timedelta
from random import Random

import pytest

from catalog.resolver.compile import UNPRICED, compile_catalog
from catalog.resolver.gates.era import part_checks
from catalog.resolver.kits import Stack
from catalog.resolver.parts import Catalog, Part, PartKind, Price, Status
from catalog.resolver.pricing import kit_lead_time_days, kit_price, lines_price, part_price
from tests.resolver.few_kits import answered, price, priced
from tests.resolver.one_kit import AS_OF, CATALOG, KIT, article

PRICES = (
    price(100, date(2026, 1, 1)),
    price(110, date(2026, 6, 1)),
    price(105, date(2026, 6, 2)),
    price(90, date(2025, 1, 1), "USD"),
)


@pytest.mark.parametrize("prices", [PRICES, PRICES[::-1]], ids=["in order", "the other way round"])
@pytest.mark.parametrize(
    ("currency", "as_of", "minor"),
    [
        ("EUR", date(2025, 12, 31), None),
        ("EUR", date(2026, 1, 1), 100_00),
        ("EUR", date(2026, 5, 31), 100_00),
        ("EUR", date(2026, 6, 1), 110_00),
        ("EUR", date(2026, 6, 2), 105_00),  # the latest begun, not the highest
        ("EUR", date(2030, 1, 1), 105_00),
        ("USD", date(2026, 6, 1), 90_00),
        ("GBP", date(2026, 6, 1), None),
    ],
)
def test_the_price_in_force(prices: tuple[Price, ...], currency: str, as_of: date, minor: int | None) -> None:
    assert part_price(article("X", PartKind.SPACER, prices=prices), currency, as_of) == minor


def test_quantities_count_and_one_unpriced_part_makes_the_whole_unpriced() -> None:
    catalog = priced(CATALOG, SPACER=7, SWITCH=3, SHAFT=None)
    assert lines_price(catalog, [("SPACER", 2), ("SWITCH", 1)], "EUR", AS_OF) == 17_00
    assert lines_price(catalog, [("SPACER", 2), ("SHAFT", 1)], "EUR", AS_OF) is None
    assert lines_price(catalog, [], "EUR", AS_OF) == 0


def test_a_kit_costs_all_of_its_parts_and_comes_with_the_last() -> None:
    """Adapter, shaft, drive, controller, breaker at 10, two spacers at 7, two switches at 3."""
    catalog = priced(CATALOG, SPACER=7, SWITCH=3)
    kit = replace(KIT, stack=Stack((("SPACER", 2),), 20_000))
    assert kit_price(catalog, kit, "EUR", AS_OF) == 50_00 + 14_00 + 6_00
    assert kit_price(catalog, kit, "USD", AS_OF) is None
    assert kit_lead_time_days(catalog, kit) == 5
    later = replace(
        catalog, parts={**catalog.parts, "SPACER": replace(catalog.parts["SPACER"], lead_time_days=9)}
    )
    assert kit_lead_time_days(later, kit) == 9
    unknown = replace(
        catalog, parts={**catalog.parts, "SWITCH": replace(catalog.parts["SWITCH"], lead_time_days=None)}
    )
    assert kit_lead_time_days(unknown, kit) is None


# --- from ... to --------------------------------------------------------------------------------------------

# 43 ... 54 mm of deck take no spacer, 33 ... 44 mm one, 23 ... 34 mm two; all else costs 70.


@pytest.mark.parametrize(
    ("low", "high", "begins", "ends"),
    [
        (38, 38, 80_00, 80_00),
        (44, 44, 70_00, 70_00),  # with one spacer it fits too, and dearer
        (43, 45, 70_00, 70_00),
        (42, 45, 70_00, 80_00),
        (30, 40, 80_00, 90_00),
        (34, 40, 80_00, 80_00),
        (23, 54, 70_00, 90_00),
        (23, 55, 70_00, None),  # not a yes: there is no dearest world
        (22, 30, 90_00, None),
        (60, 70, None, None),
    ],
)
def test_from_the_cheapest_kit_to_the_dearest_world(
    low: int, high: int, begins: int | None, ends: int | None
) -> None:
    found = answered(priced(CATALOG), survey={"deck_thickness": {"at_least": low, "at_most": high}})
    assert (found.price_from, found.price_to) == (begins, ends)


def test_a_world_served_by_unpriced_kits_alone_has_no_dearest() -> None:
    deck = {"deck_thickness": {"at_least": 42, "at_most": 45}}
    found = answered(priced(CATALOG, SPACER=None), survey=deck)
    assert (found.verdict, found.price_from, found.price_to) == ("yes", 70_00, None)
    nothing = answered(priced(CATALOG, DRIVE=None), survey=deck)
    assert (nothing.verdict, nothing.price_from, nothing.price_to) == ("yes", None, None)
    assert "unpriced" in nothing.remarks


# --- the search's columns -----------------------------------------------------------------------------------

DAY = timedelta(days=1)


def test_a_book_has_the_price_and_the_validity_of_every_part(rng: Random) -> None:
    """On random days of random articles it says what ``part_price`` and the era gate say."""
    for _ in range(40):
        catalog = Catalog(parts={f"P{number}": some_part(rng, f"P{number}") for number in range(8)})
        compiled = compile_catalog(catalog)
        for _ in range(4):
            as_of, currency = some_day(rng), rng.choice(("EUR", "USD", "GBP"))
            book = compiled.book(as_of, currency)
            for sku, part in catalog.parts.items():
                number = compiled.number[sku]
                minor = part_price(part, currency, as_of)
                assert book.price[number] == (UNPRICED if minor is None else minor)
                days = part.lead_time_days
                assert book.lead[number] == (UNPRICED if days is None else days)
                usable = all(check.passed for check in part_checks(part, as_of))
                assert bool(book.era[number] == 0) is usable, (part, as_of)


def some_day(rng: Random) -> date:
    return AS_OF + rng.randint(-3, 3) * DAY


def some_part(rng: Random, sku: str) -> Part:
    begins = {(rng.choice(("EUR", "USD")), some_day(rng)) for _ in range(rng.randint(0, 4))}
    return article(
        sku,
        PartKind.SPACER,
        status=rng.choice(tuple(Status)),
        withdrawn_on=rng.choice((None, some_day(rng))),
        valid_from=rng.choice((None, some_day(rng))),
        valid_to=rng.choice((None, some_day(rng))),
        lead_time_days=rng.choice((None, 0, 3)),
        prices=tuple(
            Price(currency, day, rng.randint(0, 9))
            for currency, day in rng.sample(sorted(begins), len(begins))
        ),
    )
