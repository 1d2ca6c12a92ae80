"""Somebody walks the pages in a real browser: on a phone, at a desk, and with scripts off."""

import re
from io import StringIO
from typing import Literal

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.core.management import call_command
from playwright.sync_api import Page, expect

from catalog.asking import address_of
from catalog.resolver.question import Question, read_question
from tests.browsing import NewPage

pytestmark = pytest.mark.browser

PHONE, DESK = 390, 1280
Scheme = Literal["light", "dark"]
SMALLEST_TARGET = 44
TARGETS = ".button, .switch button, summary, .choice-of label, input:not([type=hidden]):not([type=radio])"


@pytest.fixture
def site(served: str) -> str:
    """The running server with the demo catalog."""
    call_command("seed_demo", stdout=StringIO())
    return served


def question(model: str, **rest: object) -> Question:
    return read_question(
        {"schema": 1, "winch": {"model": model}, "as_of": "2026-06-01", "revision": 1, **rest}
    )


def answer_of(model: str, **rest: object) -> str:
    return f"/answers/{address_of(question(model, **rest))}"


KNOWN = {
    "survey": {
        "deck_thickness": {"value": 38},
        "depth_below_deck": {"value": 240},
        "free_radius": [{"from": 0, "to": 360, "radius": {"value": 500}}],
        "datum_bearing": {"value": 0},
        "opening": {"round": {"value": 300}},
        "pad_diameter": {"value": 250},
    },
    "boat": {"motor_voltage": 12, "control_voltage": 12},
}


# --- the walk -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("width", "scripts"), [(PHONE, True), (DESK, True), (PHONE, False)])
def test_from_a_misspelt_name_to_an_answer_and_back(
    site: str, new_page: NewPage, width: int, scripts: bool
) -> None:
    page = new_page(width=width, scripts=scripts)
    page.goto(site)
    page.get_by_label("Winch: maker, family or size").fill("tanzy 60")
    page.locator(".find").get_by_role("button", name="Find").click()
    page.get_by_role("link", name="Tansy 60", exact=True).click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Tansy 60")

    fill_the_sheet(page)
    page.locator(".sheet-end").get_by_role("button", name="Ask").click()
    page.wait_for_url("**/answers/*")
    expect(page.get_by_role("heading", level=1)).to_have_text("Yes")
    expect(page.locator(".lead").first).to_contain_text("as far as the deck and the drive are concerned")
    expect(page.get_by_text("NOT checked:")).to_be_visible()
    expect(page.locator(".top-question")).to_contain_text("38 ± 1 mm")
    expect(page.locator("#kit-1")).to_contain_text("DIBBER-60-12")
    words = page.locator("main").inner_text()

    address = page.locator("code.address").inner_text()
    assert address == page.url
    again = new_page(width=width, scripts=scripts)
    again.goto(address)
    assert again.locator("main").inner_text() == words

    again.get_by_role("link", name="Change the question").click()
    expect(again.locator("#field-deck_value")).to_have_value("38")
    expect(again.locator("#field-deck_pm")).to_have_value("1")
    again.locator("#field-deck_value").fill("39,5 cm")
    again.locator(".sheet-end").get_by_role("button", name="Ask").click()
    expect(again.locator("#field-deck_value-fault")).to_contain_text("cm is not a unit of length known here")
    expect(again.locator("#field-deck_value")).to_have_value("39,5 cm")
    expect(again.locator("#field-depth_value")).to_have_value("240")


def fill_the_sheet(page: Page) -> None:
    deck, depth, pad = (page.get_by_role("group", name=name) for name in ("Deck thickness", "Depth", "E Pad"))
    deck.get_by_label("measured").fill("38")
    deck.get_by_label("±").fill("1")
    depth.get_by_label("measured").fill("240")
    pad.get_by_label("measured").fill("195")
    page.locator("#field-rest_least").fill("140")
    page.locator("#field-sector0_from").fill("0")
    page.locator("#field-sector0_to").fill("90")
    page.locator("#field-sector0_value").fill("350")
    page.locator("#field-datum_value").fill("30")
    page.locator("#field-datum_pm").fill("2")
    page.locator("#field-round_value").fill("200")
    page.get_by_role("group", name="Voltage for the motor").get_by_label("12 V").check()
    page.get_by_role("group", name="Control voltage").get_by_label("12 V").check()


def test_enter_in_a_box_asks(site: str, new_page: NewPage) -> None:
    """The first button of the form is what Enter presses; it must not be the choice of a unit."""
    page = new_page()
    page.goto(f"{site}/winches/tansy-60")
    page.locator("#field-deck_value").fill("38")
    page.locator("#field-deck_value").press("Enter")
    page.wait_for_url("**/answers/*")
    expect(page.locator(".top-question")).to_contain_text("38 mm")


def test_inches_without_script(site: str, new_page: NewPage) -> None:
    page = new_page(width=PHONE, scripts=False)
    page.goto(f"{site}/winches/tansy-60")
    page.locator("#field-deck_value").fill("38")
    page.get_by_role("button", name="in", exact=True).click()
    expect(page.locator("#field-deck_value")).to_have_value("38 mm")
    page.locator("#field-deck_value").fill("1 1/2")
    page.locator(".sheet-end").get_by_role("button", name="Ask").click()
    expect(page.locator(".top-question")).to_contain_text("1 1/2 in")
    expect(page.locator(".title-block")).to_contain_text("Lengths in")
    page.get_by_role("button", name="mm", exact=True).click()
    expect(page.locator(".top-question")).to_contain_text("38.1 mm")


def test_faults_are_reached_first(site: str, new_page: NewPage) -> None:
    page = new_page(width=PHONE)
    page.goto(f"{site}/winches/tansy-60")
    page.locator("#field-year").fill("nineteen")
    page.locator(".sheet-end").get_by_role("button", name="Ask").click()
    expect(page.get_by_role("alert")).to_be_focused()
    page.get_by_role("alert").get_by_role("link", name="Built in").click()
    expect(page.locator("#field-year")).to_be_focused()


def test_the_keyboard_skips_to_the_content(site: str, new_page: NewPage) -> None:
    page = new_page()
    page.goto(site)
    page.keyboard.press("Tab")
    expect(page.get_by_role("link", name="To the content")).to_be_focused()
    page.keyboard.press("Enter")
    expect(page.locator("main")).to_be_focused()


# --- every page ---------------------------------------------------------------------------------------------

PAGES = {
    "start": "/",
    "found": "/?winch=tanzy",
    "nothing found": "/?winch=qqqqqqq",
    "winch": "/winches/tansy-60",
    "winch that takes no kit": "/winches/larder-34",
    "yes": answer_of("tansy-60", **KNOWN),
    "depends": answer_of("winnow-40"),
    "many kits": answer_of("winnow-40", wishes={"kits": 50}),
    "no": answer_of("larder-34"),
    "cut off": answer_of("winnow-40")[:-9],
    "part": "/parts/DIBBER-60-12-R",
    "parts": "/parts?q=spacer",
    "not found": "/nothing-here",
    "problems": "/problems",
}


@pytest.mark.parametrize(("width", "scheme"), [(PHONE, "light"), (DESK, "dark")])
def test_every_page_fits_is_accessible_and_large_enough_to_press(
    site: str, new_page: NewPage, width: int, scheme: Scheme
) -> None:
    page = new_page(width=width)
    page.emulate_media(color_scheme=scheme)
    for name, address in PAGES.items():
        page.goto(f"{site}{address}")
        check(page, name)


def test_a_sheet_with_faults_is_accessible_too(site: str, new_page: NewPage) -> None:
    page = new_page(width=PHONE)
    page.goto(f"{site}/winches/tansy-60")
    for box in ("year", "deck_value", "sector0_from", "datum_pm", "bedding", "currency"):
        page.locator(f"#field-{box}").fill("?")
    page.locator(".sheet-end").get_by_role("button", name="Ask").click()
    check(page, "faults")


TOO_SMALL = """([targets, least]) => [...document.querySelectorAll(targets)]
    .filter(one => one.checkVisibility() && !one.matches('.unseen'))
    .filter(one => one.getBoundingClientRect().height < least - 0.5)
    .map(one => one.outerHTML.slice(0, 120))"""


def check(page: Page, name: str) -> None:
    assert page.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth"), (
        f"{name}: wider than the window"
    )
    small = page.evaluate(TOO_SMALL, [TARGETS, SMALLEST_TARGET])
    assert not small, f"{name}: too small to press"
    found = Axe().run(page)
    assert not found.violations_count, f"{name}:\n{found.generate_report()}"


def test_four_sizes_of_type_and_no_more(site: str, new_page: NewPage) -> None:
    page = new_page()
    sizes: set[str] = set()
    for address in ("/", PAGES["winch"], PAGES["yes"], PAGES["depends"], PAGES["part"]):
        page.goto(f"{site}{address}")
        sizes |= set(
            page.evaluate(
                """() => [...document.querySelectorAll('body *:not(svg *)')]
                .filter(one => [...one.childNodes].some(node => node.nodeType === 3 && node.data.trim()))
                .map(one => getComputedStyle(one).fontSize)"""
            )
        )
    assert len(sizes) == 4, sizes


def test_on_paper_the_address_is_printed_and_nothing_can_be_pressed(site: str, new_page: NewPage) -> None:
    page = new_page()
    page.goto(f"{site}{PAGES['yes']}")
    page.emulate_media(media="print")
    expect(page.locator("code.address")).to_be_visible()
    assert page.locator("code.address").inner_text() == page.url
    expect(page.locator(".head-find")).to_be_hidden()
    expect(page.get_by_role("link", name="Change the question")).to_be_hidden()
    assert page.evaluate("getComputedStyle(document.documentElement).backgroundColor") == "rgb(255, 255, 255)"
    assert re.fullmatch(
        r"rgb\(0, 0, 0\)", page.evaluate("getComputedStyle(document.querySelector('.verdict h1')).color")
    )
