"""Whatever a catalog calls its makers, winches and parts: the pages show it as text, and in its place."""

import re
from collections.abc import Iterable
from dataclasses import replace
from typing import Any

import pytest

from catalog.package import Package, read_folder
from catalog.resolver.question import Question, WinchGiven, read_question
from tests.catalog.conftest import Keeper, keeper
from tests.catalog.pages.conftest import DATABASES, FIXTURES, Visitor
from tests.catalog.pages.test_answer import address, assert_whole

__all__ = ["keeper"]

pytestmark = pytest.mark.django_db(databases=DATABASES)

HOSTILE = "<script>alert('&\"')</script>" + "W" * 80
TEXTS = frozenset({"name", "note", "reason", "document", "plug_note", "replace_only_reason"})


def renamed(package: Package) -> Package:
    """Every text of the catalog made hostile, and as long as it may be."""
    return Package.of({name: _rows(rows) for name, rows in package.rows.items()})


def _rows(rows: Iterable[Any]) -> list[Any]:
    return [
        row._replace(**{name: HOSTILE for name in TEXTS & set(row._fields) if getattr(row, name) is not None})
        for row in rows
    ]


def question(*, revision: int) -> Question:
    data = {"schema": 1, "winch": {"model": "winnow-40"}, "as_of": "2026-06-01", "revision": revision}
    return read_question(data)


@pytest.fixture
def hostile(visitor: Visitor, keeper: Keeper) -> Visitor:
    keeper.publish(renamed(read_folder(FIXTURES / "catalog").require()))
    return visitor


def test_hostile_texts_are_shown_as_text(hostile: Visitor) -> None:
    asked = question(revision=2)
    larder = replace(asked, winch=WinchGiven("larder-34"))
    pages = ["/", "/?winch=script", "/parts?q=script", "/parts/DIBBER-60-12-R", "/winches/bellows-30",
             "/winches/larder-34", address(asked), address(larder)]  # fmt: skip
    for where in pages:
        page = hostile.get(where)
        assert "<script" not in page.source, where
        assert "&lt;script&gt;alert(&#x27;&amp;&quot;&#x27;)" in page.source, where
        assert_whole(page)


def test_an_older_revision_says_so_and_leads_to_the_newest(hostile: Visitor) -> None:
    asked = question(revision=1)
    page = hostile.get(address(asked))
    assert "This is the answer of revision 1 as of 2026-06-01; the newest is revision 2." in page
    assert "Winnow 40" in page
    later = re.search(r'href="(/answers/[^"]+)">Today', page.source)
    assert later
    assert "Revision 2 " in hostile.get(later[1])
