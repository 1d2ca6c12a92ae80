"""The definition itself, by hand: which kits pass in which worlds, on the one kit's catalog.

With no spacer the deck may be 43 ... 54 mm, with one 33 ... 44 mm, with two 23 ... 34 mm. Everything but the
spacers costs 70 euros.
"""

from dataclasses import replace
from typing import Any

import pytest

from catalog.resolver.definition import (
    Meaning,
    allowed_clockings,
    every_kit,
    every_stack,
    every_world,
    meaning,
)
from catalog.resolver.facts import survey_of
from catalog.resolver.kits import Kit
from catalog.resolver.parts import Catalog, Plug, Spacer
from catalog.resolver.question import read_question
from tests.resolver.few_kits import KNOWN, priced
from tests.resolver.one_kit import CATALOG, RUN, article


def meant(catalog: Catalog = CATALOG, *, survey: dict[str, Any] | None = None, **sections: Any) -> Meaning:
    question = KNOWN | {"survey": KNOWN["survey"] | (survey or {})} | sections
    return meaning(priced(catalog), read_question(question))


def counts(kits: frozenset[Kit]) -> set[int]:
    """How many spacers each has."""
    return {kit.stack.count for kit in kits}


@pytest.mark.parametrize(
    ("deck", "verdict", "sure", "possible", "begins", "ends"),
    [
        ((38, 38), "yes", {1}, {1}, 80_00, 80_00),
        ((34, 34), "yes", {1, 2}, {1, 2}, 80_00, 80_00),
        ((33, 44), "yes", {1}, {0, 1, 2}, 70_00, 80_00),
        ((30, 40), "yes", set(), {1, 2}, 80_00, 90_00),
        ((23, 54), "yes", set(), {0, 1, 2}, 70_00, 90_00),
        ((22, 30), "depends", set(), {2}, 90_00, None),
        ((50, 55), "depends", set(), {0}, 70_00, None),
        ((55, 60), "no", set(), set(), None, None),
    ],
)
def test_an_uncertain_deck(
    deck: tuple[int, int], verdict: str, sure: set[int], possible: set[int], begins: int, ends: int | None
) -> None:
    found = meant(survey={"deck_thickness": {"at_least": deck[0], "at_most": deck[1]}})
    assert (found.verdict, counts(found.sure_kits), counts(found.possible_kits)) == (verdict, sure, possible)
    assert (found.price_from, found.price_to) == (begins, ends)
    assert bool(found.sure_cores) is (verdict == "yes")
    assert bool(found.possible_cores) is (verdict != "no")


def test_every_fact_has_to_be_right_at_once() -> None:
    """A deck that suits one kit and a depth that suits another are no yes: 30 mm take two spacers, 240 mm."""
    thin = {"deck_thickness": {"value": 30}}
    assert meant(survey=thin).verdict == "yes"
    shallow = thin | {"depth_below_deck": {"value": 239}}
    assert meant(survey=shallow).verdict == "no"
    either = {"deck_thickness": {"at_least": 30, "at_most": 40}, "depth_below_deck": {"value": 239}}
    found = meant(survey=either)
    assert (found.verdict, counts(found.possible_kits)) == ("depends", {1})


def test_set_facts_are_worlds_too() -> None:
    plugged = replace(CATALOG, runs={RUN.code: replace(RUN, plug=Plug.BONDED, plug_removable=False)})
    assert meant(plugged).verdict == "depends"
    assert meant(boat={}).verdict == "depends"
    assert meant(boat={"motor_voltage": 24}).verdict == "no"


def test_an_uncertain_opening_is_as_round_in_each_world_as_it_is_wide() -> None:
    opening = {"opening": {"round": {"at_least": 100, "at_most": 300}}}
    question = read_question(KNOWN | {"survey": KNOWN["survey"] | opening})
    worlds = list(every_world(survey_of(question, CATALOG), 500))
    assert [(one.opening.width_um, one.opening.height_um) for one in worlds] == [
        (100_000, 100_000),
        (300_000, 300_000),
    ]


# --- what is tried ------------------------------------------------------------------------------------------


def test_every_stack_within_the_limits() -> None:
    """At most three pieces and 40 mm in all, two of the first kind and three of the second."""
    spacers = {"A": Spacer("A", "round-110", 10_000, 2), "B": Spacer("B", "round-110", 15_000, 3)}
    catalog = replace(CATALOG, spacers=spacers)
    found = every_stack(catalog, catalog.flanges["round-110"])
    assert {(stack.spacers, stack.thickness_um) for stack in found} == {
        ((), 0),
        ((("A", 1),), 10_000),
        ((("B", 1),), 15_000),
        ((("A", 2),), 20_000),
        ((("A", 1), ("B", 1)), 25_000),
        ((("B", 2),), 30_000),
        ((("A", 2), ("B", 1)), 35_000),
        ((("A", 1), ("B", 2)), 40_000),
    }


def test_every_combination_of_parts_whether_they_mate_or_not() -> None:
    """Two adapters, one shaft, one drive, three stacks, and one of each for the slots."""
    other = replace(CATALOG.adapters["ADAPTER"], sku="OTHER", bases=frozenset())
    parts = {**CATALOG.parts, "OTHER": article("OTHER", CATALOG.parts["ADAPTER"].kind)}
    catalog = replace(CATALOG, adapters={**CATALOG.adapters, "OTHER": other}, parts=parts)
    assert len(list(every_kit(catalog, read_question(KNOWN)))) == 6


@pytest.mark.parametrize(
    ("arcs", "clockings"),
    [
        (((0, 0),), [0]),
        (((900, 900), (0, 0)), [0, 900]),
        (((3_598, 1),), [0, 1, 3_598, 3_599]),
        (((10, 12), (11, 13)), [10, 11, 12, 13]),
        ((), [0]),
        (((0, 3_599),), list(range(3_600))),
    ],
)
def test_allowed_clockings(arcs: tuple[tuple[int, int], ...], clockings: list[int]) -> None:
    assert allowed_clockings(arcs) == clockings
