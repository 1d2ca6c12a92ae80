"""The first page: a winch is found by what one remembers of it, and one example is a press away."""

import re

import pytest

from shared.units import Unit
from tests.catalog.pages.conftest import DATABASES, Visitor

pytestmark = pytest.mark.django_db(databases=DATABASES)


def test_the_index_names_every_maker_family_and_size(visitor: Visitor) -> None:
    page = visitor.get("/")
    for word in ("Marrowgate", "Tansy", "Harrow", "1978–1989", "replace only"):
        assert word in page
    assert page.source.count('href="/winches/') == 71  # 70 models, and the example's sheet


@pytest.mark.parametrize("wanted", ["tansy 60", "tanzy 60", "TANSY-60", "marrowgate tansy", "  tnasy   60 "])
def test_a_misspelling_finds_the_winch(visitor: Visitor, wanted: str) -> None:
    page = visitor.get(f"/?winch={wanted.replace(' ', '+')}")
    assert 'href="/winches/tansy-60"' in page.source
    assert "winches like" in page


def test_nothing_found_says_so_and_offers_the_index(visitor: Visitor) -> None:
    page = visitor.get("/?winch=qqqqqqqq")
    assert "No winch is like “qqqqqqqq”" in page
    assert 'href="/winches/tansy-60"' in page.source


def test_what_was_looked_for_is_escaped(visitor: Visitor) -> None:
    page = visitor.get("/?winch=%3Cscript%3Ealert(1)%3C/script%3E%22'")
    assert "<script" not in page.source
    assert "&lt;script&gt;" in page.source


def test_the_example_is_one_press_away(visitor: Visitor) -> None:
    address = re.search(r'class="button" href="(/answers/[^"]+)"', visitor.get("/").source)
    assert address
    answer = visitor.get(address[1])
    assert "Tansy 60" in answer
    assert "38 ± 1 mm" in answer


def test_the_unit_is_remembered(visitor: Visitor) -> None:
    assert "⌀ 190 mm" in visitor.get("/winches/tansy-60")
    back = visitor.post("/unit", {"unit": "in", "back": "/winches/tansy-60"}, status=302)
    assert back.location == "/winches/tansy-60"
    assert "⌀ 7.48 in" in visitor.get("/winches/tansy-60")
    assert visitor.client.cookies["unit"]["httponly"]
    visitor.client.cookies["unit"] = "furlong"
    assert "⌀ 190 mm" in visitor.get("/winches/tansy-60")


@pytest.mark.parametrize(
    "back", ["https://elsewhere.example/", "//elsewhere.example", "/\\elsewhere.example", "x"]
)
def test_the_choice_of_a_unit_leads_nowhere_else(visitor: Visitor, back: str) -> None:
    assert visitor.post("/unit", {"unit": Unit.INCH, "back": back}, status=302).location == "/"
