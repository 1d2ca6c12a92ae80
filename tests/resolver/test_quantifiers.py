"""Every world, some kit: what yes, no, depends and sure mean, on catalogs of a few parts.

Each combination of set facts and each cell of deck and datum is asked for itself; of a fact of which more is
better the least counts for a yes and the most for a no.
"""

from dataclasses import replace
from typing import Any

import pytest

from catalog.resolver.answer import Answer
from catalog.resolver.parts import Catalog, Drive, Mounting, Plug, Run
from tests.resolver.few_kits import Row, answered, priced, with_adapters
from tests.resolver.one_kit import CATALOG, DRIVE, RUN, article

ANY_YEAR: dict[str, Any] = {"winch": {"model": "capper-40"}}
CHEAP_A: Row = ("A", {"price": 10})
DEAR_B: Row = ("B", {"price": 20})


def standings(found: Answer) -> dict[str, str]:
    return {kit.kit.core.adapter: kit.standing for kit in found.kits}


# --- more is better: the least for a yes, the most for a no -------------------------------------------------


@pytest.mark.parametrize(
    ("fact", "need"),
    [
        ("depth_below_deck", 230),  # 205 + 15, and a spacer of 10
        ("pad_diameter", 160),
        ("round", 198),  # a gearbox of 140 x 140
        ("width", 140),
        ("height", 140),
        ("free_radius", 317),  # the far corner of the motor is 316.228 mm out
    ],
)
@pytest.mark.parametrize(
    ("below", "above", "verdict"),
    [(0, 1, "yes"), (0, 0, "yes"), (-1, 0, "depends"), (-9, 9, "depends"), (-2, -1, "no"), (-1, -1, "no")],
)
def test_one_sided_facts(fact: str, need: int, below: int, above: int, verdict: str) -> None:
    found = answered(priced(CATALOG), survey=with_length(fact, need + below, need + above))
    assert found.verdict == verdict
    assert [kit.standing for kit in found.kits] == {"yes": ["sure"], "depends": ["possible"], "no": []}[
        verdict
    ]


def with_length(fact: str, low: int, high: int) -> dict[str, Any]:
    length = {"at_least": low, "at_most": high}
    if fact == "round":
        return {"opening": {"round": length}}
    if fact in ("width", "height"):
        return {"opening": {"width": {"value": 300}, "height": {"value": 300}} | {fact: length}}
    if fact == "free_radius":
        return {"free_radius": [{"from": 0, "to": 360, "radius": length}]}
    return {fact: length}


@pytest.mark.parametrize(
    ("facts", "verdict"),
    [
        ({"depth_below_deck": (229, 240), "pad_diameter": (160, 170)}, "depends"),
        ({"depth_below_deck": (229, 240), "pad_diameter": (158, 159)}, "no"),
        ({"depth_below_deck": (230, 240), "pad_diameter": (160, 170)}, "yes"),
        ({"depth_below_deck": (229, 229), "pad_diameter": (160, 170)}, "no"),
    ],
)
def test_all_at_their_least_and_all_at_their_most(facts: dict[str, tuple[int, int]], verdict: str) -> None:
    survey = {fact: {"at_least": low, "at_most": high} for fact, (low, high) in facts.items()}
    assert answered(priced(CATALOG), survey=survey).verdict == verdict


@pytest.mark.parametrize(
    ("depth", "verdict"), [((264, 264), "no"), ((264, 265), "depends"), ((265, 265), "yes")]
)
def test_a_captive_shaft_is_offered_up_at_the_least_depth(depth: tuple[int, int], verdict: str) -> None:
    """205 mm of drive with 60 mm of shaft standing on it."""
    shaft = replace(CATALOG.shafts["SHAFT"], mounting=Mounting.CAPTIVE, standing_height_um=60_000)
    catalog = priced(replace(CATALOG, shafts={"SHAFT": shaft}))
    opening = {"opening": {"round": {"value": 400}}}
    low, high = depth
    assert (
        answered(catalog, survey=opening | {"depth_below_deck": {"at_least": low, "at_most": high}}).verdict
        == verdict
    )


# --- production runs ----------------------------------------------------------------------------------------

LATER = replace(RUN, code="capper-40-b", year_from=2000, year_to=2009, base_pattern="five-120")
BOTH = frozenset({"six-130", "five-120"})


def with_runs(*rows: Row, later: Run = LATER) -> Catalog:
    catalog = with_adapters(rows)
    return replace(catalog, runs={RUN.code: RUN, later.code: later})


OF_SIX: Row = ("SIX", {"price": 10})
OF_FIVE: Row = ("FIVE", {"price": 20, "bases": frozenset({"five-120"})})
OF_BOTH: Row = ("BOTH", {"price": 90, "bases": BOTH})


def test_each_run_may_have_a_kit_of_its_own() -> None:
    found = answered(with_runs(OF_SIX, OF_FIVE), **ANY_YEAR)
    assert (found.verdict, standings(found)) == ("yes", {"SIX": "possible", "FIVE": "possible"})
    assert all(kit.in_cover for kit in found.kits)
    assert found.cores == ()
    assert (found.price_from, found.price_to) == (80_00, 90_00)


def test_a_run_without_a_kit_makes_it_depend() -> None:
    found = answered(with_runs(OF_SIX), **ANY_YEAR)
    assert (found.verdict, standings(found)) == ("depends", {"SIX": "possible"})
    later = {"winch": {"model": "capper-40", "year": 2005}}
    assert answered(with_runs(OF_SIX), **later).verdict == "no"


def test_what_fits_both_runs_is_sure() -> None:
    found = answered(with_runs(OF_SIX, OF_BOTH), **ANY_YEAR)
    assert (found.verdict, standings(found)) == ("yes", {"BOTH": "sure", "SIX": "possible"})
    assert [core.core.adapter for core in found.cores] == ["BOTH"]


def test_a_kit_that_spans_the_deck_for_one_run_only_is_not_sure() -> None:
    """The later run's spindle takes the shaft 5 mm less deep: 50 ... 61 mm instead of 55 ... 66 mm."""
    shaft = CATALOG.shafts["SHAFT"]
    [window] = shaft.windows
    shallow = replace(window, spindle="square-16", from_um=50_000, to_um=61_000)
    shafts = {"SHAFT": replace(shaft, windows=(window, shallow))}
    later = replace(LATER, base_pattern="six-130", spindle="square-16")
    catalog = replace(with_runs(OF_SIX, later=later), shafts=shafts)

    # With one spacer 33 ... 44 and 28 ... 39 mm; with none 43 ... 54 and 38 ... 49 mm.
    thin = answered(catalog, survey=deck_between(34, 37), **ANY_YEAR)
    assert [(kit.kit.stack.count, kit.standing) for kit in thin.kits] == [(1, "sure")]
    assert (thin.kits[0].deck.low, thin.kits[0].deck.high) == (33_000, 39_000)
    thicker = answered(catalog, survey=deck_between(36, 40), **ANY_YEAR)
    assert thicker.verdict == "yes"
    assert {kit.kit.stack.count: kit.standing for kit in thicker.kits} == {0: "possible", 1: "possible"}
    assert [core.core.adapter for core in thicker.cores] == ["SIX"]


def deck_between(low: int, high: int) -> dict[str, Any]:
    return {"deck_thickness": {"at_least": low, "at_most": high}}


def test_a_core_is_sure_with_one_stack_here_and_another_there() -> None:
    """33 ... 44 mm take one spacer, 23 ... 34 mm two; 22 mm is too thin for any."""
    found = answered(priced(CATALOG), survey=deck_between(30, 40))
    assert (found.verdict, [core.standing for core in found.cores]) == ("yes", ["sure"])
    assert found.cores[0].price == 30_00
    assert [kit.standing for kit in found.kits] == ["possible", "possible"]
    assert answered(priced(CATALOG), survey=deck_between(22, 30)).cores == ()


# --- plug and voltages --------------------------------------------------------------------------------------


@pytest.mark.parametrize(("plug", "verdict"), [(None, "depends"), ("present", "no"), ("absent", "yes")])
def test_a_bonded_plug_that_may_be_there(plug: str | None, verdict: str) -> None:
    run = replace(RUN, plug=Plug.BONDED, plug_removable=False)
    catalog = priced(replace(CATALOG, runs={run.code: run}))
    assert answered(catalog, winch={"model": "capper-40", "plug": plug}).verdict == verdict


@pytest.mark.parametrize(
    ("boat", "verdict"),
    [
        ({"motor_voltage": 12}, "yes"),
        ({"motor_voltage": 24}, "no"),
        ({}, "depends"),
        ({"control_voltage": 12}, "depends"),
        ({"control_voltage": 24}, "no"),  # its controller runs at 12 V alone
    ],
)
def test_every_voltage_that_is_left_open_needs_a_kit(boat: dict[str, int], verdict: str) -> None:
    assert answered(priced(CATALOG), boat=boat).verdict == verdict


# --- deck and datum together --------------------------------------------------------------------------------

STARBOARD = [
    {"from": 0, "to": 180, "radius": {"value": 400}},
    {"from": 180, "to": 360, "radius": {"value": 120}},
]
"""Room for the motor at bearings of about 60 to 150 degrees."""


def two_drives() -> Catalog:
    """A is bolted at 90° and spans 33 ... 44 mm; B at 270° and spans 43 ... 54 mm. Neither takes spacers."""
    flange = replace(CATALOG.flanges["round-110"], max_spacers=0)
    other = replace(flange, code="round-120")
    catalog = with_adapters(
        [
            ("A", {"price": 10, "thickness_um": 22_000}),
            ("B", {"price": 20, "thickness_um": 12_000, "flange": other.code}),
        ]
    )
    drives: dict[str, Drive] = {
        "DRIVE": replace(DRIVE, clockings_ddeg=((900, 900),)),
        "OTHER": replace(DRIVE, sku="OTHER", flange=other.code, clockings_ddeg=((2_700, 2_700),)),
    }
    parts = {**catalog.parts, "OTHER": article("OTHER", catalog.parts["DRIVE"].kind)}
    flanges = {flange.code: flange, other.code: other}
    return replace(catalog, drives=drives, parts=parts, flanges=flanges)


@pytest.mark.parametrize(
    ("deck", "datum", "verdict"),
    [
        ((38, 40), (0, 0), "yes"),  # A alone
        ((38, 40), (180, 0), "no"),
        ((48, 50), (180, 0), "yes"),  # B alone
        ((43, 44), (0, 180), "depends"),
        ((38, 48), (0, 0), "depends"),  # 45 mm is too thick for A, and B does not point there
    ],
)
def test_a_deck_and_a_bearing_need_the_same_kit(
    deck: tuple[int, int], datum: tuple[int, int], verdict: str
) -> None:
    assert ask_two(deck, datum).verdict == verdict


def ask_two(deck: tuple[int, int], datum: tuple[int, int], catalog: Catalog | None = None) -> Answer:
    value, spread = datum
    survey = {
        "deck_thickness": {"at_least": deck[0], "at_most": deck[1]},
        "datum_bearing": {"value": value, "plus_minus": spread},
        "free_radius": STARBOARD,
    }
    return answered(catalog or two_drives(), survey=survey)


def test_what_covers_decks_here_and_bearings_there_may_not_cover_both() -> None:
    """At each bearing of the datum some drive has room, and each deck is spanned by one; at most bearings
    only A has room, by one of its quarters, and it does not span the thick decks.
    """
    catalog = two_drives()
    drives = {
        "DRIVE": replace(catalog.drives["DRIVE"], clockings_ddeg=DRIVE.clockings_ddeg),
        "OTHER": replace(catalog.drives["OTHER"], clockings_ddeg=((900, 900),)),
    }
    both = replace(catalog, drives=drives)
    assert ask_two((38, 50), (0, 0), both).verdict == "yes"
    assert ask_two((38, 44), (0, 180), both).verdict == "yes"
    assert ask_two((38, 50), (0, 180), both).verdict == "depends"


# --- settings -----------------------------------------------------------------------------------------------

# More than 120 mm out is the motor from 9.6° to the left of its axis to 56.4° to the right, and must lie
# within 0° ... 180°: it may point to 9.6° ... 123.5°.


@pytest.mark.parametrize(
    ("spread", "clockings"),
    [
        (0, [(0, True), (900, True)]),  # 10° and 100°
        (2, [(900, True)]),  # 8° is too little
        (60, [(0, False), (900, False)]),  # -50° ... 33.5° by the one, 9.6° ... 70° by the other
        (180, [(0, False), (900, False), (1_800, False), (2_700, False)]),
    ],
)
def test_a_kit_is_sure_when_each_bearing_has_a_setting(
    spread: int, clockings: list[tuple[int, bool]]
) -> None:
    survey = {"free_radius": STARBOARD, "datum_bearing": {"value": 10, "plus_minus": spread}}
    found = answered(priced(CATALOG), survey=survey)
    [kit] = found.kits
    assert (found.verdict, kit.standing) == ("yes", "sure")
    assert [(one.from_ddeg, one.sure) for one in kit.settings] == clockings


def test_a_kit_is_possible_when_some_bearing_has_a_setting() -> None:
    one_way = replace(DRIVE, clockings_ddeg=((900, 900),))
    survey = {"free_radius": STARBOARD, "datum_bearing": {"value": 10, "plus_minus": 60}}
    found = answered(priced(replace(CATALOG, drives={"DRIVE": one_way})), survey=survey)
    [kit] = found.kits
    assert (found.verdict, kit.standing, found.cores) == ("depends", "possible", ())
    assert [(one.from_ddeg, one.sure) for one in kit.settings] == [(900, False)]
