"""The sheet: typed text becomes a question, faults stand at their boxes, a question fills the sheet again."""

import json
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from django.utils.html import escape
from hypothesis import given
from hypothesis import strategies as st

from catalog.pages.reading import SheetReader
from catalog.pages.sheet import Sheet, in_unit, sheet_of, texts_of
from catalog.resolver.question import Question, normalised, read_question
from shared.intervals import TURN
from shared.units import Unit

TODAY = date(2026, 11, 25)
SITUATIONS = sorted((Path(__file__).parents[3] / "fixtures" / "situations").glob("*.json"))


def asked(texts: dict[str, str], *, unit: Unit = Unit.MM, rows: int = 6) -> dict[str, Any]:
    reader = SheetReader(texts, model="tansy-60", unit=unit, rows=rows)
    question = reader.read(TODAY)
    assert question is not None, reader.faults
    return normalised(question)


def faults(texts: dict[str, str], *, unit: Unit = Unit.MM, rows: int = 6) -> dict[str, list[str]]:
    reader = SheetReader(texts, model="tansy-60", unit=unit, rows=rows)
    assert reader.read(TODAY) is None
    return reader.faults.by_name


def situation(path: Path) -> Question:
    return read_question(json.loads(path.read_text(), parse_float=Decimal)["question"])


# --- reading ------------------------------------------------------------------------------------------------


def test_an_empty_sheet_asks_about_the_model_alone() -> None:
    assert set(asked({})) == {"schema", "winch", "wishes", "assumptions", "as_of"}
    assert asked({})["as_of"] == "2026-11-25"


def test_a_full_sheet() -> None:
    form = asked(
        {
            "year": "2012",
            "serial": " TN-4120 ",
            "plug": "absent",
            "deck_value": "38",
            "deck_pm": "1",
            "depth_least": "240",
            "pad_least": "190",
            "pad_most": "210",
            "sector0_from": "315",
            "sector0_to": "45",
            "sector0_value": "350",
            "rest_least": "140",
            "datum_value": "30",
            "datum_pm": "2",
            "width_value": "200",
            "height_value": "180",
            "motor_voltage": "24",
            "control_voltage": "12",
            "drive": "in-line",
            "hand": "left",
            "rank_by": "margin",
            "currency": "usd",
            "kits": "3",
            "press_seconds": "20",
            "switch_inputs": "4",
            "bedding": "2",
            "least_pull_percent": "30",
            "as_of": "2027-01-01",
        }
    )
    assert form["winch"] == {"model": "tansy-60", "year": 2012, "serial": "TN-4120", "plug": "absent"}
    assert form["survey"] == {
        "deck_thickness": {"at_least": 37, "at_most": 39},
        "depth_below_deck": {"at_least": 240},
        "free_radius": [
            {"from": 45, "to": 315, "radius": {"at_least": 140}},
            {"from": 315, "to": 45, "radius": {"value": 350}},
        ],
        "datum_bearing": {"value": 30, "plus_minus": 2},
        "opening": {"width": {"value": 200}, "height": {"value": 180}},
        "pad_diameter": {"at_least": 190, "at_most": 210},
    }
    assert form["boat"] == {"motor_voltage": 24, "control_voltage": 12}
    assert form["wishes"] == {
        "drive": "in-line", "hand": "left", "rank_by": "margin", "currency": "USD", "kits": 3,
    }  # fmt: skip
    assert form["assumptions"] == {
        "press_seconds": 20, "switch_inputs": 4, "bedding": 2, "least_pull_percent": 30,
    }  # fmt: skip
    assert form["as_of"] == "2027-01-01"


def test_inches_are_rounded_outward_as_everywhere() -> None:
    """1 5/8 in ± 1/32 in is 40 481.25 to 42 068.75 µm."""
    form = asked({"deck_value": "1 5/8", "deck_pm": "1/32"}, unit=Unit.INCH)
    assert form["survey"]["deck_thickness"] == {"at_least": 40.481, "at_most": 42.069}


def test_all_round_alone_is_the_whole_circle() -> None:
    form = asked({"rest_value": "500"})
    assert form["survey"]["free_radius"] == [{"from": 0, "to": 360, "radius": {"value": 500}}]


@given(st.lists(st.tuples(st.integers(0, 360), st.integers(0, 360)), min_size=1, max_size=5))
def test_everywhere_else_is_what_no_sector_holds(bounds: list[tuple[int, int]]) -> None:
    """At every tenth of a degree: inside a sector nothing is added, outside exactly one stretch is."""
    given = [(low, high) for low, high in bounds if low != high]
    texts = {"rest_value": "140"}
    for row, (low, high) in enumerate(given):
        texts |= {f"sector{row}_from": str(low), f"sector{row}_to": str(high), f"sector{row}_value": "350"}
    reader = SheetReader(texts, model="tansy-60", unit=Unit.MM, rows=5)
    question = reader.read(TODAY)
    assert question is not None
    sectors = question.survey.free_radius
    typed = [one.arc for one in sectors if one.radius.low == 350_000]
    rest = [one.arc for one in sectors if one.radius.low == 140_000]
    for bearing in range(0, TURN, 5):
        inside = any(arc.contains(bearing) for arc in typed)
        within = [arc for arc in rest if arc.contains(bearing)]
        on_a_bound = any(bearing in (arc.start, arc.end) for arc in rest)
        assert inside or within
        assert on_a_bound or not (inside and within)


# --- faults -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("texts", "name", "words"),
    [
        ({"year": "abc"}, "year", "abc is not a number"),
        ({"year": "12"}, "year", "from 1900 to 2100"),
        ({"year": "1998.5"}, "year", "out of bounds"),
        ({"plug": "maybe"}, "plug", "present, absent"),
        ({"serial": "x" * 90}, "serial", "80 characters"),
        ({"deck_value": "3,8,1"}, "deck_value", "not a number"),
        ({"deck_value": "1,250"}, "deck_value", "comma"),
        ({"deck_value": "-3"}, "deck_value", "below zero"),
        ({"deck_pm": "1"}, "deck", "measured"),
        ({"deck_value": "38", "deck_least": "30"}, "deck", "Not the two kinds"),
        ({"deck_least": "40", "deck_most": "30"}, "deck", "lies above"),
        ({"deck_value": "1E+999999"}, "deck_value", "12 digits"),
        ({"depth_least": "x"}, "depth_least", "not a number"),
        ({"rest_least": "x"}, "rest_least", "not a number"),
        ({"sector0_from": "10", "sector0_value": "300"}, "sector0_to", "missing"),
        ({"sector0_from": "10", "sector0_to": "90"}, "sector0", "missing"),
        ({"sector0_from": "10", "sector0_to": "10", "sector0_value": "1"}, "sector0", "empty"),
        ({"sector1_from": "10", "sector1_to": "400", "sector1_value": "1"}, "sector1_to", "0 to 360"),
        ({"sector1_from": "1", "sector1_to": "2", "sector1_value": "-1"}, "sector1_value", "below zero"),
        ({"sector0_from": "ten", "sector0_to": "20", "sector0_value": "1"}, "sector0_from", "not a number"),
        ({"datum_pm": "2"}, "datum_value", "missing"),
        ({"datum_value": "400"}, "datum_value", "from 0 to 360"),
        ({"datum_value": "4", "datum_pm": "200"}, "datum_pm", "from 0 to 180"),
        ({"round_value": "1", "width_value": "2"}, "round", "width and height"),
        ({"width_value": "2"}, "round", "width and height"),
        ({"motor_voltage": "13"}, "motor_voltage", "12, 24, 48"),
        ({"drive": "sideways"}, "drive", "in-line"),
        ({"currency": "mermaids"}, "currency", "EUR"),
        ({"kits": "51"}, "kits", "from 0 to 50"),
        ({"press_seconds": "0"}, "press_seconds", "from 1 to 600"),
        ({"bedding": "60"}, "bedding", "50 mm"),
        ({"as_of": "yesterday"}, "as_of", "2026-06-01"),
    ],
)  # fmt: skip
def test_a_fault_stands_at_its_box_and_says_what_would_be_right(
    texts: dict[str, str], name: str, words: str
) -> None:
    found = faults(texts)
    assert list(found) == [name]
    assert words in " ".join(found[name])


def test_all_faults_are_found_in_one_reading() -> None:
    found = faults({"year": "abc", "deck_value": "-3", "datum_pm": "2", "kits": "900"})
    assert set(found) == {"year", "deck_value", "datum_value", "kits"}


def test_a_fault_everywhere_else_is_told_once() -> None:
    texts = {"rest_least": "40", "rest_most": "30"}
    for row, (low, high) in enumerate([(10, 20), (100, 110), (200, 210)]):
        texts |= {f"sector{row}_from": str(low), f"sector{row}_to": str(high), f"sector{row}_value": "350"}
    assert faults(texts) == {"rest": ["What it is at least lies above what it is at most."]}


def test_too_many_sectors() -> None:
    texts = {"rest_value": "100"}
    for row in range(72):
        texts |= {f"sector{row}_from": str(5 * row), f"sector{row}_to": str(5 * row + 4)}
        texts |= {f"sector{row}_value": "350"}
    assert "at most 72" in faults(texts, rows=72)["sector0"][0]


def test_the_summary_leads_to_every_fault_in_the_order_of_the_sheet() -> None:
    reader = SheetReader({"kits": "x", "deck_value": "x", "deck_pm": "1"}, model="m", unit=Unit.MM, rows=2)
    reader.read(TODAY)
    lines = Sheet(reader.texts, faults=reader.faults).summary
    assert [line.id for line in lines] == ["field-deck_value", "field-kits"]
    assert lines[0].label == "Deck thickness, measured"


def test_every_box_of_the_sheet_is_read() -> None:
    """A box that the reader does not know would silently lose what was typed into it."""
    sheet = Sheet(rows=2)
    boxes = [*sheet.winch, *sheet.wish_boxes, *sheet.assumptions]
    for measure in (*sheet.deck, sheet.rest, *sheet.sectors, *sheet.openings, sheet.datum):
        boxes += [*measure.before, *measure.boxes]
    for box in boxes:
        if box.name != "serial":
            assert any(box.name in name or name in box.name for name in faults({box.name: "?"})), box.name
    for choice in (sheet.plug, *sheet.boat, *sheet.wishes):
        assert choice.name in faults({choice.name: "?"})


# --- filling it again ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("unit", list(Unit))
@pytest.mark.parametrize("path", SITUATIONS, ids=lambda path: path.stem)
def test_a_question_fills_a_sheet_that_asks_the_same(path: Path, unit: Unit) -> None:
    question = situation(path)
    sheet = sheet_of(question, unit, today=date.min)
    reader = SheetReader(sheet.texts, model=question.winch.model, unit=unit, rows=sheet.rows)
    again = reader.read(TODAY)
    assert again is not None, reader.faults
    assert normalised(again) | {"revision": None} == normalised(question) | {"revision": None}


def test_a_day_that_has_passed_is_left_to_be_today() -> None:
    question = read_question({"schema": 1, "winch": {"model": "m"}, "as_of": "2026-06-01"})
    assert "as_of" not in texts_of(question, Unit.MM, today=TODAY)
    assert texts_of(question, Unit.MM, today=date(2026, 1, 1))["as_of"] == "2026-06-01"


def test_what_may_be_altered_is_kept_though_the_sheet_has_no_box_for_it() -> None:
    base = {"schema": 1, "winch": {"model": "tansy-60"}, "as_of": "2026-11-25"}
    for allowed in ([], ["pad", "recess"]):
        question = read_question(base | {"wishes": {"may_alter": allowed}})
        assert asked(texts_of(question, Unit.MM, today=TODAY)) == normalised(question)


def test_switching_the_unit_keeps_the_meaning_of_every_figure() -> None:
    texts = {"deck_value": "38", "deck_pm": "1", "depth_least": "9 1/2 in", "pad_value": "abc",
             "datum_value": "30", "year": "2012", "bedding": "2", "sector0_from": "10"}  # fmt: skip
    switched = in_unit(Sheet(texts, Unit.MM), Unit.INCH)
    assert switched.texts == texts | {"deck_value": "38 mm", "deck_pm": "1 mm", "bedding": "2 mm"}
    assert switched.unit is Unit.INCH
    del texts["pad_value"], texts["sector0_from"]
    kept = {name: text for name, text in switched.texts.items() if name in texts}
    assert asked(kept, unit=Unit.INCH) == asked(texts, unit=Unit.MM)


def test_a_zero_needs_no_unit() -> None:
    assert in_unit(Sheet({"deck_value": "0"}, Unit.MM), Unit.INCH).texts == {"deck_value": "0"}


def test_what_was_typed_is_kept_as_it_was() -> None:
    typed = "<b>38</b> &"
    sheet = Sheet({"deck_value": typed})
    assert sheet.deck[0].boxes[0].text == typed
    assert escape(typed) != typed
