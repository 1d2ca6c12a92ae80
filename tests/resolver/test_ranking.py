"""Which kits are listed, and in which order. Kits differ by their adapters; all else costs 70 euros: shaft,
drive, spacer, controller, breaker and two switches at 10 each.
"""

from dataclasses import replace
from typing import Any

import pytest

from catalog.resolver.parts import Catalog, PartKind
from tests.resolver.few_kits import Row, adapters_listed, answered, priced, with_adapters
from tests.resolver.one_kit import CATALOG, article

CHOICES: list[Row] = [
    ("A-SOON", {"price": 300, "lead_time_days": 7}),
    ("B-MIDDLE", {"price": 200, "lead_time_days": 14}),
    ("C-CHEAP", {"price": 100, "lead_time_days": 28}),
    ("D-UNPRICED", {"lead_time_days": 6}),
    ("E-SOME-DAY", {"price": 50, "lead_time_days": None}),
]


def listed(rows: list[Row], rank_by: str = "price", kits: int = 10) -> list[str]:
    return adapters_listed(answered(with_adapters(rows), wishes={"rank_by": rank_by, "kits": kits}))


@pytest.mark.parametrize("rows", [CHOICES, CHOICES[::-1]], ids=["as written", "the other way round"])
@pytest.mark.parametrize(
    ("rank_by", "order"),
    [
        ("price", ["E-SOME-DAY", "C-CHEAP", "B-MIDDLE", "A-SOON", "D-UNPRICED"]),
        ("lead-time", ["D-UNPRICED", "A-SOON", "B-MIDDLE", "C-CHEAP", "E-SOME-DAY"]),
    ],
)
def test_what_is_not_known_comes_last(rows: list[Row], rank_by: str, order: list[str]) -> None:
    assert listed(rows, rank_by) == order


def test_a_kit_comes_when_its_last_part_comes() -> None:
    """The other parts take 5 days, so an adapter in 3 days is no sooner than one in 4."""
    rows: list[Row] = [
        ("A", {"price": 90, "lead_time_days": 3}),
        ("B", {"price": 80, "lead_time_days": 4}),
        ("C", {"price": 10, "lead_time_days": 6}),
    ]
    found = answered(with_adapters(rows), wishes={"rank_by": "lead-time"})
    assert adapters_listed(found) == ["B", "C"]
    assert [kit.lead_time_days for kit in found.kits] == [5, 6]
    assert [kit.price for kit in found.kits] == [150_00, 80_00]


THICK: list[Row] = [
    ("A-12", {"price": 100, "thickness_um": 12_000}),  # L = 60: 5 mm to 55 and 6 mm to 66
    ("B-12.5", {"price": 300, "thickness_um": 12_500}),  # L = 60.5: 5.5 and 5.5
    ("C-9", {"price": 50, "thickness_um": 9_000}),  # L = 57: 2 and 9
    ("D-16", {"price": 60, "thickness_um": 16_000}),  # L = 64: 9 and 2
]


def test_the_greatest_smallest_margin_comes_first() -> None:
    """Of equal margins the cheaper."""
    assert listed(THICK, "margin") == ["B-12.5", "A-12", "C-9", "D-16"]
    assert listed(THICK, "price") == ["C-9", "D-16", "A-12", "B-12.5"]


def test_margins_of_space_count_as_those_of_reach() -> None:
    """On a pad of 162 mm, 160 mm of footprint leave 2 mm and 158 mm leave 4, less than the 5 mm of reach."""
    rows: list[Row] = [
        ("A-160", {"price": 100, "footprint_um": 160_000}),
        ("B-158", {"price": 200, "footprint_um": 158_000}),
    ]
    catalog = with_adapters(rows)
    pad = {"pad_diameter": {"value": 162}}
    assert adapters_listed(answered(catalog, survey=pad, wishes={"rank_by": "margin"})) == ["B-158", "A-160"]
    assert adapters_listed(answered(catalog, survey=pad, wishes={"rank_by": "price"})) == ["A-160", "B-158"]


def test_a_margin_is_that_of_the_worst_world() -> None:
    """A deck of 38 ± 4 mm: 12 mm leave 1 and 2 mm, 12.5 mm leave 1.5 and 1.5; the others are not sure."""
    found = answered(
        with_adapters(THICK),
        survey={"deck_thickness": {"value": 38, "plus_minus": 4}},
        wishes={"rank_by": "margin"},
    )
    assert [(kit.kit.core.adapter, kit.standing) for kit in found.kits[:2]] == [
        ("B-12.5", "sure"),
        ("A-12", "sure"),
    ]


def test_equal_prices_are_ordered_by_lead_time_and_equal_lead_times_by_price() -> None:
    rows: list[Row] = [
        ("A", {"price": 100, "lead_time_days": 20, "thickness_um": 12_000}),
        ("B", {"price": 100, "lead_time_days": 10, "thickness_um": 13_000}),
        ("C", {"price": 90, "lead_time_days": 20, "thickness_um": 14_000}),
    ]
    assert listed(rows, "price") == ["C", "B", "A"]
    assert listed(rows, "lead-time") == ["B", "C", "A"]


@pytest.mark.parametrize("rank_by", ["price", "lead-time", "margin"])
def test_what_is_equal_in_all_is_ordered_by_its_parts(rank_by: str) -> None:
    """L = 60 mm and 61 mm: 5 and 6 mm, 6 and 5 mm to the ends of the window."""
    rows: list[Row] = [
        ("B", {"price": 100, "thickness_um": 12_000}),
        ("A", {"price": 100, "thickness_um": 13_000}),
    ]
    assert listed(rows, rank_by) == listed(rows[::-1], rank_by) == ["A", "B"]


# --- how many ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("kits", "count"), [(0, 1), (1, 2), (2, 3), (10, 5)])
def test_kits_count_beyond_those_that_prove_the_yes(kits: int, count: int) -> None:
    assert len(listed(CHOICES, kits=kits)) == count


def test_a_cover_of_two_is_listed_whole() -> None:
    """33 ... 44 mm take one spacer, 23 ... 34 mm two: a deck of 30 ... 40 mm needs both kits."""
    deck = {"deck_thickness": {"at_least": 30, "at_most": 40}}
    found = answered(priced(CATALOG), survey=deck, wishes={"kits": 0})
    assert found.verdict == "yes"
    assert [(kit.kit.stack.count, kit.standing, kit.in_cover) for kit in found.kits] == [
        (2, "possible", True),
        (1, "possible", True),
    ]


def test_sure_kits_come_before_possible_ones_whatever_they_cost() -> None:
    """36 ... 46 mm: of 12 mm only 33 ... 44 mm are spanned, of 10 mm 35 ... 46 mm."""
    rows: list[Row] = [
        ("A-CHEAP", {"price": 10, "thickness_um": 12_000}),
        ("B-DEAR", {"price": 900, "thickness_um": 10_000}),
    ]
    deck = {"deck_thickness": {"at_least": 36, "at_most": 46}}
    found = answered(with_adapters(rows), survey=deck)
    assert [(kit.kit.core.adapter, kit.kit.stack.count, kit.standing) for kit in found.kits] == [
        ("B-DEAR", 1, "sure"),
        ("A-CHEAP", 0, "possible"),
        ("A-CHEAP", 1, "possible"),
    ]


# --- what is left out -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("other", "is_listed"),
    [
        ({"price": 100, "lead_time_days": 9}, False),  # the same: the one stated first is enough
        ({"price": 101, "lead_time_days": 9}, False),
        ({"price": 100, "lead_time_days": 10}, False),
        ({"lead_time_days": 9}, False),
        ({"price": 100, "lead_time_days": None}, False),
        ({"price": 99, "lead_time_days": 9}, True),
        ({"price": 101, "lead_time_days": 8}, True),
        ({"price": 101, "lead_time_days": 9, "thickness_um": 12_001}, True),  # one margin is better
        ({"price": 101, "lead_time_days": 9, "thickness_um": 11_999}, True),
        ({"price": 101, "lead_time_days": 9, "footprint_um": 159_999}, True),
        ({"price": 101, "lead_time_days": 9, "footprint_um": 160_001}, False),
    ],
)
def test_a_kit_is_left_out_when_another_is_no_worse(other: dict[str, Any], is_listed: bool) -> None:
    rows: list[Row] = [("A", {"price": 100, "lead_time_days": 9}), ("B", other)]
    assert ("B" in listed(rows)) is is_listed


def test_a_cheaper_kit_that_does_the_same_takes_the_place_of_the_dearer() -> None:
    rows: list[Row] = [("A", {"price": 100, "lead_time_days": 9}), ("B", {"price": 99, "lead_time_days": 9})]
    assert listed(rows) == ["B"]


# --- fills ------------------------------------------------------------------------------------------------


def with_switches(**rows: tuple[int | None, int | None]) -> Catalog:
    """Switches of one button by (euros, days)."""
    switch = CATALOG.switches["SWITCH"]
    switches = {sku: replace(switch, sku=sku) for sku in rows}
    parts = {sku: article(sku, PartKind.SWITCH, lead_time_days=days) for sku, (_, days) in rows.items()}
    catalog = replace(CATALOG, switches=switches, parts={**CATALOG.parts, **parts})
    return priced(catalog, **{sku: euros for sku, (euros, _) in rows.items()})


@pytest.mark.parametrize(
    ("rank_by", "switch", "price", "days"),
    [("price", "CHEAP", 64_00, 30), ("lead-time", "SOON", 100_00, 5)],
)
def test_slots_are_filled_by_the_ranking(rank_by: str, switch: str, price: int, days: int) -> None:
    """Six parts at 10, and two switches at 2 or at 20."""
    catalog = with_switches(CHEAP=(2, 30), SOON=(20, 5), SOONER=(21, 1), UNPRICED=(None, 5))
    [best] = answered(catalog, wishes={"rank_by": rank_by, "kits": 0}).kits
    assert (best.kit.fill.switch, best.price, best.lead_time_days) == (switch, price, days)


@pytest.mark.parametrize("rank_by", ["price", "lead-time", "margin"])
def test_the_price_begins_at_the_cheapest_whatever_the_ranking(rank_by: str) -> None:
    catalog = with_switches(CHEAP=(2, 30), SOON=(20, 5))
    found = answered(catalog, wishes={"rank_by": rank_by})
    assert (found.price_from, found.price_to) == (64_00, 64_00)


def test_an_unpriced_switch_makes_the_kit_unpriced() -> None:
    [best] = answered(with_switches(ONLY=(None, 5)), wishes={"kits": 0}).kits
    assert (best.price, best.lead_time_days) == (None, 5)


# --- the longest that is read -------------------------------------------------------------------------------


@pytest.mark.parametrize("rank_by", ["price", "lead-time", "margin"])
@pytest.mark.parametrize("fact", ["deck_thickness", "depth_below_deck", "pad_diameter"])
@pytest.mark.parametrize("length", [{"at_least": 10**6}, {"at_least": 1, "at_most": 10**6}])
def test_a_kilometre_is_an_answer_too(rank_by: str, fact: str, length: dict[str, int]) -> None:
    found = answered(priced(CATALOG), survey={fact: length}, wishes={"rank_by": rank_by})
    enough = "at_most" not in length
    assert found.verdict == ("depends" if not enough else "no" if fact == "deck_thickness" else "yes")
