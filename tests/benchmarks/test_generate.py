"""The generated catalogs are what the benchmarks say they are."""

from collections import Counter

import pytest

from benchmarks.generate import FanOut, big_catalog
from benchmarks.questions import KINDS, fixed_questions, questions
from catalog.resolver import parts
from catalog.resolver.compile import compile_catalog
from catalog.resolver.definition import every_stack
from catalog.resolver.facts import survey_of
from catalog.resolver.question import read_question

SIZES = (1_000, 4_000)


def widest(catalog: parts.Catalog) -> tuple[int, int, int, int]:
    """The most adapters of a model, and drives, shafts (by their couplings) and stacks of a flange."""
    bases: dict[str, set[str]] = {}
    for run in catalog.runs.values():
        bases.setdefault(run.model, set()).add(run.base_pattern)
    models = {base: model for model, of in bases.items() for base in of}
    adapters = Counter(
        model
        for one in catalog.adapters.values()
        for model in {models[base] for base in one.bases if base in models}
    )
    drives = Counter(one.flange for one in catalog.drives.values())
    flange_of = {one.coupling: one.flange for one in catalog.drives.values()}
    shafts = Counter(
        flange
        for one in catalog.shafts.values()
        for flange in {flange_of[row.coupling] for row in one.windows if row.coupling in flange_of}
    )
    stacks = max(sum(1 for _ in every_stack(catalog, flange)) for flange in catalog.flanges.values())
    return max(adapters.values()), max(drives.values()), max(shafts.values()), stacks


@pytest.mark.parametrize("size", SIZES)
def test_bounded_fan_out_is_bounded(size: int) -> None:
    assert widest(big_catalog(size, seed=3)) == (4, 12, 6, 20)


def test_growing_fan_out_grows() -> None:
    small, large = (widest(big_catalog(size, seed=3, fan_out="growing")) for size in (1_000, 16_000))
    assert all(one < other for one, other in zip(small, large, strict=True))


@pytest.mark.parametrize("fan_out", ["bounded", "growing"])
def test_a_seed_names_a_catalog(fan_out: FanOut) -> None:
    one, same, other = (big_catalog(1_000, seed, fan_out) for seed in (1, 1, 2))
    assert one == same
    assert one != other
    assert 1_000 <= len(one.parts) < 1_200
    compile_catalog(one)


def test_the_kinds_have_their_shares() -> None:
    catalog = big_catalog(1_000, seed=3)
    asked = list(questions(catalog, seed=4, count=100))
    assert asked == list(questions(catalog, seed=4, count=100))
    known = [sum(len(question[section]) for section in ("winch", "survey", "boat")) for question in asked]
    assert Counter(KINDS) == {"model only": 1, "half known": 3, "complete": 1}
    assert known[0::5] == [1] * 20
    assert known[4::5] == [12] * 20


def test_fixed_questions_leave_one_world() -> None:
    catalog = big_catalog(1_000, seed=3)
    for question in fixed_questions(catalog, seed=5, count=50):
        survey = survey_of(read_question(question), catalog)
        assert len(survey.variants) == len(survey.plugs) == len(survey.voltages_mv) == 1
        assert all(sector.radius.is_point for sector in survey.sectors)
        assert survey.deck_thickness.is_point
        assert survey.datum.length == 0
