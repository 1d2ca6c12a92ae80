"""Parts are found by what one remembers, and a part's page has its figures, prices and successors."""

import pytest

from catalog.models import Part
from tests.catalog.pages.conftest import DATABASES, Visitor
from tests.catalog.pages.test_answer import assert_whole

pytestmark = pytest.mark.django_db(databases=DATABASES)


def test_a_search_finds_misspelt_skus_and_names(visitor: Visitor) -> None:
    assert 'href="/parts/DIBBER-60-12-R"' in visitor.get("/parts?q=diber-60-12-r").source
    assert 'href="/parts/OSIER-20-B55"' in visitor.get("/parts?q=osire+20").source
    assert "No part is like “qqqq”" in visitor.get("/parts?q=qqqq")
    assert "For example" in visitor.get("/parts")


def test_a_drive(visitor: Visitor) -> None:
    page = visitor.get("/parts/DIBBER-60-12-R")
    for words in (
        "Drive unit · Marrowgate",
        "60 N·m",
        "Right-angle",
        "1965.00 EUR",
        "holds today",
        "18 days",
    ):
        assert words.lower() in page.words.lower()


def test_every_part_has_a_whole_page(visitor: Visitor) -> None:
    for sku in Part.objects.values_list("sku", flat=True):
        page = visitor.get(f"/parts/{sku}")
        assert_whole(page)
        assert "None" not in page, sku


def test_a_withdrawn_part_names_its_successor(visitor: Visitor) -> None:
    old = Part.objects.filter(status="withdrawn", superseded_by__isnull=False).first()
    assert old
    page = visitor.get(f"/parts/{old.sku}")
    assert "Withdrawn" in page
    new = old.superseded_by.all()[0].new_id
    assert f"Superseded by {new}" in page
    assert old.sku in visitor.get(f"/parts/{new}")


def test_lengths_are_in_the_unit_that_was_chosen(visitor: Visitor) -> None:
    assert "20 mm" in visitor.get("/parts/HOOP-130-B20")
    visitor.client.cookies["unit"] = "in"
    assert "0.79 in" in visitor.get("/parts/HOOP-130-B20")


def test_an_unknown_part(visitor: Visitor) -> None:
    assert "nothing at this address" in visitor.get("/parts/NO-SUCH", status=404)
