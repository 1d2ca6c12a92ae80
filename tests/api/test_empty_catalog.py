"""What the API says before anything is published."""

import pytest
from django.test import Client

from catalog.models import Revision
from tests.api.conftest import Problem

pytestmark = pytest.mark.django_db(databases=["default", "apart"])


@pytest.mark.parametrize("name", ["makers", "winch-models", "parts?search=drive", "exceptions", "revisions"])
def test_lists_are_empty_and_not_to_be_kept_by_a_tag(client: Client, name: str) -> None:
    assert not Revision.objects.exists()
    response = client.get(f"/api/v1/{name}")
    assert response.json() == {"items": [], "next": None, "previous": None}
    assert "ETag" not in response.headers


@pytest.mark.parametrize("address", ["makers/barleyloft", "revisions/1", "revisions/1/files/parts.csv"])
def test_details_are_not_there(client: Client, problem: Problem, address: str) -> None:
    problem(client.get(f"/api/v1/{address}"), 404, "not-found")


def test_a_lookup_has_nothing_to_ask(client: Client, problem: Problem) -> None:
    question = {"schema": 1, "winch": {"model": "tansy-60"}}
    response = client.post("/api/v1/lookups", question, content_type="application/json")
    problem(response, 409, "nothing-published")
