"""The page of a winch model, and asking on its sheet."""

from typing import Any

import pytest

from catalog.asking import read_address
from tests.catalog.pages.conftest import DATABASES, Seen, Visitor

pytestmark = pytest.mark.django_db(databases=DATABASES)

SHEET = "/winches/tansy-60"
TYPED = {"unit": "mm", "rows": "2"}


def question_of(seen: Seen) -> Any:  # noqa: ANN401 - parsed JSON
    return read_address(seen.location.removeprefix("/answers/"))


def test_the_figures_and_the_production_runs(visitor: Visitor) -> None:
    page = visitor.get(SHEET)
    for words in (
        "Tansy 60",
        "Marrowgate",
        "Gear 2 11.1 : 1",
        "19650 N",
        "⌀ 94 mm",
        "2001–2018",
        "TN-1–TN-9999",
    ):
        assert words in page
    assert "takes no kit" not in page


def test_a_family_that_is_only_replaced_says_why(visitor: Visitor) -> None:
    page = visitor.get("/winches/larder-34")
    assert "takes no kit" in page
    assert "one casting without an opening" in page


def test_an_unknown_winch_is_a_page_with_a_way_on(visitor: Visitor) -> None:
    page = visitor.get("/winches/no-such-winch", status=404)
    assert "nothing at this address" in page


def test_every_measurement_says_where_to_put_the_tape(visitor: Visitor) -> None:
    page = visitor.get(SHEET)
    for words in (
        "Along the shaft's axis",
        "underside of the deck",
        "narrowest",
        "0° is the bow",
        "clear hole",
    ):
        assert words in page


def test_figures_get_a_number_pad_and_inches_the_keys_for_a_fraction(visitor: Visitor) -> None:
    assert 'name="deck_value" value="" type="text" inputmode="decimal"' in visitor.get(SHEET).source
    visitor.client.cookies["unit"] = "in"
    assert 'name="deck_value" value="" type="text" inputmode="text"' in visitor.get(SHEET).source


def test_asking_leads_to_an_address_that_holds_the_question(visitor: Visitor) -> None:
    typed = TYPED | {"deck_value": "38", "deck_pm": "1", "year": "2012", "motor_voltage": "12"}
    sent = visitor.post(SHEET, typed, status=303)
    question = question_of(sent)
    assert question["winch"] == {"model": "tansy-60", "year": 2012}
    assert question["survey"]["deck_thickness"] == {"at_least": 37, "at_most": 39}
    assert question["revision"] == 1
    assert "38 ± 1 mm" in visitor.get(sent.location)


def test_an_empty_sheet_is_a_question(visitor: Visitor) -> None:
    answer = visitor.post(SHEET, TYPED, status=200, follow=True)
    assert "Depends" in answer


def test_inches_and_their_fractions(visitor: Visitor) -> None:
    typed = {"unit": "in", "rows": "2", "deck_value": "1-1/2", "depth_least": "9 1/2", "pad_value": "195 mm"}
    sent = visitor.post(SHEET, typed, status=303)
    survey = question_of(sent)["survey"]
    assert float(survey["deck_thickness"]["value"]) == 38.1
    assert float(survey["depth_below_deck"]["at_least"]) == 241.3
    assert survey["pad_diameter"] == {"value": 195}
    answer = visitor.get(sent.location)
    assert "1 1/2 in" in answer
    assert "at least 9 1/2 in" in answer
    assert "Lengths in in" in answer


def test_faults_stand_at_their_fields_and_keep_what_was_typed(visitor: Visitor) -> None:
    typed = TYPED | {
        "year": "nineteen", "deck_value": "38mmm", "depth_least": "240", "serial": 'TN-"1<2>', "hand": "left",
    }  # fmt: skip
    page = visitor.post(SHEET, typed, status=422)
    assert "nineteen is not a number" in page.fault_at("year")
    assert page.fault_at("deck_value")
    assert "2 entries are to be put right" in page
    assert 'href="#field-year"' in page.source
    assert 'id="field-year" name="year" value="nineteen" type="text" inputmode="numeric"' in page.source
    assert 'aria-invalid="true"' in page.source
    for name in ("year", "deck_value", "depth_least", "serial"):
        assert page.typed(name) == typed[name]
    assert page.chosen("hand") == "left"
    assert page.response["Content-Type"].startswith("text/html")


def test_a_serial_and_a_year_that_contradict_each_other(visitor: Visitor) -> None:
    page = visitor.post("/winches/bellows-30", TYPED | {"year": "1996", "serial": "7000"}, status=422)
    assert "bellows-30-b" in page.fault_at("serial")


def test_more_sectors_keep_what_was_typed(visitor: Visitor) -> None:
    typed = TYPED | {"sector1_from": "10", "deck_value": "abc"}
    page = visitor.post(SHEET, typed | {"add": "rows"}, status=200)
    assert page.typed("sector1_from") == "10"
    assert page.typed("deck_value") == "abc"
    assert page.typed("sector5_to") == ""
    assert "not a number" not in page


def test_switching_the_unit_marks_bare_figures(visitor: Visitor) -> None:
    typed = TYPED | {"deck_value": "38", "depth_least": "9 in"}
    page = visitor.post(SHEET, typed | {"switch": "in"}, status=200)
    assert page.typed("deck_value") == "38 mm"
    assert page.typed("depth_least") == "9 in"
    assert visitor.client.cookies["unit"].value == "in"


def test_a_question_can_be_changed(visitor: Visitor) -> None:
    typed = TYPED | {
        "deck_value": "38", "deck_pm": "1", "depth_least": "240", "sector0_from": "315", "sector0_to": "45",
        "sector0_value": "350", "round_value": "160", "motor_voltage": "24", "drive": "in-line", "kits": "3",
    }  # fmt: skip
    sent = visitor.post(SHEET, typed, status=303)
    page = visitor.get(f"{SHEET}?question={sent.location.removeprefix('/answers/')}")
    for name in typed.keys() - {"unit", "rows", "motor_voltage", "drive"}:
        assert page.typed(name) == typed[name]
    assert page.chosen("motor_voltage") == "24"
    assert page.chosen("drive") == "in-line"


def test_a_broken_question_in_the_address_leaves_an_empty_sheet(visitor: Visitor) -> None:
    page = visitor.get(f"{SHEET}?question=eyJzY2hl")
    assert "cannot be read, so the sheet is empty" in page
    assert page.typed("deck_value") == ""


def long_question() -> dict[str, str]:
    """72 sectors of their own ranges: more than an address holds."""
    typed = {"unit": "mm", "rows": "72"}
    for row in range(72):
        typed |= {f"sector{row}_from": f"{row * 5}.1", f"sector{row}_to": f"{row * 5 + 4}.2"}
        typed |= {f"sector{row}_least": f"{301 + row}.125", f"sector{row}_most": f"{401 + row}.375"}
    return typed


def test_a_question_too_long_for_an_address_is_answered_directly_and_can_be_changed(visitor: Visitor) -> None:
    page = visitor.post(SHEET, long_question(), status=200)
    assert "too long for an address" in page
    assert "Depends" in page or "No" in page
    assert "curl http://testserver/api/v1/lookups" in page
    question = page.source.partition('name="question" value="')[2].partition('"')[0]
    again = visitor.post(SHEET, {"question": question}, status=200)
    assert again.typed("sector71_from") == "355.1"
    assert again.typed("sector71_most") == "472.375"


def test_a_long_question_that_is_too_wide_keeps_the_sheet(
    visitor: Visitor, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("catalog.resolver.search.MOST_STEPS", 0)
    page = visitor.post(SHEET, long_question(), status=422)
    assert "narrow the deck thickness, the year or the voltage" in page
    assert page.typed("sector71_from") == "355.1"


@pytest.mark.parametrize("rows", ["0", "-1", "99999999999", "x", "²", ""])
def test_an_odd_number_of_rows_does_no_harm(visitor: Visitor, rows: str) -> None:
    page = visitor.post(SHEET, {"unit": "mm", "rows": rows, "deck_value": "x"}, status=422)
    assert "sector0_from" in page.source


def test_a_form_without_its_hidden_fields_is_a_question_all_the_same(visitor: Visitor) -> None:
    assert question_of(visitor.post(SHEET, {"deck_value": "38"}, status=303))


def test_controls_are_refused_at_the_door(visitor: Visitor) -> None:
    assert "U+0000" in visitor.post(SHEET, {"serial": "a\x00b"}, status=400)


def test_other_methods(visitor: Visitor) -> None:
    assert visitor.client.delete(SHEET).status_code == 405
    assert visitor.client.head(SHEET).status_code == 200
