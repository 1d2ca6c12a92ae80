"""Questions about a large catalog as desks ask them: 20 % model only, 60 % half known, 20 % complete."""

from collections.abc import Callable, Iterator
from itertools import pairwise
from random import Random
from typing import Any, Literal

from benchmarks.generate import AS_OF
from catalog.resolver import parts

Json = dict[str, Any]
Kind = Literal["model only", "half known", "complete"]

KINDS: tuple[Kind, ...] = (
    "model only",
    "half known",
    "half known",
    "half known",
    "complete",
)


def questions(catalog: parts.Catalog, seed: int, count: int) -> Iterator[Json]:
    """``count`` questions, the kinds by turns, so that any multiple of five has exactly the shares."""
    rng = Random(seed)
    asked = _Asked(catalog)
    for number in range(count):
        yield asked.question(rng, KINDS[number % len(KINDS)])


def fixed_questions(catalog: parts.Catalog, seed: int, count: int) -> Iterator[Json]:
    """Complete questions with every fact exact, so that each leaves a single world."""
    rng = Random(seed)
    asked = _Asked(catalog)
    for _ in range(count):
        question = asked.question(rng, "complete")
        question["survey"] = {name: _exact(fact) for name, fact in question["survey"].items()}
        yield question


def _exact(fact: object) -> object:
    """A fact without its tolerances: each length and angle in it is the value or the bound that was given."""
    if isinstance(fact, list):
        return [_exact(one) for one in fact]
    if not isinstance(fact, dict):
        return fact
    if fact.keys() & {"value", "at_least"}:
        return {"value": fact.get("value", fact.get("at_least"))}
    return {name: _exact(one) for name, one in fact.items()}


class _Asked:
    """A catalog, with its runs by model at hand."""

    def __init__(self, catalog: parts.Catalog) -> None:
        self.models = list(catalog.models.values())
        self.runs: dict[str, list[parts.Run]] = {}
        for run in catalog.runs.values():
            self.runs.setdefault(run.model, []).append(run)

    def question(self, rng: Random, kind: Kind) -> Json:
        model = rng.choice(self.models)
        run = rng.choice(self.runs[model.code])
        facts = _facts(rng, model, run)
        share = {"model only": 0.0, "half known": 0.5, "complete": 1.0}[kind]
        question: Json = {
            "schema": 1,
            "winch": {"model": model.code},
            "survey": {},
            "boat": {},
            "wishes": {"currency": "EUR", "kits": 5},
            "as_of": AS_OF.isoformat(),
        }
        for section, name, draw in facts:
            if rng.random() < share:
                question[section][name] = draw()
        if rng.random() < 0.2:
            question["wishes"]["hand"] = rng.choice(("left", "right"))
        if rng.random() < 0.2:
            question["wishes"]["drive"] = rng.choice(("in-line", "right-angle"))
        return question


def _facts(
    rng: Random, model: parts.WinchModel, run: parts.Run
) -> list[tuple[str, str, Callable[[], object]]]:
    last = run.year_to or run.year_from + 8
    base = model.base_diameter_um // 1_000
    return [
        ("winch", "year", lambda: rng.randint(run.year_from, last)),
        ("winch", "serial", lambda: str(int(run.serial_from) + rng.randrange(10_000))),
        ("winch", "plug", lambda: rng.choice(("absent", "present"))),
        ("survey", "deck_thickness", lambda: _deck(rng)),
        ("survey", "depth_below_deck", lambda: _at_least(rng, 190, 480)),
        ("survey", "free_radius", lambda: _sectors(rng)),
        (
            "survey",
            "datum_bearing",
            lambda: {"value": rng.randrange(360), "plus_minus": rng.choice((0, 0, 2, 5))},
        ),
        ("survey", "opening", lambda: _opening(rng)),
        ("survey", "pad_diameter", lambda: {"value": base + rng.choice((0, 10, 20, 40))}),
        ("boat", "motor_voltage", lambda: rng.choice((12, 12, 24, 24, 48))),
        ("boat", "control_voltage", lambda: 12),
    ]


def _deck(rng: Random) -> Json:
    return {"value": rng.randint(22, 70), "plus_minus": rng.choice((0, 1, 1, 2, 4))}


def _at_least(rng: Random, low: int, high: int) -> Json:
    length = rng.randint(low, high)
    return rng.choice(({"value": length}, {"at_least": length}, {"value": length, "plus_minus": 5}))


def _sectors(rng: Random) -> list[Json]:
    """Room all round, or two to four sectors of which one is wide."""
    if rng.random() < 0.4:
        return [{"from": 0, "to": 360, "radius": _at_least(rng, 150, 420)}]
    start = rng.randrange(0, 360, 5)
    cuts = sorted(rng.sample(range(30, 330, 15), rng.randint(1, 3)))
    bounds = [0, *cuts, 360]
    pairs = list(pairwise(bounds))
    wide = max(range(len(pairs)), key=lambda index: pairs[index][1] - pairs[index][0])
    return [
        {
            "from": (start + one) % 360,
            "to": (start + other) % 360,
            "radius": _at_least(rng, 250, 450) if index == wide else _at_least(rng, 75, 300),
        }
        for index, (one, other) in enumerate(pairs)
    ]


def _opening(rng: Random) -> Json:
    if rng.random() < 0.5:
        return {"round": _at_least(rng, 130, 260)}
    return {"width": _at_least(rng, 120, 300), "height": _at_least(rng, 110, 220)}
