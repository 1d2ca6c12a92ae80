"""Our problems against RFC 9457 (Problem Details for HTTP APIs); kind: published.

Section 3: the media type; section 3.1: the members ``type`` (a URI; absent means ``about:blank``), ``status``
(a number equal to the status of the answer), ``title``, ``detail`` (texts); section 3.2: names of further
members, three or more characters, begin with a letter and consist of letters, digits and ``_``. JSON
pointers: RFC 6901, section 3.
"""

import json
import re

import pytest
from django.test import Client, RequestFactory

from api.errors import NotFound, TooManyRequests
from api.problems import answer
from shared.errors import FaultyInput, GaveUp, ManyFaults, PawlbookError, Refused
from shared.units import NotANumber

URI = re.compile(r"[a-z][a-z0-9+.-]*:[^\s<>\"{}|\\^`]+")
POINTER = re.compile(r"(/([^~/]|~[01])*)*")

EXAMPLES: list[PawlbookError] = [
    FaultyInput(),
    NotANumber(given="thick", pointer="/survey/deck_thickness"),
    ManyFaults([FaultyInput(pointer="/a~1b/0"), NotANumber(given='"quoted"', pointer="/c")]),
    Refused(),
    GaveUp(steps=100, narrow="deck_thickness"),
    NotFound(),
    TooManyRequests(wait=3),
]


@pytest.mark.parametrize("error", EXAMPLES, ids=lambda error: error.code)
def test_a_problem_has_the_members_of_the_rfc(error: PawlbookError) -> None:
    response = answer(RequestFactory().get("/api/v1/anything"), error)
    assert response.headers["Content-Type"] == "application/problem+json"
    problem = json.loads(response.content)
    assert URI.fullmatch(problem["type"])
    assert problem["type"] != "about:blank"
    assert problem["status"] == response.status_code
    assert isinstance(problem["title"], str)
    assert isinstance(problem["detail"], str)
    for name in problem.keys() - {"type", "status", "title", "detail", "instance"}:
        assert re.fullmatch(r"[A-Za-z][A-Za-z0-9_]{2,}", name)
    for fault in problem.get("errors", []):
        assert POINTER.fullmatch(fault["pointer"])


def test_the_title_is_the_same_for_every_occurrence() -> None:
    """Section 3.1.3: the title should not change from occurrence to occurrence; the detail does."""
    problems = [
        json.loads(answer(RequestFactory().get("/api/"), NotANumber(given=given)).content)
        for given in ("a", "b")
    ]
    assert problems[0]["title"] == problems[1]["title"]
    assert problems[0]["detail"] != problems[1]["detail"]


@pytest.mark.django_db
def test_a_real_refusal_is_one(client: Client) -> None:
    response = client.get("/api/v1/nowhere")
    assert response.headers["Content-Type"] == "application/problem+json"
    assert response.json()["status"] == response.status_code == 404
