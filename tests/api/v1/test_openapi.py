"""The OpenAPI document: made without warnings, valid, whole, and changed on purpose only."""

import io
import json
from contextlib import redirect_stderr
from pathlib import Path
from typing import Any

import pytest
from django.test import Client
from django.urls import URLPattern
from drf_spectacular.drainage import GENERATOR_STATS
from drf_spectacular.generators import SchemaGenerator
from openapi_spec_validator import OpenAPIV31SpecValidator

from api.problems import published
from api.v1 import urls
from api.v1.openapi import document
from tests.api.conftest import Problem

SNAPSHOT = Path(__file__).with_name("openapi.json")
RENEW = "./run manage spectacular --format openapi-json --file tests/api/v1/openapi.json"


def operations() -> list[tuple[str, str, dict[str, Any]]]:
    return [
        (method, path, operation)
        for path, methods in document()["paths"].items()
        for method, operation in methods.items()
    ]


def test_it_is_made_without_warnings() -> None:
    generator: Any = SchemaGenerator
    said = io.StringIO()
    GENERATOR_STATS.reset()
    with redirect_stderr(said):
        generator().get_schema(request=None, public=True)
    assert said.getvalue() == ""
    assert not GENERATOR_STATS


def test_it_is_valid() -> None:
    found = document()
    assert found["openapi"].startswith("3.1.")
    assert [error.message for error in OpenAPIV31SpecValidator(found).iter_errors()] == []


def test_it_changes_on_purpose_only() -> None:
    """When the API grew on purpose, renew the snapshot by the command of ``RENEW``; read what differs."""
    assert json.loads(SNAPSHOT.read_text()) == document(), f"If this is meant: {RENEW}"


def test_developers_are_told_how_to_renew_it() -> None:
    assert RENEW in (Path(urls.__file__).parents[2] / "DEVELOPERS.md").read_text()


def test_every_address_is_in_it() -> None:
    served = {
        "/api/v1/"
        + str(pattern.pattern)
        .replace("<code:", "{")
        .replace("<sku:", "{")
        .replace("<int:", "{")
        .replace("<str:", "{")
        .replace(">", "}")
        for pattern in urls.urlpatterns
        if isinstance(pattern, URLPattern) and pattern.name != "openapi"
    }
    assert set(document()["paths"]) == served


def test_every_operation_is_described_and_says_how_it_refuses() -> None:
    seen = set()
    for method, path, operation in operations():
        assert operation["summary"]
        assert operation["description"]
        assert operation["operationId"] not in seen
        seen.add(operation["operationId"])
        assert len(operation["tags"]) == 1
        responses = operation["responses"]
        assert {"200", "400", "406", "429", "default"} <= set(responses)
        assert ("404" in responses) == ("{" in path)
        assert ({"409", "413", "415", "422"} <= set(responses)) == (method == "post")
        for status, response in responses.items():
            assert response["description"], (path, status)
            if status not in {"200", "304"}:
                assert list(response["content"]) == ["application/problem+json"]
        for parameter in operation.get("parameters", []):
            assert parameter["description"], (path, parameter["name"])


def test_tags_are_described() -> None:
    told = {tag["name"] for tag in document()["tags"] if tag["description"]}
    assert {operation["tags"][0] for _, _, operation in operations()} == told


def test_every_member_is_described() -> None:
    """A reader of the document never has to guess; a description may stand in the component referred to."""
    components = document()["components"]["schemas"]
    for name, schema in components.items():
        for member, given in schema.get("properties", {}).items():
            assert described(given, components), (name, member)


def described(schema: dict[str, Any], components: dict[str, Any]) -> bool:
    if "description" in schema:
        return bool(schema["description"])
    if "$ref" in schema:
        return described(components[schema["$ref"].rsplit("/", 1)[1]], components)
    return any(described(one, components) for one in schema.get("oneOf", []) if one.get("type") != "null")


def test_every_type_of_problem_is_listed() -> None:
    problem = document()["components"]["schemas"]["Problem"]
    assert problem["properties"]["type"]["enum"] == sorted(
        f"urn:pawlbook:problem:{cls.code}" for cls in published()
    )


def test_it_is_served_and_kept() -> None:
    client = Client()
    response = client.get("/api/v1/openapi.json")
    assert response.json() == document()
    again = client.get("/api/v1/openapi.json", headers={"If-None-Match": response.headers["ETag"]})
    assert (again.status_code, again.content) == (304, b"")


@pytest.mark.parametrize("method", ["post", "put", "delete", "options"])
def test_it_is_only_read(client: Client, problem: Problem, method: str) -> None:
    response = getattr(client, method)("/api/v1/openapi.json")
    problem(response, 405, "method-not-allowed")
    assert response.headers["Allow"] == "GET, HEAD"
