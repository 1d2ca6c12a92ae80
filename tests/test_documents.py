"""What the documents say is so: commands, files, and the question followed by hand, number by number."""

import json
import math
import re
from decimal import Decimal
from pathlib import Path

import pytest
from django.core.management import get_commands

from catalog.resolver.answer import Answer
from catalog.resolver.gates.feed import carry_percent
from catalog.resolver.kits import Check
from catalog.resolver.parts import Box, Cylinder
from catalog.resolver.pricing import part_price
from catalog.resolver.question import read_question
from catalog.resolver.search import answer
from tests.resolver.test_situations import demo

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text()
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text()
COMPLETE = ROOT / "fixtures" / "questions" / "complete.json"


def by_hand() -> str:
    """The section in which one question is followed by hand."""
    found = re.search(r"## One question, followed by hand\n(.*?)\n## ", DEVELOPERS, re.DOTALL)
    assert found is not None
    return found[1]


def complete() -> Answer:
    return answer(demo(), read_question(json.loads(COMPLETE.read_text(), parse_float=Decimal)))


@pytest.fixture(scope="module")
def checks() -> dict[str, Check]:
    return {check.name: check for check in complete().kits[0].checks}


def test_the_readme_opens_with_the_job_and_the_two_commands() -> None:
    opening, _, rest = README.partition("## Two commands")
    assert "can it be driven by power" in opening.replace("\n", " ")
    assert rest.index("./run serve") < rest.index("./run test") < rest.index("## ")
    for heading in ("## The flow", "## The map", "## Cautions"):
        assert heading in README


@pytest.mark.parametrize("document", [README, DEVELOPERS], ids=["README", "DEVELOPERS"])
def test_every_file_named_is_there(document: str) -> None:
    named = re.findall(r"`((?:catalog|api|shared|tests|fixtures|projects|benchmarks)/[\w./-]*)`", document)
    assert named
    missing = [path for path in named if not (ROOT / path).exists()]
    assert missing == []


@pytest.mark.parametrize("document", [README, DEVELOPERS], ids=["README", "DEVELOPERS"])
def test_every_command_named_is_there(document: str) -> None:
    words = set(re.findall(r"\./run (\w+)", document))
    script = (ROOT / "run").read_text()
    assert words <= {"serve", "test", "manage", "bench", "soak", "mutants"}
    assert all(re.search(rf"\b{word}\b", script) for word in words)
    commands = set(re.findall(r"\./run manage (\w+)", document))
    assert commands <= set(get_commands())


# --- the question followed by hand ------------------------------------------------------------------------


def figures(checks: dict[str, Check]) -> dict[str, float]:
    """Every figure of the section, computed anew or taken from the catalog and the answer."""
    found, compiled = complete(), demo()
    kit, catalog = found.kits[0], compiled.catalog
    core = kit.kit.core
    drive, adapter = catalog.drives[core.drive], catalog.adapters[core.adapter]
    model, run = found.survey.model, catalog.runs["tansy-60-a"]
    shaft = catalog.shafts[core.shaft].windows[0]
    box = next(one for one in drive.solids if isinstance(one, Box))
    gearbox = next(one for one in drive.solids if isinstance(one, Cylinder))
    piece = drive.pieces[0]
    deck = found.survey.deck_thickness
    assert deck.low is not None
    assert deck.high is not None
    assert run.serial_from == "TN-1"
    assert gearbox.diameter_um == piece.width_um
    assert drive.height_um + drive.clearance_um == kit.depth_um
    ratio, drum = model.gear_ratios_milli[-1] / 1000, model.drum_diameter_um / 1e6
    breaker = catalog.breakers[kit.kit.fill.breaker]
    return {
        "adapter": adapter.thickness_um / 1000,
        "thin deck": deck.low / 1000,
        "thick deck": deck.high / 1000,
        "L thin": (adapter.thickness_um + deck.low) / 1000,
        "L thick": (adapter.thickness_um + deck.high) / 1000,
        "window from": shaft.from_um / 1000,
        "window to": shaft.to_um / 1000,
        "short margin": checks["reach.length-short"].margin / 1000,
        "long margin": checks["reach.length-long"].margin / 1000,
        "band low": (kit.deck.low or 0) / 1000,
        "band high": (kit.deck.high or 0) / 1000,
        "drive height": drive.height_um / 1000,
        "clearance": drive.clearance_um / 1000,
        "depth used": kit.depth_um / 1000,
        "depth margin": checks["space.depth"].margin / 1000,
        "clocking": kit.settings[0].from_ddeg / 10,
        "corner along": box.x_to_um / 1000,
        "corner across": box.y_to_um / 1000,
        "corner": math.ceil(math.hypot(box.x_to_um, box.y_to_um)) / 1000,
        "off the motor": 90 - 32,
        "side at the bound": math.ceil(box.y_to_um / math.sin(math.radians(58))) / 1000,
        "radius margin": checks["space.free-radius"].margin / 1000,
        "foot": adapter.footprint_um / 1000,
        "pad margin": checks["space.footprint"].margin / 1000,
        "piece length": piece.length_um / 1000,
        "piece width": piece.width_um / 1000,
        "diagonal": math.ceil(math.hypot(piece.width_um, piece.height_um)) / 1000,
        "opening margin": checks["entry.opening"].margin / 1000,
        "torque": drive.torque_mnm / 1000,
        "ratio": ratio,
        "drum": drum * 1000,
        "drum radius": drum / 2,
        "pull": math.floor(drive.torque_mnm / 1000 * ratio / (drum / 2)),
        "most pull": model.working_load_n - checks["duty.working-load"].margin,
        "load margin": checks["duty.working-load"].margin,
        "working load": model.working_load_n,
        "needed": model.working_load_n * 40 / 100,
        "least pull": model.working_load_n * 40 / 100 + checks["duty.pull"].margin,
        "pull margin": checks["duty.pull"].margin,
        "peak": drive.peak_current_ma / 1000,
        "controller": catalog.controllers[kit.kit.fill.controller].max_current_ma / 1000,
        "breaker": breaker.rating_ma / 1000,
        "carried percent": carry_percent(breaker.trips, 15_000),
        "carried": breaker.rating_ma * carry_percent(breaker.trips, 15_000) / 100_000,
        "carry margin": checks["feed.breaker-carry"].margin / 1000,
        "largest breaker": drive.largest_breaker_ma / 1000,
        "breaker volts": breaker.max_voltage_mv / 1000,
        "lead time": kit.lead_time_days or 0,
        "price": (kit.price or 0) / 100,
        **{
            f"price of {sku}": (part_price(catalog.parts[sku], "EUR", found.question.as_of) or 0) / 100
            for sku, _ in kit.kit.lines()
        },
    }


ASKED = {2012, 38, 1, 240, 350, 0, 90, 140, 30, 2, 200, 195, 12, 28, 32, 15, 10, 35, 40}
"""The figures of the question itself, and the shares that the duty gate names."""


def test_every_number_followed_by_hand_is_computed_or_asked(checks: dict[str, Check]) -> None:
    text = re.sub(r"`[^`]*`|TN-4120|Tansy 60|2026-06-01", "", by_hand())
    text = re.sub(r"^\d\. ", "", text, flags=re.MULTILINE)
    numbers = {float(number) for number in re.findall(r"\d+(?:\.\d+)?", text)}
    known = {float(f"{one:g}") if one < 1 else one for one in figures(checks).values()} | ASKED
    assert numbers - {round(one, 6) for one in known} == set()


def test_the_figures_that_were_computed_stand_in_the_text(checks: dict[str, Check]) -> None:
    numbers = {float(number) for number in re.findall(r"\d+(?:\.\d+)?", by_hand())}
    missing = {name: one for name, one in figures(checks).items() if round(one, 6) not in numbers}
    assert missing == {}


def test_the_answer_is_the_one_written_down() -> None:
    found = complete()
    assert (found.verdict, found.kits[0].standing) == ("yes", "sure")
    assert found.price_from == found.price_to == found.kits[0].price
