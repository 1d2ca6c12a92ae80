"""Every situation of the demo catalog answers as was written down by hand, and its answer proves itself."""

import json
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from catalog.package import build, read_folder
from catalog.resolver.answer import Answer, KitFound
from catalog.resolver.answer_json import as_json
from catalog.resolver.compile import Compiled, compile_catalog
from catalog.resolver.question import normalised, read_question
from catalog.resolver.search import answer
from shared.money import format_amount

FIXTURES = Path(__file__).parents[2] / "fixtures"
SITUATIONS = sorted((FIXTURES / "situations").glob("*.json"))


@cache
def demo() -> Compiled:
    """The demo catalog, compiled once."""
    package = read_folder(FIXTURES / "catalog").package
    assert package is not None
    return compile_catalog(build(package))


def read(path: Path) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(path.read_text(), parse_float=Decimal)
    return found


def listed(kit: KitFound) -> list[str]:
    return sorted(
        (f"{quantity} {sku}" for sku, quantity in kit.kit.lines()), key=lambda line: line.split()[1]
    )


def names(found: Answer) -> set[str]:
    return {check.name for check in found.reasons} | {
        name for row in found.certificate.failures for name in row.fails
    }


def test_there_are_thirty_and_more() -> None:
    assert len(SITUATIONS) >= 30


@pytest.mark.parametrize("path", SITUATIONS, ids=lambda path: path.stem)
def test_situation(path: Path) -> None:
    situation = read(path)
    expected = situation["expect"]
    compiled = demo()
    question = read_question(situation["question"])
    found = answer(compiled, question)
    assert found.verdict == expected["verdict"]
    assert set(expected.get("reasons", ())) <= names(found)
    if "best" in expected:
        assert listed(found.kits[0]) == sorted(expected["best"], key=lambda line: line.split()[1])
    for wanted in expected.get("kits_include", ()):
        ordered = sorted(wanted["parts"], key=lambda line: line.split()[1])
        assert (wanted["standing"], ordered) in [(kit.standing, listed(kit)) for kit in found.kits]
    for sku in expected.get("never_parts", ()):
        assert all(sku not in kit.kit.skus() for kit in found.kits)
    cores = [list(core.core.skus()) for core in found.cores]
    assert all(core in cores for core in expected.get("cores_sure", ()))
    if "price" in expected:
        currency = question.wishes.currency
        amounts = {
            name: None if minor is None else format_amount(minor, currency)
            for name, minor in (("from", found.price_from), ("to", found.price_to))
        }
        assert amounts == expected["price"]
    if "two_kits_needed" in expected:
        assert (sum(kit.in_cover for kit in found.kits) > 1) is expected["two_kits_needed"]
    alternatives = {one.sku: one.verdict for one in found.alternatives}
    assert expected.get("alternatives", {}).items() <= alternatives.items()
    assert set(expected.get("remarks", ())) <= set(found.remarks)


@pytest.mark.parametrize("path", SITUATIONS, ids=lambda path: path.stem)
def test_every_situation_is_put_into_words(path: Path) -> None:
    """A sentence stands by every code, without an unfilled gap; the question in it asks the same again."""
    compiled = demo()
    question = read_question(read(path)["question"])
    shown = as_json(answer(compiled, question), compiled.catalog)
    text = json.dumps(shown)
    assert "{" not in "".join(_sentences(shown))
    same = json.loads(json.dumps(normalised(question)), parse_float=Decimal)
    again = as_json(answer(compiled, read_question(same)), compiled.catalog)
    assert json.dumps(again | {"assumed": shown["assumed"]}) == text


def _sentences(value: Any) -> list[str]:  # noqa: ANN401 - parsed JSON
    if isinstance(value, dict):
        own = [value["sentence"]] if "sentence" in value else []
        return own + [line for one in value.values() for line in _sentences(one)]
    if isinstance(value, list):
        return [line for one in value for line in _sentences(one)]
    return []


def test_what_was_not_measured_has_no_margin() -> None:
    """The example leaves opening, pad and the greatest depth open: only what is needed is told of them."""
    compiled = demo()
    question = read_question(read(FIXTURES / "questions" / "example.json"))
    kit = as_json(answer(compiled, question), compiled.catalog)["kits"][0]
    told = {f"{check['gate']}.{check['code']}": check for check in kit["checks"]}
    for name in ("space.depth", "space.footprint", "entry.opening"):
        assert told[name]["margin"] is None
        assert "not measured" in told[name]["sentence"]
    assert told["space.free-radius"]["margin"] is not None
    assert told["reach.length-short"]["margin"] == {"value": 7, "unit": "mm"}
    measured = json.loads(json.dumps(normalised(question)), parse_float=Decimal)
    measured["survey"]["opening"] = {"round": {"value": 180}}
    kit = as_json(answer(compiled, read_question(measured)), compiled.catalog)["kits"][0]
    opening = next(check for check in kit["checks"] if check["code"] == "opening")
    assert opening["margin"]["value"] == 4.034


def test_cautions_stand_by_what_is_fitted() -> None:
    """Where something would be fitted, drum, hoisting, isolator and current are spoken of."""
    compiled = demo()
    for path in SITUATIONS:
        found = answer(compiled, read_question(read(path)["question"]))
        codes = [line["code"] for line in as_json(found, compiled.catalog)["cautions"]]
        assert codes[-1] == "caution.defer"
        fitted = {compiled.catalog.drives[kit.kit.core.drive].override for kit in found.kits}
        if found.kits or found.alternatives:
            assert {f"caution.{one}" for one in ("drum", "aloft", "isolator", "current")} <= set(codes)
        assert ("caution.no-override" in codes) is (False in fitted)


@pytest.mark.parametrize("path", SITUATIONS, ids=lambda path: path.stem)
def test_no_reason_has_a_hole(path: Path) -> None:
    """A reason names its parts and figures; a dash in it would be a fact that nobody filled in."""
    compiled = demo()
    shown = as_json(answer(compiled, read_question(read(path)["question"])), compiled.catalog)
    assert [line["sentence"] for line in shown["reasons"] if "–" in line["sentence"]] == []
