"""The page of the API: everything that the document has, in words, with commands that work as they stand."""

import io
import json
import re
import shlex
from collections.abc import Iterator
from html.parser import HTMLParser
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.core.management import call_command
from django.test import Client

from api.docs import Piece, page
from api.v1.openapi import document
from tests.browsing import NewPage

ADDRESS = "/docs/api"


class Shown(HTMLParser):
    """Texts, anchors and links of a page."""

    def __init__(self) -> None:
        super().__init__()
        self.text = ""
        self.ids: list[str] = []
        self.links: list[str] = []
        self.tags: set[str] = set()
        self.attributes: set[str] = set()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.add(tag)
        for name, value in attrs:
            self.attributes.add(name)
            if name == "id":
                self.ids.append(value or "")
            if name == "href":
                self.links.append(value or "")

    def handle_data(self, data: str) -> None:
        self.text += data


@pytest.fixture
def shown(client: Client) -> Shown:
    response = client.get(ADDRESS)
    assert response.status_code == 200
    found = Shown()
    found.feed(response.content.decode())
    return found


def operations() -> Iterator[tuple[str, str, dict[str, Any]]]:
    for path, methods in document()["paths"].items():
        for method, operation in methods.items():
            yield path, method, operation


def test_every_operation_is_there_with_its_parameters(shown: Shown) -> None:
    text = " ".join(shown.text.split())
    for path, method, operation in operations():
        assert operation["operationId"] in shown.ids
        assert f"{method.upper()} {path}" in text
        assert operation["summary"] in text
        for parameter in operation.get("parameters", []):
            assert parameter["name"] in text
            assert parameter["description"].replace("`", "").replace("**", "") in text


def test_every_component_is_there_with_its_members(shown: Shown) -> None:
    text = " ".join(shown.text.split())
    for name, schema in document()["components"]["schemas"].items():
        assert f"component-{name}" in shown.ids
        for member, given in schema.get("properties", {}).items():
            assert member in text
            assert " ".join(given.get("description", "").replace("`", "").split()) in text


def test_links_lead_somewhere(shown: Shown, client: Client) -> None:
    assert len(set(shown.ids)) == len(shown.ids)
    inner = {link.removeprefix("#") for link in shown.links if link.startswith("#")}
    assert inner <= set(shown.ids)
    assert {"component-Question", "component-Answer", "look_up"} <= inner
    for link in ("/api/v1/openapi.json", "/problems"):
        assert link in shown.links
        assert client.get(link).status_code == 200


def test_nothing_is_inline(shown: Shown) -> None:
    assert shown.tags.isdisjoint({"script", "style"})
    assert "style" not in shown.attributes
    assert not [name for name in shown.attributes if name.startswith("on")]


def test_the_page_needs_no_database(shown: Shown) -> None:
    """The test has none; it would have failed."""


def test_it_is_only_read(client: Client) -> None:
    assert client.post(ADDRESS).status_code in {403, 405}


@pytest.mark.django_db(databases=["default", "apart"])
def test_commands_work_as_they_stand(client: Client) -> None:
    call_command("seed_demo", stdout=io.StringIO())
    tried = 0
    for group in page(document(), "http://localhost:8000")["groups"]:
        for operation in group["operations"]:
            words = shlex.split(operation["curl"].replace("\\\n", ""))
            assert words[0] == "curl"
            address = words[1].removeprefix("http://localhost:8000")
            if "-d" in words:
                assert words[2:4] == ["-H", "Content-Type: application/json"]
                response = client.post(address, words[words.index("-d") + 1], content_type="application/json")
                assert json.loads(operation["example"]) == json.loads(words[-1])
            else:
                response = client.get(address)
            assert response.status_code == 200, operation["curl"]
            tried += 1
    assert tried == sum(1 for _ in operations())


@pytest.mark.parametrize(
    ("component", "member", "words"),
    [
        ("Question", "survey", "Survey or null"),
        ("Question", "schema", "1"),
        ("Survey", "free_radius", "list of Sector or null"),
        ("LengthByValue", "value", "number"),
        ("LengthByValue", "unit", "one of mm, in, null"),
        ("Wishes", "kits", "whole number or null"),
        ("Part", "valid_from", "date or null"),
        ("Part", "kind", "one of adapter, shaft, drive"),
        ("PartDetail", "figures", "AdapterFigures or ShaftFigures or DriveFigures"),
        ("Revision", "published_at", "date and time"),
        ("RevisionDetail", "files", "list of object with name: text; sha256: text"),
        ("Check", "passed", "true or false"),
    ],
)
def test_forms_in_words(component: str, member: str, words: str) -> None:
    found = next(one for one in page(document(), "")["components"] if one["name"] == component)
    form: list[Piece] = next(one for one in found["members"] if one["name"] == member)["form"]
    assert "".join(piece.text for piece in form).startswith(words)


def test_bounds_in_words() -> None:
    found = next(one for one in page(document(), "")["components"] if one["name"] == "Wishes")
    kits = next(one for one in found["members"] if one["name"] == "kits")
    assert kits["bounds"] == ["at least 0", "at most 50", "usually 5"]


@pytest.mark.browser
@pytest.mark.parametrize("width", [360, 1280])
def test_it_can_be_read_by_everybody(served: str, new_page: NewPage, width: int) -> None:
    """No fault of accessibility, and the page itself never scrolls sideways."""
    shown = new_page(width=width)
    shown.goto(served + ADDRESS)
    assert shown.locator("h1").inner_text() == "The API"
    assert shown.evaluate("document.documentElement.scrollWidth") <= width
    assert Axe().run(shown).response["violations"] == []


def test_marks_become_tags(client: Client) -> None:
    body = client.get(ADDRESS).content.decode()
    assert "<b>fact</b>" in body
    assert "<code>assumed</code>" in body
    assert not re.search(r"\*\*\w", body)
