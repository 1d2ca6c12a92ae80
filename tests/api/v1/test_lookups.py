"""A question in, its answer out; and whatever is wrong with a question is a problem of a published type."""

import json
from pathlib import Path
from typing import Any

import pytest
from django.db import connection
from django.http import HttpResponse
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.utils import timezone
from pytest_django import Settings

from api.v1.question_schema import EXAMPLE, LEAST_EXAMPLE
from catalog.asking import LONGEST_ADDRESS, LONGEST_QUESTION_BYTES, ask, read_address, read_json
from catalog.resolver.question import MOST_SECTORS
from shared.places import PROJECT
from shared.rates import Rate
from tests.api.conftest import Problem
from tests.factories import MembershipFactory, sign_in

pytestmark = pytest.mark.django_db(databases=["default", "apart"])

ADDRESS = "/api/v1/lookups"
JSON = "application/json"
SITUATIONS = sorted((PROJECT / "fixtures" / "situations").glob("*.json"))
CHOSEN = SITUATIONS[:: max(1, len(SITUATIONS) // 8)]


def post(client: Client, question: object, query: str = "", **rest: Any) -> HttpResponse:
    body = question if isinstance(question, (bytes, str)) else json.dumps(question)
    response: Any = client.post(ADDRESS + query, body, content_type=JSON, **rest)
    assert isinstance(response, HttpResponse)
    return response


def answer(client: Client, question: object, query: str = "") -> dict[str, Any]:
    response = post(client, question, query)
    assert response.status_code == 200, response.content
    found: dict[str, Any] = json.loads(response.content)
    return found


def changed(**changes: Any) -> dict[str, Any]:
    return {**EXAMPLE, **changes}


# --- answers


@pytest.mark.parametrize("situation", CHOSEN, ids=lambda path: path.stem)
def test_the_answer_is_the_resolvers(demo: int, client: Client, situation: Path) -> None:
    given = json.loads(situation.read_text())
    found = answer(client, given["question"])
    assert found["verdict"] == given["expect"]["verdict"]
    question = read_json(json.dumps(given["question"]))
    expected = json.loads(json.dumps(ask(question, today=timezone.now().date()).as_json()))
    assert {key: value for key, value in found.items() if key != "address"} == expected


def test_the_address_is_that_of_the_question_as_it_was_understood(demo: int, client: Client) -> None:
    found = answer(client, LEAST_EXAMPLE)
    assert found["address"].startswith("/answers/")
    encoded = found["address"].removeprefix("/answers/")
    pinned = read_address(encoded)
    assert json.loads(json.dumps(pinned, default=float)) == found["question"]
    assert (found["question"]["revision"], found["question"]["as_of"]) == (demo, found["as_of"])
    # What took its default is written down in the address, and is no default any more.
    assert answer(client, found["question"]) == {**found, "assumed": []}


def test_an_address_that_would_be_too_long_is_null(demo: int, client: Client) -> None:
    sectors = [
        {"from": place * 5, "to": place * 5 + 5, "radius": {"at_least": 300.125 + place, "at_most": 999.875}}
        for place in range(MOST_SECTORS)
    ]
    question = changed(winch={"model": "tansy-60", "year": 1900}, survey={"free_radius": sectors})
    assert len(json.dumps(question)) > LONGEST_ADDRESS * 3 / 4
    assert answer(client, question)["address"] is None


def test_numbers_are_read_exactly(demo: int, client: Client) -> None:
    body = '{"schema": 1, "winch": {"model": "tansy-60"}, "survey": {"deck_thickness": {"value": 0.1}}}'
    assert answer(client, body)["question"]["survey"]["deck_thickness"] == {"value": 0.1}
    finer = body.replace("0.1", "40.000001")
    assert answer(client, finer)["question"]["survey"]["deck_thickness"] == {
        "at_least": 40,
        "at_most": 40.001,
    }


def test_sentences_are_in_the_unit_asked_for(demo: int, client: Client) -> None:
    in_mm, in_inches = answer(client, EXAMPLE), answer(client, EXAMPLE, "?unit=in")
    assert answer(client, EXAMPLE, "?unit=mm") == in_mm
    assert in_mm["kits"][0]["depth_needed"] == in_inches["kits"][0]["depth_needed"]
    told = [
        next(check["sentence"] for check in found["kits"][0]["checks"] if check["code"] == "depth")
        for found in (in_mm, in_inches)
    ]
    assert " mm are left" in told[0]
    assert " in are left" in told[1]


def test_a_missing_day_is_today_and_a_missing_revision_the_newest(demo: int, client: Client) -> None:
    before = timezone.now().date().isoformat()
    found = answer(client, LEAST_EXAMPLE)
    assert before <= found["as_of"] <= timezone.now().date().isoformat()
    assert found["revision"]["number"] == demo


def test_an_answer_is_not_to_be_kept(demo: int, client: Client) -> None:
    response = post(client, LEAST_EXAMPLE)
    assert response.headers["Cache-Control"] == "no-store"
    assert response.headers["Content-Type"] == JSON


def test_no_more_statements_for_a_large_answer(demo: int, client: Client) -> None:
    counts = []
    for question in (changed(winch={"model": "tansy-60", "year": 1900}), EXAMPLE):
        post(client, question)
        with CaptureQueriesContext(connection) as queries:
            post(client, question)
        counts.append(sum("catalog_" in query["sql"] for query in queries.captured_queries))
    assert counts == [1, 1]


# --- who may ask


def test_a_question_needs_no_token_also_of_those_who_are_signed_in(demo: int, client: Client) -> None:
    """The client checks form tokens; a question changes nothing."""
    assert post(client, LEAST_EXAMPLE).status_code == 200
    sign_in(client, MembershipFactory.create().person)
    assert post(client, LEAST_EXAMPLE).status_code == 200


def test_strangers_have_a_limit_and_those_who_are_signed_in_have_not(
    demo: int, client: Client, problem: Problem, settings: Settings
) -> None:
    settings.ANONYMOUS_RATE = Rate.parse("2/day")
    assert post(client, LEAST_EXAMPLE).status_code == 200
    problem(post(client, "{"), 400, "body-not-json")
    refused = post(client, LEAST_EXAMPLE)
    problem(refused, 429, "too-many-requests")
    assert int(refused.headers["Retry-After"]) > 0
    assert client.get("/api/v1/makers").status_code == 200
    sign_in(client, MembershipFactory.create().person)
    assert post(client, LEAST_EXAMPLE).status_code == 200


# --- questions with faults


def with_survey(**survey: Any) -> dict[str, Any]:
    return changed(survey=survey)


SECTOR = {"from": 0, "to": 90, "radius": {"value": 300}}
FAULTS: list[tuple[str, object, int, str, list[str]]] = [
    ("unknown model", changed(winch={"model": "nowhere-1"}), 422, "unknown-model", ["/winch/model"]),
    ("no model", changed(winch={}), 422, "missing-field", ["/winch/model"]),
    ("no winch", changed(winch=None), 422, "missing-field", ["/winch/model"]),
    ("unknown revision", changed(revision=99), 422, "unknown-revision", [""]),
    ("a revision beyond any", changed(revision=10**9), 422, "unknown-revision", [""]),
    ("revision zero", changed(revision=0), 422, "out-of-bounds", ["/revision"]),
    (
        "at least above at most",
        with_survey(deck_thickness={"at_least": 40, "at_most": 39.9}),
        422,
        "contradictory-length",
        ["/survey/deck_thickness"],
    ),
    (
        "contradictory within a sector",
        with_survey(free_radius=[SECTOR, {**SECTOR, "radius": {"at_least": 2, "at_most": 1}}]),
        422,
        "contradictory-length",
        ["/survey/free_radius/1/radius"],
    ),
    (
        "negative length",
        with_survey(depth_below_deck={"value": -1}),
        422,
        "negative-length",
        ["/survey/depth_below_deck/value"],
    ),
    (
        "text for a number",
        with_survey(deck_thickness={"value": "38"}),
        422,
        "number-expected",
        ["/survey/deck_thickness/value"],
    ),
    (
        "truth for a number",
        with_survey(deck_thickness={"value": True}),
        422,
        "number-expected",
        ["/survey/deck_thickness/value"],
    ),
    (
        "bare number for a length",
        with_survey(deck_thickness=38),
        422,
        "unclear-length",
        ["/survey/deck_thickness"],
    ),
    (
        "value and bound",
        with_survey(pad_diameter={"value": 1, "at_most": 2}),
        422,
        "unclear-length",
        ["/survey/pad_diameter"],
    ),
    (
        "unknown unit",
        with_survey(deck_thickness={"value": 3, "unit": "cm"}),
        422,
        "unknown-unit",
        ["/survey/deck_thickness/unit"],
    ),
    (
        "endless number",
        json.dumps(with_survey(deck_thickness={"value": 0})).replace('"value": 0', '"value": 1E+999999'),
        422,
        "number-too-long",
        ["/survey/deck_thickness/value"],
    ),
    (
        "number with an endless exponent",
        json.dumps(with_survey(deck_thickness={"value": 0})).replace('"value": 0', '"value": 1E+' + "9" * 30),
        422,
        "number-too-long",
        [""],
    ),
    (
        "more sectors than are read",
        with_survey(free_radius=[SECTOR] * (MOST_SECTORS + 1)),
        422,
        "too-many-sectors",
        ["/survey/free_radius"],
    ),
    (
        "empty sector",
        with_survey(free_radius=[{**SECTOR, "to": 0}]),
        422,
        "empty-sector",
        ["/survey/free_radius/0"],
    ),
    (
        "opening of both forms",
        with_survey(opening={"round": {"value": 1}, "width": {"value": 1}}),
        422,
        "unclear-opening",
        ["/survey/opening"],
    ),
    ("a day that is none", changed(as_of="2026-02-30"), 422, "as-of-not-a-date", ["/as_of"]),
    (
        "a currency that is none",
        changed(wishes={"currency": "XXX"}),
        422,
        "unknown-currency",
        ["/wishes/currency"],
    ),
    ("unknown field", changed(winsch={}), 422, "unknown-field", ["/winsch"]),
    ("unknown schema", changed(schema=2), 422, "unknown-question-schema", ["/schema"]),
    ("a list for an object", changed(boat=[]), 422, "not-an-object", ["/boat"]),
    (
        "serial and year of two runs",
        changed(winch={"model": "bellows-30", "year": 1995, "serial": "7000"}),
        422,
        "serial-year-conflict",
        ["/winch/serial"],
    ),
    (
        "several at once",
        changed(boat={"motor_voltage": 13}, wishes={"kits": 51}, assumptions={"bedding": -1}),
        422,
        "many-faults",
        ["/boat/motor_voltage", "/wishes/kits", "/assumptions/bedding"],
    ),
    ("no object", [], 422, "not-an-object", [""]),
    ("empty object", {}, 422, "many-faults", ["/schema", "/winch/model"]),
]


@pytest.mark.parametrize(
    ("question", "status", "code", "pointers"), [row[1:] for row in FAULTS], ids=[row[0] for row in FAULTS]
)
def test_a_faulty_question_is_a_problem_with_its_places(
    demo: int, client: Client, problem: Problem, question: object, status: int, code: str, pointers: list[str]
) -> None:
    found = problem(post(client, question), status, code)
    if pointers:
        assert [entry["pointer"] for entry in found["errors"]] == pointers


UNREADABLE: list[tuple[str, bytes, int, str]] = [
    ("not JSON", b"{", 400, "body-not-json"),
    ("nothing but space", b" ", 400, "body-not-json"),
    ("NaN", b'{"schema": NaN}', 400, "body-not-json"),
    ("Infinity", b'{"schema": -Infinity}', 400, "body-not-json"),
    ("a name twice", b'{"schema": 1, "schema": 1}', 400, "body-not-json"),
    ("not UTF-8", b'{"schema": "\xff"}', 400, "body-not-json"),
    ("UTF-16", '{"schema": 1}'.encode("utf-16"), 400, "body-not-json"),
    ("nested deeply", b"[" * 60_000, 400, "body-not-json"),
    ("nested deeply, with an end", b"[" * 9_000 + b"]" * 9_000, 422, "not-an-object"),
    ("nested with a suspect", b"[" * 5_000 + b'"\\u007f"' + b"]" * 5_000, 400, "body-not-json"),
    ("a raw NUL", b'{"schema": "\x00"}', 400, "body-not-json"),
    ("an escaped NUL", b'{"winch": {"model": "a\\u0000b"}}', 400, "forbidden-character"),
    ("half a pair", b'{"winch": {"model": "\\ud800"}}', 400, "forbidden-character"),
    ("endless digits", b'{"schema": ' + b"1" * 5_000 + b"}", 422, "number-too-long"),
    (
        "ten thousand sectors",
        json.dumps(with_survey(free_radius=[SECTOR] * 10_000)).encode(),
        413,
        "body-too-large",
    ),
    ("ten megabytes", b" " * 10_000_000, 413, "body-too-large"),
    (
        "one byte too many",
        json.dumps(EXAMPLE).encode().ljust(LONGEST_QUESTION_BYTES + 1),
        413,
        "body-too-large",
    ),
]


@pytest.mark.parametrize(
    ("body", "status", "code"), [row[1:] for row in UNREADABLE], ids=[row[0] for row in UNREADABLE]
)
def test_what_cannot_be_read_is_a_problem(
    demo: int, client: Client, problem: Problem, body: bytes, status: int, code: str
) -> None:
    problem(post(client, body), status, code)


def test_the_largest_body_is_read(demo: int, client: Client) -> None:
    assert post(client, json.dumps(LEAST_EXAMPLE).encode().ljust(LONGEST_QUESTION_BYTES)).status_code == 200


def test_no_body_is_no_question(demo: int, client: Client, problem: Problem) -> None:
    assert problem(post(client, b""), 422, "many-faults")["errors"][0]["pointer"] == "/schema"


@pytest.mark.parametrize(
    "content_type",
    ["text/plain", "application/x-www-form-urlencoded", "multipart/form-data; boundary=x", "x/y"],
)
def test_only_json_is_read(demo: int, client: Client, problem: Problem, content_type: str) -> None:
    response = client.post(ADDRESS, json.dumps(LEAST_EXAMPLE), content_type=content_type)
    problem(response, 415, "unsupported-media-type")


@pytest.mark.parametrize("method", ["get", "head", "put", "patch", "delete", "options"])
def test_a_question_is_posted(demo: int, client: Client, method: str) -> None:
    response = getattr(client, method)(ADDRESS)
    assert response.status_code == 405
    assert response.headers["Allow"] == "POST"


def test_an_answer_is_json(demo: int, client: Client, problem: Problem) -> None:
    problem(post(client, LEAST_EXAMPLE, headers={"Accept": "text/html"}), 406, "not-acceptable")
    assert post(client, LEAST_EXAMPLE, headers={"Accept": "application/*"}).status_code == 200


@pytest.mark.parametrize(
    ("query", "pointer"), [("?unit=cm", "/unit"), ("?unit=", "/unit"), ("?units=mm", "/units")]
)
def test_a_faulty_parameter_is_named(
    demo: int, client: Client, problem: Problem, query: str, pointer: str
) -> None:
    found = problem(post(client, LEAST_EXAMPLE, query), 400, "faulty-parameter")
    assert [entry["pointer"] for entry in found["errors"]] == [pointer]


def test_a_question_that_is_too_wide_is_refused(
    demo: int, client: Client, problem: Problem, monkeypatch: pytest.MonkeyPatch
) -> None:
    """With the limit on steps lowered; no question of the demo reaches the usual one."""
    monkeypatch.setattr("catalog.resolver.search.MOST_STEPS", 1)
    found = problem(post(client, LEAST_EXAMPLE), 422, "question-too-wide")
    assert "narrow" in found["detail"]
    assert "errors" not in found
