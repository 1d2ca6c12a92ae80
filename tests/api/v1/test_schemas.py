"""What the OpenAPI document says of questions and answers is what is read and what is written."""

import json
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from django.test import Client
from jsonschema import Draft202012Validator, FormatChecker

from api.v1 import answer_schema, question_schema
from api.v1.components import SCHEMAS
from api.v1.openapi import document
from api.v1.question_schema import EXAMPLE, LEAST_EXAMPLE
from api.v1.shapes import Json
from catalog.resolver.parts import PartKind
from catalog.resolver.question import read_question
from shared.errors import FaultyInput
from shared.places import PROJECT
from shared.strict_json import read_json

pytestmark = pytest.mark.django_db(databases=["default", "apart"])

SITUATIONS = sorted((PROJECT / "fixtures" / "situations").glob("*.json"))
TODAY = date(2026, 6, 1)


def closed(schema: Any) -> Any:  # noqa: ANN401 - any part of a schema
    """The same schema, which nothing satisfies that has a member not documented."""
    if isinstance(schema, list):
        return [closed(one) for one in schema]
    if not isinstance(schema, dict):
        return schema
    made = {name: closed(one) for name, one in schema.items()}
    # Of the branches of anyOf and oneOf in one object, only the whole knows all members.
    if isinstance(made.get("properties"), dict) and "description" in made:
        made.setdefault("additionalProperties", False)
    return made


def validator(name: str) -> Draft202012Validator:
    components: Any = {"schemas": closed(json.loads(json.dumps(document()["components"]["schemas"])))}
    schema = {"$ref": f"#/components/schemas/{name}", "components": components}
    Draft202012Validator.check_schema(schema)
    return Draft202012Validator(schema, format_checker=FormatChecker())


def faults(name: str, value: object) -> list[str]:
    return [f"{fault.json_path}: {fault.message[:200]}" for fault in validator(name).iter_errors(value)]


@pytest.mark.parametrize("situation", SITUATIONS, ids=lambda path: path.stem)
def test_situations_and_their_answers_are_as_documented(demo: int, client: Client, situation: Path) -> None:
    question = json.loads(situation.read_text())["question"]
    assert faults("Question", question) == []
    response = client.post("/api/v1/lookups", question, content_type="application/json")
    assert response.status_code == 200
    assert faults("Answer", response.json()) == []


@pytest.mark.parametrize("question", [EXAMPLE, LEAST_EXAMPLE], ids=["example", "least"])
def test_the_examples_are_as_documented(demo: int, client: Client, question: Json) -> None:
    assert faults("Question", question) == []
    response = client.post("/api/v1/lookups", question, content_type="application/json")
    assert faults("Answer", response.json()) == []


@pytest.mark.parametrize("name", ["example", "complete"])
def test_the_questions_of_the_demo_are_as_documented(name: str) -> None:
    question = json.loads((PROJECT / "fixtures" / "questions" / f"{name}.json").read_text())
    assert faults("Question", question) == []


def test_a_member_that_is_not_documented_would_be_noticed() -> None:
    assert faults("Money", {"amount": "1.00", "currency": "EUR"}) == []
    assert faults("Money", {"amount": "1.00", "currency": "EUR", "tax": 1})
    assert faults("Question", {**LEAST_EXAMPLE, "more": 1})


# --- the schema and the reader agree

LENGTHS: list[tuple[object, bool]] = [
    ({"value": 38}, True),
    ({"value": 38.5, "plus_minus": 0}, True),
    ({"value": 1.5, "unit": "in"}, True),
    ({"value": 38, "plus_minus": None, "unit": None}, True),
    ({"at_least": 0}, True),
    ({"at_most": 40, "unit": "mm"}, True),
    ({"at_least": 40, "at_most": 40}, True),
    ({"at_least": 40, "at_most": None}, True),
    (None, True),
    ({}, False),
    (38, False),
    ("38", False),
    ([], False),
    ({"value": None}, False),
    ({"value": "38"}, False),
    ({"value": True}, False),
    ({"value": -1}, False),
    ({"value": 1_000_000}, True),
    ({"value": 1_000_001}, False),
    ({"value": 1, "unit": '"'}, False),
    ({"value": 1, "unit": 1}, False),
    ({"plus_minus": 1}, False),
    ({"value": 1, "plus_minus": -1}, False),
    ({"value": 1, "at_least": 1}, False),
    ({"at_least": 1, "plus_minus": 1}, False),
    ({"at_least": None, "at_most": None}, False),
    ({"at_least": -1}, False),
    ({"value": 1, "unit": "cm"}, False),
    ({"value": 1, "more": 1}, False),
]


@pytest.mark.parametrize(("length", "good"), LENGTHS, ids=[json.dumps(one) for one, _ in LENGTHS])
def test_a_length_is_read_as_documented(length: object, good: bool) -> None:
    question = {**LEAST_EXAMPLE, "survey": {"deck_thickness": length}}
    assert (faults("Question", question) == []) is good
    assert is_read(question) is good


def is_read(question: object) -> bool:
    try:
        read_question(read_json(json.dumps(question).encode()), today=TODAY)
    except FaultyInput:
        return False
    return True


SECTIONS = ("QuestionWinch", "Survey", "Boat", "Wishes", "Assumptions")


def placed(section: str, name: str, value: object) -> Json:
    """A question with one field of a section set."""
    key = {"QuestionWinch": "winch"}.get(section, section.lower())
    given = {**LEAST_EXAMPLE.get(key, {}), name: value}
    return {**LEAST_EXAMPLE, key: given}


def tried() -> Iterator[tuple[str, str, object]]:
    """For every field of every section: values on its bounds and beyond, of its kind and of others."""
    for section in SECTIONS:
        for name, schema in SCHEMAS[section]["properties"].items():
            for value in [None, "x", "", [], {}, True, 1.5, -1, 0, 1, *bounds(schema)]:
                if not isinstance(value, str) or section != "QuestionWinch" or name == "plug":
                    yield section, name, value


def bounds(schema: Json) -> list[object]:
    if "enum" in schema:
        return list(schema["enum"])
    found: list[object] = []
    for name in ("minimum", "maximum"):
        if name in schema:
            found += [schema[name] - 1, schema[name], schema[name] + 1]
    return found


def test_every_field_is_read_as_documented() -> None:
    checked = validator("Question")
    count = 0
    for section, name, value in tried():
        question = placed(section, name, value)
        documented = checked.is_valid(question)
        assert documented is is_read(question), (section, name, value)
        count += 1
    assert count > 250


@pytest.mark.parametrize(
    ("sector", "good"),
    [
        ({"from": 315, "to": 45, "radius": {"value": 300}}, True),
        ({"from": 0, "to": 360, "radius": {"at_least": 300}}, True),
        ({"from": 0.1, "to": 360, "radius": {"at_least": 300}}, True),
        ({"from": 0, "to": 361, "radius": {"value": 300}}, False),
        ({"from": -1, "to": 45, "radius": {"value": 300}}, False),
        ({"from": 0, "to": 45}, False),
        ({"from": 0, "to": 45, "radius": None}, False),
        ({"from": None, "to": 45, "radius": {"value": 300}}, False),
        ({"from": 0, "to": 45, "radius": {"value": 300}, "depth": 1}, False),
        ("all round", False),
    ],
)
def test_a_sector_is_read_as_documented(sector: object, good: bool) -> None:
    question = {**LEAST_EXAMPLE, "survey": {"free_radius": [sector]}}
    assert (faults("Question", question) == []) is good
    assert is_read(question) is good


@pytest.mark.parametrize(
    ("opening", "good"),
    [
        ({"round": {"value": 160}}, True),
        ({"width": {"at_least": 1}, "height": {"at_most": 2}}, True),
        ({"width": {"value": 1}}, False),
        ({"round": {"value": 1}, "width": {"value": 1}, "height": {"value": 1}}, False),
        ({}, False),
        ({"square": {"value": 1}}, False),
    ],
)
def test_an_opening_is_read_as_documented(opening: object, good: bool) -> None:
    question = {**LEAST_EXAMPLE, "survey": {"opening": opening}}
    assert (faults("Question", question) == []) is good
    assert is_read(question) is good


@pytest.mark.parametrize(
    ("day", "good"),
    [("2026-06-01", True), (None, True), ("20260601", False), ("2026-W23-1", False), ("1.6.2026", False)],
)
def test_a_day_is_read_as_documented(day: object, good: bool) -> None:
    question = {**LEAST_EXAMPLE, "as_of": day}
    assert (faults("Question", question) == []) is good
    assert is_read(question) is good


def test_defaults_are_those_that_are_taken() -> None:
    question = read_question(LEAST_EXAMPLE, today=TODAY)
    for section, taken in (("Wishes", question.wishes), ("Assumptions", question.assumptions)):
        for name, schema in SCHEMAS[section]["properties"].items():
            if "default" in schema:
                attribute = "bedding_um" if name == "bedding" else name
                assert schema["default"] == getattr(taken, attribute)


# --- rows


@pytest.mark.parametrize(
    ("address", "name"),
    [
        ("makers/barleyloft", "Maker"),
        ("winch-families/tansy", "WinchFamily"),
        ("winch-models/tansy-60", "WinchModelDetail"),
        ("revisions/1", "RevisionDetail"),
    ],
)
def test_details_are_as_documented(demo: int, client: Client, address: str, name: str) -> None:
    response = client.get(f"/api/v1/{address}")
    assert faults(name, response.json()) == []


@pytest.mark.parametrize(
    ("address", "name"),
    [
        ("makers", "Maker"),
        ("winch-families", "WinchFamily"),
        ("winch-models", "WinchModel"),
        ("production-runs", "ProductionRun"),
        ("base-patterns", "BasePattern"),
        ("spindles", "Spindle"),
        ("flanges", "Flange"),
        ("couplings", "Coupling"),
        ("parts", "Part"),
        ("revisions", "Revision"),
        ("exceptions", "Exception"),
    ],
)
def test_rows_are_as_documented(demo: int, client: Client, address: str, name: str) -> None:
    checked = validator(name)
    items = client.get(f"/api/v1/{address}?limit=200").json()["items"]
    assert items
    for item in items:
        assert [fault.message for fault in checked.iter_errors(item)] == []


@pytest.mark.parametrize("kind", list(PartKind))
def test_every_kind_of_part_is_as_documented(demo: int, client: Client, kind: PartKind) -> None:
    checked = validator("PartDetail")
    items = client.get(f"/api/v1/parts?limit=3&kind={kind}").json()["items"]
    assert items
    for item in items:
        found = client.get(f"/api/v1/parts/{item['sku']}").json()
        assert [fault.message for fault in checked.iter_errors(found)] == []


def test_components_that_stand_for_nothing_are_none() -> None:
    """Every component is referred to, and every reference leads somewhere."""
    text = json.dumps(document())
    for name in SCHEMAS:
        assert f'"#/components/schemas/{name}"' in text, name
    assert set(answer_schema.SCHEMAS).isdisjoint(question_schema.SCHEMAS)
