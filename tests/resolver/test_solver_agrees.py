"""In a fixed world a constraint solver and the resolver say the same, and find kits of the same price.

The solver's model is written from the description of how parts mate (``tests/resolver/solver.py``) and
shares no code with the resolver but the catalog's values.
"""

from collections import Counter
from dataclasses import replace
from random import Random
from typing import Any

import pytest

from catalog.resolver import parts
from catalog.resolver.compile import compile_catalog
from catalog.resolver.definition import meaning
from catalog.resolver.parts import SerialRule
from catalog.resolver.question import read_question
from catalog.resolver.search import answer
from tests.resolver.small import small_catalog, small_question
from tests.resolver.solver import SecondOpinion, carried_percent
from tests.resolver.solver_space import LENIENT_MM, STRICT_MM

Json = dict[str, Any]

CATALOGS = 200
CATALOGS_IN_SOAK = 5_000


@pytest.mark.parametrize("part", range(4))
def test_the_solver_agrees(part: int, rng: Random) -> None:
    _agree(rng, CATALOGS // 4)


@pytest.mark.soak
@pytest.mark.parametrize("part", range(10))
def test_the_solver_agrees_at_length(part: int, rng: Random) -> None:
    _agree(rng, CATALOGS_IN_SOAK // 10)


def _agree(rng: Random, catalogs: int) -> None:
    seen: Counter[str] = Counter()
    for _ in range(catalogs):
        seed = rng.randrange(10**9)
        catalog, question, run = fixed_world(Random(seed))
        found, expected = resolved(catalog, question), SecondOpinion(catalog, question, run).answer()
        if found != expected:
            seen["decided by less than 0.002 mm"] += 1
            expected = SecondOpinion(catalog, question, run, STRICT_MM).answer()
        assert found == expected, f"seed {seed}"
        seen[found[0]] += 1
    print(f"fixed worlds: {dict(seen)}")
    assert min(seen["yes"], seen["no"]) * 10 >= catalogs, f"too one-sided to show anything: {dict(seen)}"
    assert seen["decided by less than 0.002 mm"] * 50 <= catalogs, (
        "where roots decide, the two differ too often"
    )


def resolved(catalog: parts.Catalog, question: Json) -> tuple[str, int | None]:
    """The resolver's verdict and the price of its cheapest kit, in minor units."""
    found = answer(compile_catalog(catalog), read_question(question))
    return found.verdict, found.price_from


@pytest.mark.parametrize("part", range(2))
def test_the_definition_agrees_with_the_solver(part: int, rng: Random) -> None:
    for _ in range(15):
        seed = rng.randrange(10**9)
        catalog, question, run = fixed_world(Random(seed))
        defined = meaning(catalog, read_question(question))
        opinions = [SecondOpinion(catalog, question, run, mm).answer() for mm in (LENIENT_MM, STRICT_MM)]
        assert (defined.verdict, defined.price_from) in opinions, f"seed {seed}"


# --- one world of a question ----------------------------------------


def fixed_world(rng: Random) -> tuple[parts.Catalog, Json, parts.Run | None]:
    """A small catalog, a question about it that leaves exactly one world, and that world's production run."""
    catalog = small_catalog(rng)
    question = small_question(rng, catalog)
    winch, survey, boat = question["winch"], question["survey"], question["boat"]
    for name in ("deck_thickness", "depth_below_deck", "pad_diameter"):
        survey[name] = _fixed(
            rng, survey[name], {"deck_thickness": 30, "depth_below_deck": 200}.get(name, 160)
        )
    survey["opening"] = {
        name: _fixed(rng, length, 140) for name, length in (survey["opening"] or {"round": None}).items()
    }
    survey["free_radius"] = _fixed_sectors(rng, survey["free_radius"])
    survey["datum_bearing"] = _fixed_datum(rng, survey["datum_bearing"])
    boat["motor_voltage"] = boat["motor_voltage"] or rng.choice((12, 24, 48))
    boat["control_voltage"] = boat["control_voltage"] or (
        12 if boat["motor_voltage"] == 12 else rng.choice((12, 24))
    )
    winch["plug"] = winch["plug"] or rng.choice(("present", "absent"))
    catalog, run = _fixed_run(rng, catalog, winch)
    return catalog, question, run


def _fixed(rng: Random, length: Json | None, otherwise: int) -> Json:
    """One value that a length allows, at an end more often than not."""
    length = length or {"at_least": otherwise}
    if "value" in length:
        spread = length.get("plus_minus", 0)
        low, high = max(0, length["value"] - spread), length["value"] + spread
    else:
        low = length.get("at_least", max(1, length.get("at_most", 0) - 5))
        high = length.get("at_most", low + 5)
    return {"value": rng.choice((low, high, rng.randint(low, high)))}


def _fixed_sectors(rng: Random, sectors: list[Json] | None) -> list[Json]:
    """Every bearing has a radius: what lies between the sectors given becomes one."""
    given = sectors or [{"from": 0, "to": 360, "radius": {"at_least": 200}}]
    fixed = [{**sector, "radius": _fixed(rng, sector["radius"], 200)} for sector in given]
    missing = [
        {"from": one["to"] % 360, "to": other["from"] % 360, "radius": {"value": rng.choice((60, 120, 250))}}
        for one, other in zip(fixed, [*fixed[1:], fixed[0]], strict=True)
        if (one["to"] - other["from"]) % 360
    ]
    return fixed + missing


def _fixed_datum(rng: Random, datum: Json | None) -> Json:
    if datum is None:
        return {"value": 10 * rng.randrange(36)}
    spread = datum.get("plus_minus", 0)
    return {"value": (datum["value"] + rng.randint(-spread, spread)) % 360}


def _fixed_run(rng: Random, catalog: parts.Catalog, winch: Json) -> tuple[parts.Catalog, parts.Run | None]:
    """Say year and serial of one run, and leave this model no other run that they could be of."""
    others = {code: run for code, run in catalog.runs.items() if run.model != winch["model"]}
    built = [run for run in catalog.runs.values() if run.model == winch["model"]]
    run = rng.choice([one for one in built if _fits(one, winch)] or built)
    winch["serial"] = None
    if rng.random() < 0.05:
        winch["year"] = 1975
        return catalog, None
    winch["year"] = rng.randint(run.year_from, run.year_to or run.year_from + 4)
    if run.serial_rule is not SerialRule.NONE:
        winch["serial"] = _serial(rng, catalog, run)
    return replace(catalog, runs={**others, run.code: run}), run


def _fits(run: parts.Run, winch: Json) -> bool:
    return winch["year"] is None or run.year_from <= winch["year"] <= (run.year_to or winch["year"])


def _serial(rng: Random, catalog: parts.Catalog, run: parts.Run) -> str:
    """A serial of the run, at the edge of a ruling's stretch where there is one."""
    prefix = "AB-" if run.serial_rule is SerialRule.PREFIX_NUMBER else ""
    first = int((run.serial_from or "1000").removeprefix("AB-"))
    last = int((run.serial_to or f"{first + 2_000}").removeprefix("AB-"))
    ends = [end for one in catalog.exceptions for end in (one.serial_from, one.serial_to) if end]
    near = [int(end.removeprefix("AB-")) + by for end in ends for by in (-1, 0, 1)]
    return f"{prefix}{rng.choice([rng.randint(first, last), *(one for one in near if first <= one <= last)])}"


# --- the solver's own breaker curve, by hand ----------------------------------------


def test_the_second_reading_of_a_breakers_rows() -> None:
    """Halfway on log axes between 200 % at 20 s and 400 % at 5 s lie 282.8 % at 10 s."""
    rows = (parts.TripRow(200, 20_000, 60_000), parts.TripRow(400, 5_000, 9_000))
    assert [carried_percent(rows, press) for press in (30_000, 20_000, 10_000, 5_000)] == [100, 200, 282, 400]
