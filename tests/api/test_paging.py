"""Pages by key: nothing twice, nothing left out, whatever comes and goes in between."""

import itertools
import random
from typing import Any
from urllib.parse import parse_qs, urlsplit

import pytest
from django.core import signing
from django.db import connection
from django.test import Client

from tests.api.conftest import Problem
from tests.factories import PersonFactory

pytestmark = [pytest.mark.urls("tests.api.routes"), pytest.mark.django_db]

PEOPLE = "/api/test/people"


@pytest.fixture
def names(rng: random.Random) -> list[str]:
    """Forty people with nine names among them, made in no order; pages of three cut through equal names."""
    chosen = [rng.choice(["Ada", "Bea", "Cay", "Dag", "Eda", "Fay", "Gil", "Ida", "Una"]) for _ in range(40)]
    for name in chosen:
        PersonFactory.create(name=name)
    return sorted(chosen)


def pages(client: Client, address: str, direction: str = "next") -> list[list[dict[str, Any]]]:
    """Every page from ``address`` on."""
    found = []
    for _ in range(100):
        page = client.get(address).json()
        found.append(page["items"])
        if page[direction] is None:
            return found
        address = page[direction]
    raise AssertionError("The pages have no end.")


def emails(found: list[list[dict[str, Any]]]) -> list[str]:
    return [row["email"] for row in itertools.chain.from_iterable(found)]


@pytest.mark.parametrize("size", [1, 3, 7, 40, 41])
def test_every_row_is_on_one_page(client: Client, names: list[str], size: int) -> None:
    found = pages(client, f"{PEOPLE}?limit={size}")
    assert [row["name"] for page in found for row in page] == names
    assert len(set(emails(found))) == len(names)
    assert all(len(page) == size for page in found[:-1])
    assert 1 <= len(found[-1]) <= size


@pytest.mark.parametrize("list_name", ["people", "people-falling", "people-by-time"])
def test_going_back_shows_the_same_rows(client: Client, names: list[str], list_name: str) -> None:
    forth = pages(client, f"/api/test/{list_name}?limit=3")
    last = client.get(f"/api/test/{list_name}?limit=3").json()
    while last["next"]:
        last = client.get(last["next"]).json()
    back = [last["items"], *pages(client, last["previous"], "previous")]
    assert back[::-1] == forth


def test_a_falling_order_is_the_rising_one_turned_round(client: Client, names: list[str]) -> None:
    rising = emails(pages(client, f"{PEOPLE}?limit=7"))
    assert emails(pages(client, "/api/test/people-falling?limit=7")) == rising[::-1]


def test_rows_that_come_and_go_move_nothing_else(client: Client, names: list[str]) -> None:
    everybody = emails(pages(client, f"{PEOPLE}?limit=200"))
    first = client.get(f"{PEOPLE}?limit=10").json()
    PersonFactory.create(name="Aaa")
    with connection.cursor() as cursor:
        cursor.execute("UPDATE shared_person SET name = 'Zoe' WHERE email = %s", [everybody[9]])
    seen = emails([first["items"], *pages(client, first["next"])])
    assert seen == [*everybody, everybody[9]]


def test_links_stand_in_the_header_too(client: Client, names: list[str]) -> None:
    first = client.get(f"{PEOPLE}?limit=10")
    assert first.json()["previous"] is None
    assert f'<{first.json()["next"]}>; rel="next"' in first.headers["Link"]
    second = client.get(first.json()["next"])
    for rel in ("next", "prev", "first"):
        assert f'rel="{rel}"' in second.headers["Link"]
    assert 'rel="prev"' not in first.headers["Link"]
    assert first.json()["next"].startswith("http://testserver/")


def test_the_filter_stays_in_the_links(client: Client, names: list[str]) -> None:
    found = pages(client, f"{PEOPLE}?limit=2&name=Ada")
    assert {row["name"] for page in found for row in page} <= {"Ada"}
    assert len(emails(found)) == names.count("Ada")


def test_an_empty_list_is_one_empty_page(client: Client) -> None:
    assert client.get(PEOPLE).json() == {"items": [], "next": None, "previous": None}


def test_a_usual_page_holds_fifty(client: Client) -> None:
    for _ in range(51):
        PersonFactory.create()
    assert len(client.get(PEOPLE).json()["items"]) == 50


@pytest.mark.parametrize("limit", ["0", "-1", "201", "ten", "1e2", "", "1" * 5000, "٣", "2.5"])
def test_a_page_has_a_largest_size(client: Client, problem: Problem, limit: str) -> None:
    found = problem(client.get(PEOPLE, {"limit": limit}), 400, "faulty-parameter")
    assert found["errors"][0]["pointer"] == "/limit"
    assert "from 1 to 200" in found["detail"]


def test_a_cursor_that_was_tampered_with_is_refused(
    client: Client, problem: Problem, names: list[str]
) -> None:
    query = urlsplit(client.get(f"{PEOPLE}?limit=3").json()["next"]).query
    cursor = parse_qs(query)["cursor"][0]
    payload, stamp, signature = cursor.split(":")
    other = signing.dumps(["name", False, "Ada", "1"], salt="another purpose")
    spoiled = ["", "x", cursor[:-1], cursor + "A", f"{payload}:{stamp}:{signature[::-1]}", other, "a" * 5000]
    spoiled.append(f"{payload[:-2]}:{stamp}:{signature}")
    for attempt in spoiled:
        found = problem(client.get(PEOPLE, {"cursor": attempt}), 400, "faulty-parameter")
        assert found["errors"][0]["pointer"] == "/cursor"


def test_a_cursor_of_another_order_is_refused(client: Client, problem: Problem, names: list[str]) -> None:
    address = client.get("/api/test/people-falling?limit=3").json()["next"]
    problem(client.get(address.replace("people-falling", "people")), 400, "faulty-parameter")


# --- filters
# --------------------------------------------------------------------------------------------------


def test_an_unknown_parameter_is_refused(client: Client, problem: Problem) -> None:
    found = problem(client.get(f"{PEOPLE}?nmae=Ada"), 400, "faulty-parameter")
    assert found["errors"][0]["pointer"] == "/nmae"
    assert "cursor, joined_at__gte" in found["detail"]


def test_every_faulty_parameter_is_named(client: Client, problem: Problem) -> None:
    found = problem(client.get(f"{PEOPLE}?joined_at__gte=soon&nmae=a&limit=3"), 400, "faulty-parameter")
    assert [entry["pointer"] for entry in found["errors"]] == ["/nmae"]
    two = problem(client.get(f"{PEOPLE}?x=1&y=2"), 400, "faulty-parameters")
    assert [entry["pointer"] for entry in two["errors"]] == ["/x", "/y"]


def test_a_faulty_value_is_refused(client: Client, problem: Problem) -> None:
    found = problem(client.get(f"{PEOPLE}?joined_at__gte=soon"), 400, "faulty-parameter")
    assert found["errors"][0]["pointer"] == "/joined_at__gte"
    assert client.get(f"{PEOPLE}?joined_at__gte=2020-01-01T00:00:00Z").status_code == 200
