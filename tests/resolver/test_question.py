"""Reading a question: what is understood, and its canonical form. Lengths in µm."""

import json
from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from itertools import permutations
from random import Random
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.resolver.faults import MissingField
from catalog.resolver.question import (
    CHANGES,
    LONGEST_UM,
    Assumptions,
    OpeningGiven,
    Question,
    SectorGiven,
    SurveyGiven,
    Wishes,
    normalised,
    read_question,
)
from shared.intervals import FULL_CIRCLE, UNKNOWN, Arc, Interval
from tests.resolver.drawn import LEAST, Drawn, Json, asked, exact


def surveyed(**facts: Any) -> SurveyGiven:
    return read_question(asked(survey=facts)).survey


def deck(**given: Any) -> Interval:
    return surveyed(deck_thickness=given).deck_thickness


# --- what is not said -------------------------------------------------------------------------------------


def test_the_least_question_leaves_all_open() -> None:
    question = read_question(LEAST)
    assert question.survey == SurveyGiven()
    assert (question.winch.year, question.winch.serial, question.winch.plug_present) == (None, None, None)
    assert (question.boat.motor_voltage, question.boat.control_voltage) == (None, None)
    assert question.wishes == Wishes()
    assert question.wishes.may_alter is None
    assert question.assumptions == Assumptions(15, 2, 0, 40)
    assert question.assumed == ("press_seconds", "switch_inputs", "bedding", "least_pull_percent")
    assert (question.as_of, question.revision) == (date(2026, 6, 1), None)


def test_null_is_the_same_as_nothing() -> None:
    nulls = {
        "winch": {"model": "capper-40", "year": None, "serial": None, "plug": None},
        "survey": dict.fromkeys(
            (
                "deck_thickness",
                "depth_below_deck",
                "free_radius",
                "datum_bearing",
                "opening",
                "pad_diameter",
            )
        ),
        "boat": {"motor_voltage": None, "control_voltage": None},
        "wishes": dict.fromkeys(("drive", "hand", "rank_by", "currency", "kits", "may_alter")),
        "assumptions": dict.fromkeys(("press_seconds", "switch_inputs", "bedding", "least_pull_percent")),
        "revision": None,
    }
    assert read_question(asked(**nulls)) == read_question(LEAST)
    assert read_question(asked(survey=None, boat=None, wishes=None)) == read_question(LEAST)
    assert deck(value=38, plus_minus=None, unit=None) == Interval(38_000, 38_000)


def test_an_assumption_that_is_stated_is_not_assumed() -> None:
    question = read_question(asked(assumptions={"bedding": Decimal("1.5"), "press_seconds": 15}))
    assert question.assumptions.bedding_um == 1_500
    assert question.assumed == ("switch_inputs", "least_pull_percent")


def test_the_caller_fills_the_day_and_never_over_one_that_is_given() -> None:
    today = date(2026, 7, 2)
    dayless = {name: value for name, value in LEAST.items() if name != "as_of"}
    assert read_question(dayless, today=today).as_of == today
    assert read_question(LEAST, today=today).as_of == date(2026, 6, 1)
    with pytest.raises(MissingField, match="as_of"):
        read_question(dayless)


def test_nothing_may_be_altered_is_not_the_same_as_not_saying() -> None:
    assert read_question(asked(wishes={"may_alter": []})).wishes.may_alter == ()
    twice = read_question(asked(wishes={"may_alter": ["recess", "pad", "recess"]}))
    assert twice.wishes.may_alter == ("pad", "recess")
    assert read_question(asked(wishes={"may_alter": list(CHANGES)})).wishes.may_alter == tuple(
        sorted(CHANGES)
    )


# --- lengths ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("length", "low", "high"),
    [
        ({"value": 38}, 38_000, 38_000),
        ({"value": Decimal("38.5")}, 38_500, 38_500),
        ({"value": 0}, 0, 0),
        ({"value": 38, "plus_minus": 1}, 37_000, 39_000),
        ({"value": 38, "plus_minus": 0}, 38_000, 38_000),
        ({"value": 1, "plus_minus": 2}, 0, 3_000),  # nothing is thinner than nothing
        ({"at_least": 240}, 240_000, None),
        ({"at_most": 240}, None, 240_000),
        ({"at_least": 30, "at_most": 40}, 30_000, 40_000),
        ({"at_least": 30, "at_most": 30}, 30_000, 30_000),
        # Rounded outward, so that no world is lost: a sixty-fourth of an inch is 396.875 µm.
        ({"value": Decimal("0.0004")}, 0, 1),
        ({"value": Decimal("38.0005"), "plus_minus": Decimal("0.0001")}, 38_000, 38_001),
        ({"at_least": Decimal("38.0009")}, 38_000, None),
        ({"at_most": Decimal("38.0001")}, None, 38_001),
        ({"value": Decimal("0.015625"), "unit": "in"}, 396, 397),
        ({"value": Decimal("1.5"), "unit": "in"}, 38_100, 38_100),
        ({"value": Decimal("1.625"), "plus_minus": Decimal("0.03125"), "unit": "in"}, 40_481, 42_069),
        ({"at_least": 1, "at_most": 2, "unit": "in"}, 25_400, 50_800),
        ({"value": 38, "unit": "mm"}, 38_000, 38_000),
        # A kilometre is the longest that is read, in either unit.
        ({"value": 10**6}, LONGEST_UM, LONGEST_UM),
        ({"value": 10**6, "plus_minus": 10**6}, 0, LONGEST_UM),
    ],
)
def test_a_length(length: Json, low: int | None, high: int | None) -> None:
    assert deck(**length) == Interval(low, high)
    sector = {"from": 0, "to": 90, "radius": length}
    assert surveyed(free_radius=[sector]).free_radius == (SectorGiven(Arc(0, 900), Interval(low, high)),)


def test_an_opening_is_round_or_has_two_sides() -> None:
    assert surveyed(opening={"round": {"value": 160}}).opening == OpeningGiven(
        round=True, width=Interval(160_000, 160_000), height=Interval(160_000, 160_000)
    )
    assert surveyed(opening={"width": {"at_least": 160}, "height": {"at_most": 5}}).opening == OpeningGiven(
        round=False, width=Interval(160_000, None), height=Interval(None, 5_000)
    )


# --- bearings and sectors ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("bearing", "arc"),
    [
        ({"value": 30}, Arc(300, 0)),
        ({"value": 30, "plus_minus": 2}, Arc(280, 40)),
        ({"value": 0, "plus_minus": 5}, Arc(3_550, 100)),
        ({"value": 360}, Arc(0, 0)),
        ({"value": Decimal("30.04")}, Arc(300, 1)),  # finer than a tenth is rounded outward
        ({"value": 30, "plus_minus": Decimal("0.04")}, Arc(299, 2)),
        ({"value": 90, "plus_minus": 180}, FULL_CIRCLE),
        ({"value": 90, "plus_minus": Decimal("179.95")}, FULL_CIRCLE),
        ({"value": 90, "plus_minus": Decimal("179.9")}, Arc(2_701, 3_598)),
    ],
)
def test_a_bearing(bearing: Json, arc: Arc) -> None:
    assert surveyed(datum_bearing=bearing).datum_bearing == arc


@pytest.mark.parametrize(
    ("start", "end", "arc"),
    [
        (0, 90, Arc(0, 900)),
        (315, 45, Arc(3_150, 900)),  # through the bow
        (270, 360, Arc(2_700, 900)),
        (360, 90, Arc(0, 900)),
        (0, 360, FULL_CIRCLE),
        (360, 0, FULL_CIRCLE),
        (Decimal("0.1"), 0, Arc(1, 3_599)),
        (90, Decimal("89.9"), FULL_CIRCLE),  # a tenth of a degree is the finest: nothing is left out
        (90, Decimal("89.8"), Arc(900, 3_598)),
        (Decimal("12.5"), Decimal("12.6"), Arc(125, 1)),
    ],
)
def test_a_sector(start: int | Decimal, end: int | Decimal, arc: Arc) -> None:
    found = surveyed(free_radius=[{"from": start, "to": end, "radius": {"value": 300}}]).free_radius
    assert found == (SectorGiven(arc, Interval(300_000, 300_000)),)


def test_no_sectors_are_nothing_known() -> None:
    assert surveyed(free_radius=[]) == SurveyGiven()


def test_the_order_of_sectors_does_not_matter() -> None:
    sectors = [
        {"from": 0, "to": 90, "radius": radius}
        for radius in ({"value": 5}, {"at_least": 5}, {"at_least": 5, "at_most": 9}, {"at_most": 7})
    ]
    assert len({surveyed(free_radius=list(order)) for order in permutations(sectors)}) == 1


# --- the canonical form -----------------------------------------------------------------------------------


def read_again(question: Question) -> Question:
    return read_question(exact(json.dumps(normalised(question))))


def unassumed(question: Question) -> Question:
    """The same, as if every assumption had been stated: the canonical form states them."""
    return Question(
        question.winch,
        question.as_of,
        question.survey,
        question.boat,
        question.wishes,
        question.assumptions,
        revision=question.revision,
    )


def test_the_canonical_form_by_hand() -> None:
    data = asked(
        winch={"model": " capper-40 ", "year": Decimal("1995.0"), "plug": "absent"},
        survey={
            "deck_thickness": {"value": Decimal("1.5"), "plus_minus": Decimal("0.01"), "unit": "in"},
            "depth_below_deck": {"at_least": 240},
            "free_radius": [{"from": 270, "to": 360, "radius": {"value": Decimal("300.50")}}],
            "datum_bearing": {"value": 0, "plus_minus": Decimal("2.5")},
            "opening": {"round": {"value": 160}},
        },
        boat={"motor_voltage": 12},
        wishes={"may_alter": []},
    )
    assert normalised(read_question(data)) == {
        "schema": 1,
        "winch": {"model": "capper-40", "year": 1995, "plug": "absent"},
        "survey": {
            "deck_thickness": {"at_least": 37.846, "at_most": 38.354},  # 38.1 mm ± 0.254 mm
            "depth_below_deck": {"at_least": 240},
            "free_radius": [{"from": 270, "to": 360, "radius": {"value": 300.5}}],
            "datum_bearing": {"value": 0, "plus_minus": 2.5},
            "opening": {"round": {"value": 160}},
        },
        "boat": {"motor_voltage": 12},
        "wishes": {
            "drive": "any",
            "hand": "any",
            "rank_by": "price",
            "currency": "EUR",
            "kits": 5,
            "may_alter": [],
        },
        "assumptions": {"press_seconds": 15, "switch_inputs": 2, "bedding": 0, "least_pull_percent": 40},
        "as_of": "2026-06-01",
    }


@given(st.integers(0, 2**31))
def test_the_canonical_form_asks_the_same(seed: int) -> None:
    question = Drawn.from_seed(seed).question
    assert read_again(question) == unassumed(question)
    assert normalised(read_again(question)) == normalised(question)


MM = st.decimals(0, 10**6, places=4) | st.integers(0, 10**6)
INCHES = st.decimals(0, 39_000, places=6)
ANGLES = st.decimals(0, 360, places=1) | st.integers(0, 360)


@st.composite
def lengths(draw: st.DrawFn) -> Json:
    unit = draw(st.sampled_from(("mm", "in")))
    figure = MM if unit == "mm" else INCHES
    low, high = sorted((draw(figure), draw(figure)))
    shapes: list[Mapping[str, Any]] = [
        {"value": low},
        {"value": low, "plus_minus": high},
        {"at_least": low},
        {"at_most": high},
        {"at_least": low, "at_most": high},
    ]
    return {"unit": unit, **draw(st.sampled_from(shapes))}


SECTORS = st.builds(
    lambda start, end, radius: {"from": start, "to": end, "radius": radius}, ANGLES, ANGLES, lengths()
).filter(lambda sector: sector["from"] != sector["to"])
BEARINGS = st.builds(
    lambda value, spread: {"value": value, "plus_minus": spread},
    st.decimals(0, 360, places=3),
    st.decimals(0, 180, places=3),
)
OPENINGS = st.one_of(
    st.builds(lambda one: {"round": one}, lengths()),
    st.builds(lambda one, other: {"width": one, "height": other}, lengths(), lengths()),
)
SURVEYS = st.fixed_dictionaries(
    {},
    optional={
        "deck_thickness": lengths(),
        "depth_below_deck": lengths(),
        "pad_diameter": lengths(),
        "free_radius": st.lists(SECTORS, max_size=5),
        "datum_bearing": BEARINGS,
        "opening": OPENINGS,
    },
)


@given(SURVEYS)
def test_any_survey_is_the_same_when_read_again(survey: Json) -> None:
    question = read_question(asked(survey=survey))
    assert read_again(question) == unassumed(question)


@given(lengths())
def test_rounding_never_loses_what_was_measured(length: Json) -> None:
    """In exact µm, every end lies within what is kept, and less than 1 µm from it (or at an end of all)."""
    kept = deck(**length)
    per_mm = Decimal("25400") if length["unit"] == "in" else Decimal("1000")
    exactly = {name: Decimal(value) * per_mm for name, value in length.items() if name != "unit"}
    spread = exactly.get("plus_minus", Decimal(0))
    low = exactly["value"] - spread if "value" in exactly else exactly.get("at_least")
    high = exactly["value"] + spread if "value" in exactly else exactly.get("at_most")
    if low is None:
        assert kept.low is None
    else:
        assert kept.low is not None
        assert 0 <= max(low, Decimal(0)) - kept.low < 1
    if high is None:
        assert kept.high is None
    else:
        assert kept.high is not None
        assert 0 <= kept.high - min(high, Decimal(LONGEST_UM)) < 1


def test_the_shuffled_question_is_the_same_question(rng: Random) -> None:
    for _ in range(50):
        data = Drawn.from_seed(rng.randrange(2**31)).data
        names = list(data)
        rng.shuffle(names)
        assert read_question({name: data[name] for name in names}) == read_question(data)


def test_nothing_known_is_nothing_said() -> None:
    assert normalised(read_question(LEAST)).keys() == {"schema", "winch", "wishes", "assumptions", "as_of"}
    assert surveyed().deck_thickness == UNKNOWN
