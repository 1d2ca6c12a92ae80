"""The page of an answer: whatever was asked, it is whole, honest and has a way on."""

import json
import re
from base64 import urlsafe_b64encode
from collections.abc import Mapping
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest
from django.utils import timezone
from pytest_django import Settings

from catalog.asking import address_of, ask_question, read_address
from catalog.pages.kits import columns_for
from catalog.resolver.question import Question, normalised, read_question
from shared.rates import Rate
from tests.catalog.pages.conftest import DATABASES, SITUATIONS, Seen, Visitor

pytestmark = pytest.mark.django_db(databases=DATABASES)

NOT_CHECKED = ("NOT checked", "Slope", "Wiring", "Batteries", "Hydraulics")


def situation(name: str) -> Question:
    path = next(path for path in SITUATIONS if path.stem == name)
    data = json.loads(path.read_text(), parse_float=Decimal)["question"]
    return replace(read_question(data), revision=1)


def address(question: Question, **changes: object) -> str:
    """The page's address; ``changes`` are put into its JSON, at its top."""
    if not changes:
        return f"/answers/{address_of(question)}"
    return f"/answers/{encoded({**normalised(question), **changes})}"


def encoded(data: object) -> str:
    return urlsafe_b64encode(json.dumps(data).encode()).decode().rstrip("=")


def page_of(visitor: Visitor, name: str) -> Seen:
    return visitor.get(address(situation(name)))


class _Balanced(HTMLParser):
    """Fails where tags are not closed in the order in which they were opened, or an id stands twice."""

    VOID = frozenset({"meta", "link", "input", "br", "img", "hr"})

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.ids: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.ids += [value or "" for name, value in attrs if name == "id"]
        assert not {"style", "onclick"} & {name for name, _value in attrs}
        if tag not in self.VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        assert not {"style", "onclick"} & {name for name, _value in attrs}

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag


def assert_whole(page: Seen) -> None:
    parser = _Balanced()
    parser.feed(page.source)
    parser.close()
    assert parser.open == []
    assert len(parser.ids) == len(set(parser.ids))
    for target in re.findall(r'(?:href="#|aria-labelledby=")([^" ]+)"', page.source):
        assert target in parser.ids, target
    assert "{{" not in page.source
    assert "{%" not in page.source


# --- every situation ----------------------------------------------------------------------------------------


def test_every_situation_is_a_whole_page(visitor: Visitor) -> None:
    seen = set()
    for path in SITUATIONS:
        expected = json.loads(path.read_text())["expect"]["verdict"]
        page = page_of(visitor, path.stem)
        assert_whole(page)
        assert f"<h1>{expected.capitalize()}</h1>" in page.source, path.stem
        for words in NOT_CHECKED:
            assert words in page, path.stem
        assert "Local codes, the makers' instructions and licensed practice come first" in page
        seen.add(expected)
    assert seen == {"yes", "no", "depends"}


def test_every_situation_is_a_whole_page_in_inches(visitor: Visitor) -> None:
    visitor.client.cookies["unit"] = "in"
    for path in SITUATIONS:
        assert_whole(page_of(visitor, path.stem))


# --- what a page says ---------------------------------------------------------------------------------------


def test_a_yes(visitor: Visitor) -> None:
    question = situation("datum-uncertain-but-inside-the-free-side")
    found = ask_question(question).as_json()
    page = visitor.get(address(question))
    assert found["sentence"] in page
    assert found["order"]["sentence"] in page
    kit = found["kits"][0]
    assert f"{kit['price']['amount']} {kit['price']['currency']}" in page
    for part in kit["parts"]:
        assert f"{part['quantity']} × {part['sku']}" in page
        assert part["name"] in page
        assert part["why"] in page
    for words in ("clear of slipping", "clear of over-engaging", "depth left over", "clocking", "hand"):
        assert words in page
    for caution in found["cautions"]:
        assert caution["sentence"] in page
    assert "Which kit for which case" in page


def test_every_sentence_of_the_answer_is_on_its_page(visitor: Visitor) -> None:
    for name in ("only-the-model-is-known", "control-voltage-unknown-at-48-volts", "last-time-buy"):
        question = situation(name)
        page = visitor.get(address(question))
        for sentence in sentences(ask_question(question).as_json()):
            assert sentence in page, (name, sentence)


def sentences(value: Any) -> list[str]:  # noqa: ANN401 - JSON
    if isinstance(value, Mapping):
        own = [" ".join(value["sentence"].split())] if "sentence" in value else []
        return own + [
            line for name, one in value.items() if name != "alternatives" for line in sentences(one)
        ]
    if isinstance(value, list):
        return [line for one in value for line in sentences(one)]
    return []


def test_a_depends_shows_two_cases_and_says_what_is_not_known(visitor: Visitor) -> None:
    page = page_of(visitor, "only-the-model-is-known")
    assert "here a kit fits" in page
    assert "here none fits" in page
    assert "Deck thickness not known" in page
    assert "fits in some cases" in page
    assert "PROVISIONAL" in page


def test_a_no_without_kits_names_replacements(visitor: Visitor) -> None:
    page = page_of(visitor, "replace-only-with-a-powered-size-that-stands-on-the-pad")
    assert "Why not" in page
    assert "one casting without an opening" in page
    assert "Powered winches in its place" in page
    assert "SCULLERY-35-P12" in page
    assert 'id="kits-title"' not in page.source


def test_a_kit_without_a_price(visitor: Visitor) -> None:
    page = page_of(visitor, "only-an-unpriced-shaft-fits")
    assert "no price" in page
    assert "None" not in page


def test_fifty_kits(visitor: Visitor) -> None:
    question = situation("only-the-model-is-known")
    many = replace(question, wishes=replace(question.wishes, kits=50))
    found = len(ask_question(many).answer.kits)
    page = visitor.get(address(many))
    assert found > 20
    assert page.source.count('<article class="kit') == found
    assert_whole(page)


@pytest.mark.parametrize(
    ("kits", "columns"), [(0, 0), (1, 1), (5, 5), (6, 3), (7, 4), (8, 4), (10, 5), (14, 5), (50, 5)]
)
def test_how_many_kits_stand_side_by_side(kits: int, columns: int) -> None:
    assert columns_for(kits) == columns


def test_a_kit_that_turns_its_motor_the_other_way_says_so(visitor: Visitor) -> None:
    page = page_of(visitor, "convertible-hand-dearer-but-sooner")
    for note in {
        note["sentence"]
        for kit in ask_question(situation("convertible-hand-dearer-but-sooner")).as_json()["kits"]
        for note in kit["notes"]
    }:
        assert note in page


def test_assumptions_are_listed_though_the_address_states_them(visitor: Visitor) -> None:
    page = page_of(visitor, "deck-on-the-edge-of-a-band")
    assert "A press lasts 15 s at most." in page
    assert "2 switch inputs are wired." in page


# --- its address --------------------------------------------------------------------------------------------


def test_the_address_is_on_the_page_and_opens_the_same_page(visitor: Visitor) -> None:
    here = address(situation("deck-on-the-edge-of-a-band"))
    page = visitor.get(here)
    shown = re.search(r'<code class="address">([^<]+)</code>', page.source)
    assert shown
    assert shown[1] == f"http://testserver{here}"
    assert visitor.get(shown[1].removeprefix("http://testserver")).words == page.words


def test_addresses_are_canonical(visitor: Visitor) -> None:
    """Reading an address and writing it again gives the same: otherwise pages would lead round in circles."""
    for path in SITUATIONS:
        written = address_of(situation(path.stem))
        assert written
        assert address_of(read_question(read_address(written))) == written


def test_an_address_without_day_or_revision_leads_to_one_with_both(visitor: Visitor) -> None:
    sent = visitor.get(f"/answers/{encoded({'schema': 1, 'winch': {'model': 'tansy-60'}})}", status=302)
    question: Any = read_address(sent.location.removeprefix("/answers/"))
    assert question["revision"] == 1
    assert question["as_of"] == timezone.localdate().isoformat()
    assert "Depends" in visitor.get(sent.location)


def test_todays_answer_has_no_line_about_a_later_one(visitor: Visitor) -> None:
    today = timezone.localdate()
    assert "Today's answer" not in visitor.get(address(replace(_example(), as_of=today)))
    assert "Today's answer" not in visitor.get(address(replace(_example(), as_of=today + timedelta(days=90))))


def test_an_earlier_day_leads_to_today(visitor: Visitor) -> None:
    page = visitor.get(address(replace(_example(), as_of=date(2026, 1, 2))))
    assert "This is the answer as of 2026-01-02." in page
    later = re.search(r'href="(/answers/[^"]+)">Today', page.source)
    assert later
    question: Any = read_address(later[1].removeprefix("/answers/"))
    assert question["as_of"] == timezone.localdate().isoformat()
    assert "Today's answer" not in visitor.get(later[1])


def _example() -> Question:
    return situation("deck-on-the-edge-of-a-band")


def test_the_same_over_the_api(visitor: Visitor) -> None:
    page = page_of(visitor, "deck-on-the-edge-of-a-band")
    shown = re.search(r"curl http://testserver/api/v1/lookups -H '[^']+' -d '(\{.*?\})' ", page.words + " ")
    assert shown
    assert json.loads(shown[1]) == normalised(_example())


# --- what cannot be answered --------------------------------------------------------------------------------


@pytest.mark.parametrize("cut", [1, 7, 50, 200])
def test_an_address_that_was_cut_off(visitor: Visitor, cut: int) -> None:
    whole = address(_example())
    page = visitor.get(whole[:-cut], status=400)
    assert "This address cannot be read" in page
    assert "JSON" not in page
    assert "Ask whoever sent it to copy the whole of it" in page
    assert 'href="/"' in page.source


@pytest.mark.parametrize(
    ("text", "status"),
    [
        ("!!!!", 400),
        ("%C3%A4", 400),
        ("bnVsbA", 422),  # null
        ("W10", 422),  # []
        ("e30", 422),  # {}
        (encoded({"schema": 1, "winch": {"model": "no-such"}, "as_of": "2026-06-01", "revision": 1}), 422),
        (encoded({"schema": 1, "winch": {"model": "tansy-60"}, "as_of": "2026-06-01", "revision": 99}), 422),
        (encoded({"schema": 1, "winch": {"model": "tansy-60", "year": "x"}, "revision": 1}), 422),
        (encoded({"schema": 1, "winch": {"model": "<script>"}, "as_of": "2026-06-01", "revision": 1}), 422),
        (encoded({"schema": 1, "winch": {"model": "a/b c"}, "as_of": "2026-06-01", "revision": 1}), 422),
        ("W1tb" * 900, 400),
    ],
)
def test_an_address_that_asks_nothing_sensible(visitor: Visitor, text: str, status: int) -> None:
    page = visitor.get(f"/answers/{text}", status=status)
    assert_whole(page)
    assert "<script" not in page.source
    assert "Find the winch and ask again" in page


def test_a_revision_that_does_not_exist_offers_the_newest(visitor: Visitor) -> None:
    page = visitor.get(address(_example(), revision=99), status=422)
    assert "no revision 99" in page
    newest = re.search(r'href="(/answers/[^"]+)">Ask the newest', page.source)
    assert newest
    assert "Revision 1 " in visitor.get(newest[1])


def test_a_question_too_wide_says_what_to_narrow(visitor: Visitor, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("catalog.resolver.search.MOST_STEPS", 0)
    page = visitor.get(address(_example()), status=422)
    assert "narrow the deck thickness, the year or the voltage" in page
    assert "Change the question" in page
    assert_whole(page)


def test_too_many_questions_are_told_when_to_come_back(visitor: Visitor, settings: Settings) -> None:
    settings.ANONYMOUS_RATE = Rate.parse("2/day")
    here = address(_example())
    visitor.get(here)
    visitor.get(here)
    page = visitor.get(here, status=429)
    assert "Too many questions" in page
    assert int(page.response.headers["Retry-After"]) > 0
    assert "All winches" in visitor.get("/")


def test_situations_exist() -> None:
    assert len(SITUATIONS) >= 30
    assert all(isinstance(path, Path) for path in SITUATIONS)
