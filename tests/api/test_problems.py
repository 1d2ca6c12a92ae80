"""Every refusal of the API is a problem (RFC 9457) of a published type; pages get pages."""

import json
import os
import subprocess
import sys

import pytest
from django.test import Client
from django.urls import reverse
from pytest_django import Settings

from api import problems
from shared.errors import FaultyInput, GaveUp, PawlbookError, Refused, Stale
from shared.rates import Rate
from tests.api.conftest import Problem
from tests.factories import MembershipFactory, PersonFactory, sign_in

pytestmark = [pytest.mark.urls("tests.api.routes"), pytest.mark.django_db]

JSON = "application/json"


# --- one test for each status
# ---------------------------------------------------------------------------------


def test_400_for_what_is_not_json(client: Client, problem: Problem) -> None:
    found = problem(client.post("/api/test/echo", "{", content_type=JSON), 400, "body-not-json")
    assert "line 1, column 2" in found["detail"]


def test_401_for_strangers(client: Client, problem: Problem) -> None:
    response = client.get("/api/test/private")
    problem(response, 401, "sign-in-needed")
    assert response.headers["WWW-Authenticate"]


def test_403_without_an_organization_and_for_readers_who_write(client: Client, problem: Problem) -> None:
    sign_in(client, PersonFactory.create())
    problem(client.get("/api/test/private"), 403, "not-allowed")
    reader = MembershipFactory.create(role="reader")
    sign_in(client, reader.person)
    assert client.get("/api/test/private").json() == {"organization": str(reader.organization_id)}
    problem(client.post("/api/test/private"), 403, "not-allowed")


def test_403_for_a_forged_form() -> None:
    strict = Client(enforce_csrf_checks=True)
    response = strict.post("/page/form", {"name": "Gwen"})
    assert response.status_code == 403
    assert "Open the page again" in response.content.decode()


@pytest.mark.parametrize("method", ["get", "post", "put", "delete", "patch", "options"])
@pytest.mark.parametrize("address", ["/api/v1/nowhere", "/api/nowhere/at/all", "/api/", "/api/v1/problems/"])
def test_404_from_the_router(client: Client, problem: Problem, method: str, address: str) -> None:
    problem(getattr(client, method)(address), 404, "not-found")


def test_404_from_a_view_says_the_same(client: Client, problem: Problem) -> None:
    unknown = problem(client.get("/api/v1/nowhere"), 404, "not-found")
    raised = problem(client.post("/api/test/ends/missing"), 404, "not-found")
    assert {**unknown, "request_id": ""} == {**raised, "request_id": ""}


def test_405_names_the_methods_that_work(client: Client, problem: Problem) -> None:
    response = client.get("/api/test/echo")
    assert "GET" in problem(response, 405, "method-not-allowed")["detail"]
    assert response.headers["Allow"] == "POST, OPTIONS"


def test_406_for_an_answer_that_does_not_exist(client: Client, problem: Problem) -> None:
    problem(client.get("/api/test/people", headers={"Accept": "image/png"}), 406, "not-acceptable")


def test_409_412_and_422_for_errors_of_ours(client: Client, problem: Problem) -> None:
    problem(client.post("/api/test/ends/refused"), 409, "refused")
    problem(client.post("/api/test/ends/stale"), 412, "changed-meanwhile")
    wide = problem(client.post("/api/test/ends/gave-up"), 422, "question-too-wide")
    assert "deck_thickness" in wide["detail"]
    assert "errors" not in wide


def test_413_before_the_body_is_read(client: Client, problem: Problem) -> None:
    big = b'{"a": "' + b"x" * 10_000_000 + b'"}'
    found = problem(client.post("/api/test/echo", big, content_type=JSON), 413, "body-too-large")
    assert "1000000 bytes" in found["detail"]


def test_415_for_anything_but_json(client: Client, problem: Problem) -> None:
    response = client.post("/api/test/echo", "a=1", content_type="application/x-www-form-urlencoded")
    assert "x-www-form-urlencoded" in problem(response, 415, "unsupported-media-type")["detail"]
    problem(client.post("/api/test/echo", "<a/>", content_type="text/xml"), 415, "unsupported-media-type")


def test_422_lists_every_fault_with_its_place(client: Client, problem: Problem) -> None:
    body = {"survey": {"deck_thickness": "thick", "depth": "1/0"}}
    found = problem(client.post("/api/test/measures", body, content_type=JSON), 422, "many-faults")
    assert [(entry["pointer"], entry["code"]) for entry in found["errors"]] == [
        ("/survey/deck_thickness", "not-a-number"),
        ("/survey/depth", "zero-denominator"),
    ]
    assert "Write it like 38, 38.5 or 1 1/2." in found["errors"][0]["message"]


def test_422_for_a_single_fault_is_of_its_own_type(client: Client, problem: Problem) -> None:
    body = {"survey": {"deck_thickness": "38,5", "depth": 240}}
    found = problem(client.post("/api/test/measures", body, content_type=JSON), 422, "comma-in-number")
    assert [entry["pointer"] for entry in found["errors"]] == ["/survey/deck_thickness"]


def test_422_for_a_serializer_has_the_same_shape(client: Client, problem: Problem) -> None:
    body = {"year": "soon", "lines": [1, "two"]}
    found = problem(client.post("/api/test/serialized", body, content_type=JSON), 422, "many-faults")
    assert [entry["pointer"] for entry in found["errors"]] == ["/year", "/lines/1"]


def test_500_tells_nothing_but_the_request(client: Client, problem: Problem) -> None:
    found = problem(client.post("/api/test/ends/bug"), 500, "server-fault")
    assert "secret" not in json.dumps(found)


def test_500_with_debug_on_is_a_problem_too(client: Client, problem: Problem, settings: Settings) -> None:
    settings.DEBUG = True
    problem(client.post("/api/test/ends/bug"), 500, "server-fault")
    problem(client.get("/api/v1/nowhere"), 404, "not-found")


def test_a_host_that_is_not_ours_is_refused(client: Client, problem: Problem) -> None:
    response = client.get("/api/test/people", headers={"Host": "elsewhere.example"})
    problem(response, 400, "bad-request")


# --- pages
# ----------------------------------------------------------------------------------------------------


def test_pages_get_pages(client: Client) -> None:
    for address, status in (("/nowhere", 404), ("/page/raises/bug", 500), ("/page/raises/refused", 409)):
        response = client.get(address)
        assert (response.status_code, response.headers["Content-Type"]) == (
            status,
            "text/html; charset=utf-8",
        )
        assert response.headers["X-Request-Id"] in response.content.decode()
        assert "secret" not in response.content.decode()


def test_every_answer_forbids_inline_script_and_style(client: Client) -> None:
    policy = client.get("/problems").headers["Content-Security-Policy"]
    assert "default-src 'none'" in policy
    assert "unsafe" not in policy
    assert "frame-ancestors 'none'" in policy


# --- the published list
# ---------------------------------------------------------------------------------------


def test_every_class_has_a_page_made_from_it(client: Client) -> None:
    listed = client.get(reverse("problems")).content.decode()
    for cls in problems.published():
        page = client.get(f"/problems/{cls.code}")
        assert page.status_code == 200
        assert f"urn:pawlbook:problem:{cls.code}" in page.content.decode()
        assert f'href="/problems/{cls.code}"' in listed
    assert client.get("/problems/no-such-code").status_code == 404


def test_codes_are_unique() -> None:
    codes = [cls.code for cls in problems.published()]
    assert len(codes) == len(set(codes))


def test_the_list_holds_classes_that_no_view_has_needed_yet() -> None:
    """In a process of its own, where nothing but the settings was loaded before."""
    program = (
        "import django; django.setup(); from api.problems import published;"
        "print(*[f'{cls.__module__}.{cls.__name__}' for cls in published()])"
    )
    environ = {**os.environ, "DJANGO_SETTINGS_MODULE": "api.settings"}
    command = [sys.executable, "-c", program]
    ran = subprocess.run(command, env=environ, capture_output=True, text=True, check=False)
    assert not ran.stderr
    assert ran.stdout.split() == [f"{cls.__module__}.{cls.__name__}" for cls in problems.published()]
    assert "shared.intervals.ContradictoryInterval" in ran.stdout.split()


@pytest.mark.parametrize("family", [FaultyInput, Refused, GaveUp, Stale])
def test_every_family_has_a_status(family: type[PawlbookError]) -> None:
    assert 400 <= problems.status_of(family) < 500


def test_every_class_has_a_status_and_says_what_to_do() -> None:
    for cls in problems.published():
        assert 400 <= problems.status_of(cls) < 600
        assert cls.advice, cls


def test_the_document_describes_problems_for_every_operation(client: Client) -> None:
    document = client.get("/api/v1/openapi.json").json()
    assert document["openapi"].startswith("3.1")
    types = document["components"]["schemas"]["Problem"]["properties"]["type"]["enum"]
    assert set(types) == {f"urn:pawlbook:problem:{cls.code}" for cls in problems.published()}
    for methods in document["paths"].values():
        for operation in methods.values():
            assert "application/problem+json" in operation["responses"]["default"]["content"]


@pytest.mark.django_db(transaction=True, databases=["default", "apart"])
def test_429_says_how_long_to_wait(client: Client, problem: Problem, settings: Settings) -> None:
    settings.ANONYMOUS_RATE = Rate.parse("2/day")
    assert [client.post("/api/test/limited").status_code for _ in range(2)] == [201, 201]
    response = client.post("/api/test/limited")
    problem(response, 429, "too-many-requests")
    assert 0 < int(response.headers["Retry-After"]) <= 86_400 / 2
    sign_in(client, PersonFactory.create())
    assert client.post("/api/test/limited").status_code == 201
