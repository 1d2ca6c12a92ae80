"""On small catalogs the search answers what the definition means, and its certificates show it."""

from collections import Counter
from itertools import count
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.resolver.definition import every_kit, every_setting, meaning
from catalog.resolver.gates import passes
from catalog.resolver.kits import Case
from tests.resolver.drawn import Drawn

SEEDS = st.integers(0, 2**31)
MOST_WORLDS = 1_500
STEP_UM = 500


@given(SEEDS)
def test_the_search_finds_what_the_definition_means(seed: int) -> None:
    drawn = Drawn.first(seed, lambda one: one.worlds <= MOST_WORLDS)
    meant, found = meaning(drawn.catalog, drawn.question, STEP_UM), drawn.answer
    assert found.verdict == meant.verdict
    assert found.price_from == meant.price_from
    if found.verdict == "yes":
        assert found.price_to == meant.price_to
    for kit in found.kits:
        assert kit.kit in meant.possible_kits
        assert (kit.standing == "sure") is (kit.kit in meant.sure_kits)
    assert {core.core for core in found.cores} <= meant.sure_cores
    assert bool(found.cores) is bool(meant.sure_cores)
    assert drawn.sure_kits == meant.sure_kits


@given(SEEDS)
def test_a_depends_has_a_world_for_each_outcome(seed: int) -> None:
    drawn = Drawn.first(seed, lambda one: one.answer.verdict == "depends")
    certificate = drawn.answer.certificate
    assert certificate.passing is not None
    assert certificate.failing is not None
    world, kit, setting = certificate.passing
    assert passes(Case(drawn.catalog, drawn.question, kit, setting, world))
    cases = (
        Case(drawn.catalog, drawn.question, kit, setting, certificate.failing)
        for kit in every_kit(drawn.catalog, drawn.question)
        for setting in every_setting(drawn.catalog, kit, STEP_UM)
    )
    assert not any(passes(case) for case in cases)


def test_the_random_questions_are_of_every_kind(rng: Random, capsys: pytest.CaptureFixture[str]) -> None:
    """Of 1,000 questions each verdict is at least a fifth, and a tenth of the yeses need two kits or more."""
    start = rng.randrange(2**31)
    verdicts: Counter[str] = Counter()
    needing_more = 0
    for seed in count(start):
        found = Drawn.from_seed(seed).answer
        verdicts[found.verdict] += 1
        needing_more += sum(kit.in_cover for kit in found.kits) > 1
        if verdicts.total() == 1_000:
            break
    with capsys.disabled():
        print(f"\n{dict(verdicts)}, yeses that need two kits or more: {needing_more}")
    assert min(verdicts[verdict] for verdict in ("yes", "depends", "no")) >= 200
    assert needing_more >= verdicts["yes"] / 10
