"""Questions that are refused: every fault with its place and its code, all of them at once."""

from decimal import Decimal

import pytest

from catalog.resolver.question import MOST_SECTORS, read_question
from shared.errors import FaultyInput
from tests.resolver.drawn import LEAST, Json, asked


def faults_of(data: object) -> list[tuple[str, str]]:
    """(pointer, code) of every fault of a question."""
    with pytest.raises(FaultyInput) as caught:
        read_question(data)
    return [(fault.pointer, fault.code) for fault in caught.value.faults]


HUGE = Decimal("1E+999999")
LONG = Decimal("1234567890123")
NO_OBJECTS: tuple[object, ...] = ([], "", 0, False, True)

FAULTS: list[tuple[Json, str, str]] = [
    # the whole
    ({"schema": None}, "/schema", "missing-field"),
    ({"schema": 2}, "/schema", "unknown-question-schema"),
    ({"schema": True}, "/schema", "unknown-question-schema"),
    ({"schema": "1"}, "/schema", "unknown-question-schema"),
    ({"schema": HUGE}, "/schema", "unknown-question-schema"),
    ({"winch": None}, "/winch/model", "missing-field"),
    ({"winch": {}}, "/winch/model", "missing-field"),
    ({"as_of": "1.6.2026"}, "/as_of", "as-of-not-a-date"),
    ({"as_of": "20260601"}, "/as_of", "as-of-not-a-date"),
    ({"as_of": "2026-02-29"}, "/as_of", "as-of-not-a-date"),
    ({"as_of": "2026-06-01T10:00"}, "/as_of", "as-of-not-a-date"),
    ({"as_of": ""}, "/as_of", "as-of-not-a-date"),
    ({"as_of": 20260601}, "/as_of", "as-of-not-a-date"),
    ({"as_of": True}, "/as_of", "as-of-not-a-date"),
    ({"revision": 0}, "/revision", "out-of-bounds"),
    ({"revision": Decimal("1.5")}, "/revision", "out-of-bounds"),
    ({"revision": True}, "/revision", "number-expected"),
    ({"revision": "7"}, "/revision", "number-expected"),
    ({"revision": HUGE}, "/revision", "number-too-long"),
    ({"revision": 10**5000}, "/revision", "number-too-long"),
    # sections that are none
    *(
        ({section: wrong}, f"/{section}", "not-an-object")
        for section in ("winch", "survey", "boat", "wishes", "assumptions")
        for wrong in NO_OBJECTS
    ),
    # fields that are unknown, at every level
    ({"deck": 1}, "/deck", "unknown-field"),
    ({"a/b~c": 1}, "/a~1b~0c", "unknown-field"),
    *(
        (
            {section: {"model": "capper-40"} | {"deck": 1} if section == "winch" else {"deck": 1}},
            f"/{section}/deck",
            "unknown-field",
        )
        for section in ("winch", "survey", "boat", "wishes", "assumptions")
    ),
    ({"survey": {"deck_thickness": {"value": 1, "foot": 1}}}, "/survey/deck_thickness/foot", "unknown-field"),
    (
        {"survey": {"datum_bearing": {"value": 1, "unit": "mm"}}},
        "/survey/datum_bearing/unit",
        "unknown-field",
    ),
    ({"survey": {"opening": {"round": {"value": 1}, "deep": 1}}}, "/survey/opening/deep", "unknown-field"),
    (
        {"survey": {"opening": {"round": {"value": 1, "deep": 1}}}},
        "/survey/opening/round/deep",
        "unknown-field",
    ),
    (
        {"survey": {"free_radius": [{"from": 0, "to": 9, "radius": {"value": 1}, "by": 1}]}},
        "/survey/free_radius/0/by",
        "unknown-field",
    ),
    # the winch
    ({"winch": {"model": 40}}, "/winch/model", "not-text"),
    ({"winch": {"model": " "}}, "/winch/model", "not-text"),
    ({"winch": {"model": "x" * 81}}, "/winch/model", "not-text"),
    ({"winch": {"model": "a\nb"}}, "/winch/model", "not-text"),
    ({"winch": {"model": "m", "year": "1998"}}, "/winch/year", "number-expected"),
    ({"winch": {"model": "m", "year": True}}, "/winch/year", "number-expected"),
    ({"winch": {"model": "m", "year": 1899}}, "/winch/year", "out-of-bounds"),
    ({"winch": {"model": "m", "year": 2101}}, "/winch/year", "out-of-bounds"),
    ({"winch": {"model": "m", "year": Decimal("1998.5")}}, "/winch/year", "out-of-bounds"),
    ({"winch": {"model": "m", "year": HUGE}}, "/winch/year", "number-too-long"),
    ({"winch": {"model": "m", "serial": 7000}}, "/winch/serial", "not-text"),
    ({"winch": {"model": "m", "serial": ""}}, "/winch/serial", "not-text"),
    ({"winch": {"model": "m", "plug": True}}, "/winch/plug", "not-one-of"),
    ({"winch": {"model": "m", "plug": "gone"}}, "/winch/plug", "not-one-of"),
    # the survey beyond its lengths
    ({"survey": {"free_radius": {}}}, "/survey/free_radius", "not-a-list"),
    ({"survey": {"free_radius": False}}, "/survey/free_radius", "not-a-list"),
    ({"survey": {"free_radius": [None]}}, "/survey/free_radius/0", "not-an-object"),
    ({"survey": {"free_radius": [[0, 90, 300]]}}, "/survey/free_radius/0", "not-an-object"),
    ({"survey": {"datum_bearing": 30}}, "/survey/datum_bearing", "not-an-object"),
    ({"survey": {"datum_bearing": {}}}, "/survey/datum_bearing/value", "missing-field"),
    ({"survey": {"datum_bearing": {"value": True}}}, "/survey/datum_bearing/value", "number-expected"),
    ({"survey": {"datum_bearing": {"value": "30"}}}, "/survey/datum_bearing/value", "number-expected"),
    ({"survey": {"datum_bearing": {"value": -1}}}, "/survey/datum_bearing/value", "out-of-bounds"),
    ({"survey": {"datum_bearing": {"value": 361}}}, "/survey/datum_bearing/value", "out-of-bounds"),
    ({"survey": {"datum_bearing": {"value": HUGE}}}, "/survey/datum_bearing/value", "number-too-long"),
    *(
        (
            {"survey": {"datum_bearing": {"value": 30, "plus_minus": wrong}}},
            "/survey/datum_bearing/plus_minus",
            code,
        )
        for wrong, code in (
            (True, "number-expected"),
            (False, "number-expected"),
            ("", "number-expected"),
            ([], "number-expected"),
            (-1, "out-of-bounds"),
            (181, "out-of-bounds"),
            (HUGE, "number-too-long"),
        )
    ),
    ({"survey": {"opening": {}}}, "/survey/opening", "unclear-opening"),
    ({"survey": {"opening": {"width": {"value": 1}}}}, "/survey/opening", "unclear-opening"),
    (
        {"survey": {"opening": {"round": {"value": 1}, "height": {"value": 1}}}},
        "/survey/opening",
        "unclear-opening",
    ),
    ({"survey": {"opening": []}}, "/survey/opening", "not-an-object"),
    ({"survey": {"opening": {"round": 160}}}, "/survey/opening/round", "unclear-length"),
    # boat, wishes, assumptions
    ({"boat": {"motor_voltage": 13}}, "/boat/motor_voltage", "not-one-of"),
    ({"boat": {"motor_voltage": "12"}}, "/boat/motor_voltage", "number-expected"),
    ({"boat": {"motor_voltage": True}}, "/boat/motor_voltage", "number-expected"),
    ({"boat": {"motor_voltage": HUGE}}, "/boat/motor_voltage", "not-one-of"),
    ({"boat": {"control_voltage": 48}}, "/boat/control_voltage", "not-one-of"),
    ({"wishes": {"drive": "hydraulic"}}, "/wishes/drive", "not-one-of"),
    ({"wishes": {"drive": ["any"]}}, "/wishes/drive", "not-one-of"),
    ({"wishes": {"hand": "none"}}, "/wishes/hand", "not-one-of"),
    ({"wishes": {"hand": True}}, "/wishes/hand", "not-one-of"),
    ({"wishes": {"rank_by": "Price"}}, "/wishes/rank_by", "not-one-of"),
    ({"wishes": {"currency": "eur"}}, "/wishes/currency", "unknown-currency"),
    ({"wishes": {"currency": 1}}, "/wishes/currency", "not-text"),
    ({"wishes": {"kits": -1}}, "/wishes/kits", "out-of-bounds"),
    ({"wishes": {"kits": 51}}, "/wishes/kits", "out-of-bounds"),
    ({"wishes": {"kits": False}}, "/wishes/kits", "number-expected"),
    ({"wishes": {"may_alter": "pad"}}, "/wishes/may_alter", "not-a-list"),
    ({"wishes": {"may_alter": {"pad": 1}}}, "/wishes/may_alter", "not-a-list"),
    ({"wishes": {"may_alter": ["pad", "saw"]}}, "/wishes/may_alter/1", "not-one-of"),
    ({"wishes": {"may_alter": [None]}}, "/wishes/may_alter/0", "not-one-of"),
    ({"assumptions": {"press_seconds": 0}}, "/assumptions/press_seconds", "out-of-bounds"),
    ({"assumptions": {"press_seconds": 601}}, "/assumptions/press_seconds", "out-of-bounds"),
    ({"assumptions": {"press_seconds": True}}, "/assumptions/press_seconds", "number-expected"),
    ({"assumptions": {"switch_inputs": 17}}, "/assumptions/switch_inputs", "out-of-bounds"),
    ({"assumptions": {"bedding": Decimal("50.1")}}, "/assumptions/bedding", "out-of-bounds"),
    ({"assumptions": {"bedding": -1}}, "/assumptions/bedding", "out-of-bounds"),
    ({"assumptions": {"bedding": {"value": 1}}}, "/assumptions/bedding", "number-expected"),
    ({"assumptions": {"bedding": False}}, "/assumptions/bedding", "number-expected"),
    ({"assumptions": {"least_pull_percent": 101}}, "/assumptions/least_pull_percent", "out-of-bounds"),
]


@pytest.mark.parametrize(("changed", "pointer", "code"), FAULTS)
def test_a_fault_has_its_place(changed: Json, pointer: str, code: str) -> None:
    assert faults_of(LEAST | changed) == [(pointer, code)]


SECTOR: Json = {"from": 0, "to": 90, "radius": {"value": 300}}


@pytest.mark.parametrize(
    ("changed", "below", "code"),
    [
        ({"from": None}, "/from", "missing-field"),
        ({"to": None}, "/to", "missing-field"),
        ({"radius": None}, "/radius", "missing-field"),
        ({"from": True}, "/from", "number-expected"),
        ({"to": "90"}, "/to", "number-expected"),
        ({"from": -1}, "/from", "not-a-bearing"),
        ({"to": 361}, "/to", "not-a-bearing"),
        ({"to": Decimal("90.05")}, "/to", "finer-than-kept"),
        ({"to": HUGE}, "/to", "number-too-long"),
        ({"to": 0}, "", "empty-sector"),
        ({"from": 90}, "", "empty-sector"),
        ({"radius": 300}, "/radius", "unclear-length"),
        ({"radius": {}}, "/radius", "unclear-length"),
        ({"radius": {"value": -1}}, "/radius/value", "negative-length"),
    ],
)
def test_a_faulty_sector_has_its_place(changed: Json, below: str, code: str) -> None:
    survey = {"free_radius": [SECTOR, SECTOR | changed]}
    assert faults_of(asked(survey=survey)) == [(f"/survey/free_radius/1{below}", code)]


def test_as_many_sectors_as_are_read_and_not_one_more() -> None:
    question = read_question(asked(survey={"free_radius": [SECTOR] * MOST_SECTORS}))
    assert len(question.survey.free_radius) == MOST_SECTORS
    place = ("/survey/free_radius", "too-many-sectors")
    assert faults_of(asked(survey={"free_radius": [SECTOR] * (MOST_SECTORS + 1)})) == [place]
    assert faults_of(asked(survey={"free_radius": [SECTOR] * 10_000})) == [place]
    # What is in them is not looked at, so that nonsense is refused as fast as sense.
    assert faults_of(asked(survey={"free_radius": [{"nonsense": True}] * 10_000})) == [place]


LENGTHS = ("deck_thickness", "depth_below_deck", "pad_diameter")


@pytest.mark.parametrize(
    ("length", "below", "code"),
    [
        (38, "", "unclear-length"),
        ("38", "", "unclear-length"),
        ([38], "", "unclear-length"),
        (False, "", "unclear-length"),
        ({}, "", "unclear-length"),
        ({"value": None}, "", "unclear-length"),
        ({"unit": "in"}, "", "unclear-length"),
        ({"plus_minus": 1}, "", "unclear-length"),
        ({"value": 38, "at_least": 1}, "", "unclear-length"),
        ({"value": 38, "at_most": 40}, "", "unclear-length"),
        ({"at_least": 38, "plus_minus": 1}, "", "unclear-length"),
        ({"at_least": 40, "at_most": 39}, "", "contradictory-length"),
        ({"at_least": Decimal("38.0001"), "at_most": 38}, "", "contradictory-length"),
        ({"value": "38"}, "/value", "number-expected"),
        ({"value": True}, "/value", "number-expected"),
        ({"value": False}, "/value", "number-expected"),
        ({"value": []}, "/value", "number-expected"),
        ({"value": 38, "plus_minus": True}, "/plus_minus", "number-expected"),
        ({"value": 38, "plus_minus": "1"}, "/plus_minus", "number-expected"),
        ({"at_least": False}, "/at_least", "number-expected"),
        ({"value": -1}, "/value", "negative-length"),
        ({"value": 38, "plus_minus": -1}, "/plus_minus", "negative-length"),
        ({"at_most": Decimal("-0.001")}, "/at_most", "negative-length"),
        ({"value": HUGE}, "/value", "number-too-long"),
        ({"value": LONG}, "/value", "number-too-long"),
        ({"value": Decimal("1E-7")}, "/value", "number-too-long"),
        ({"value": 38, "plus_minus": HUGE}, "/plus_minus", "number-too-long"),
        ({"value": 10**5000}, "/value", "number-too-long"),
        ({"value": Decimal("999999999999E+6")}, "/value", "out-of-bounds"),
        ({"value": 1_000_001}, "/value", "out-of-bounds"),
        ({"at_most": 40_000, "unit": "in"}, "/at_most", "out-of-bounds"),
        ({"value": 38, "unit": "cm"}, "/unit", "unknown-unit"),
        ({"value": 38, "unit": True}, "/unit", "unknown-unit"),
        ({"value": 38, "unit": ["mm"]}, "/unit", "unknown-unit"),
        ({"value": 38, "unit": '"'}, "/unit", "unknown-unit"),
    ],
)
def test_a_faulty_length_has_its_place(length: object, below: str, code: str) -> None:
    for name in LENGTHS:
        assert faults_of(asked(survey={name: length})) == [(f"/survey/{name}{below}", code)]


@pytest.mark.parametrize("data", [[], "{}", 1, True])
def test_what_is_no_object_is_no_question(data: object) -> None:
    assert faults_of(data) == [("", "not-an-object")]


def test_nothing_asked_lacks_all_that_is_needed() -> None:
    expected = [("/schema", "missing-field"), ("/winch/model", "missing-field"), ("/as_of", "missing-field")]
    assert faults_of({}) == expected
    assert faults_of(None) == expected


def test_all_faults_are_told_at_once() -> None:
    """Also those beside a field that is missing, and those within one list or length."""
    data = {
        "schema": 1,
        "winsch": {},
        "winch": {"year": True, "serial": 7, "colour": "red"},
        "survey": {
            "deck_thickness": {"value": -1, "plus_minus": "1", "foot": 2},
            "free_radius": [
                {"from": 400, "radius": {"value": True}},
                SECTOR,
                {"to": 0, "from": 0, "radius": {}},
            ],
            "datum_bearing": {"plus_minus": False},
            "opening": {"round": {"at_least": 2, "at_most": 1}, "deep": 1},
        },
        "boat": {"motor_voltage": 13, "control_voltage": 48},
        "wishes": {"may_alter": ["saw", "pad", 1], "kits": Decimal("1.5")},
        "assumptions": {"bedding": 51},
        "as_of": "soon",
        "revision": HUGE,
    }
    assert set(faults_of(data)) == {
        ("/winsch", "unknown-field"),
        ("/winch/model", "missing-field"),
        ("/winch/year", "number-expected"),
        ("/winch/serial", "not-text"),
        ("/winch/colour", "unknown-field"),
        ("/survey/deck_thickness/value", "negative-length"),
        ("/survey/deck_thickness/plus_minus", "number-expected"),
        ("/survey/deck_thickness/foot", "unknown-field"),
        ("/survey/free_radius/0/from", "not-a-bearing"),
        ("/survey/free_radius/0/to", "missing-field"),
        ("/survey/free_radius/0/radius/value", "number-expected"),
        ("/survey/free_radius/2/radius", "unclear-length"),
        ("/survey/datum_bearing/value", "missing-field"),
        ("/survey/datum_bearing/plus_minus", "number-expected"),
        ("/survey/opening/round", "contradictory-length"),
        ("/survey/opening/deep", "unknown-field"),
        ("/boat/motor_voltage", "not-one-of"),
        ("/boat/control_voltage", "not-one-of"),
        ("/wishes/may_alter/0", "not-one-of"),
        ("/wishes/may_alter/2", "not-one-of"),
        ("/wishes/kits", "out-of-bounds"),
        ("/assumptions/bedding", "out-of-bounds"),
        ("/as_of", "as-of-not-a-date"),
        ("/revision", "number-too-long"),
    }


@pytest.mark.parametrize(("changed", "pointer", "code"), FAULTS)
def test_a_fault_is_put_into_a_short_sentence(changed: Json, pointer: str, code: str) -> None:
    with pytest.raises(FaultyInput) as caught:
        read_question(LEAST | changed)
    assert 10 < len(str(caught.value)) < 400
    assert "{" not in str(caught.value).replace("{}", "")
