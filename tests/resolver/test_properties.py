"""What must hold for every answer: order, strangers, units, mirrors and better facts."""

from dataclasses import replace
from random import Random
from typing import Any

from hypothesis import assume, given
from hypothesis import strategies as st

from catalog.resolver.kits import Core, Kit
from catalog.resolver.parts import Hand
from tests.resolver.drawn import Drawn
from tests.resolver.small import mirror, shuffle, with_strangers

SEEDS = st.integers(0, 2**31)
WORSE = {"no": 0, "depends": 1, "yes": 2}
OTHER = {Hand.LEFT: Hand.RIGHT, Hand.RIGHT: Hand.LEFT, Hand.NONE: Hand.NONE}
Json = dict[str, Any]


@given(SEEDS)
def test_the_same_question_has_the_same_bytes(seed: int) -> None:
    assert Drawn.from_seed(seed).text == Drawn.from_seed(seed).text


@given(SEEDS)
def test_the_order_of_the_catalog_changes_nothing(seed: int) -> None:
    drawn = Drawn.from_seed(seed)
    assert Drawn(shuffle(Random(seed), drawn.catalog), drawn.data).text == drawn.text


@given(SEEDS)
def test_parts_that_mate_with_nothing_change_nothing(seed: int) -> None:
    drawn = Drawn.from_seed(seed)
    other = Drawn(with_strangers(Random(seed), drawn.catalog), drawn.data)
    assert (other.answer.verdict, other.sure_kits) == (drawn.answer.verdict, drawn.sure_kits)
    assert (other.answer.price_from, other.answer.price_to) == (
        drawn.answer.price_from,
        drawn.answer.price_to,
    )
    assert [kit.kit for kit in other.answer.kits] == [kit.kit for kit in drawn.answer.kits]


@given(SEEDS)
def test_the_mirrored_boat_takes_the_mirrored_kits(seed: int) -> None:
    drawn = Drawn.from_seed(seed)
    other = Drawn(*mirror(drawn.catalog, drawn.data))
    assert other.answer.verdict == drawn.answer.verdict
    assert other.answer.price_from == drawn.answer.price_from
    assert other.answer.price_to == drawn.answer.price_to
    assert other.sure_kits == {_mirrored(kit) for kit in drawn.sure_kits}


def _mirrored(kit: Kit) -> Kit:
    core: Core = replace(kit.core, hand=OTHER[kit.core.hand])
    return replace(kit, core=core)


@given(
    SEEDS, st.sampled_from(("depth_below_deck", "pad_diameter", "opening", "free_radius")), st.integers(1, 40)
)
def test_a_better_fact_never_makes_a_verdict_worse(seed: int, fact: str, more: int) -> None:
    drawn = Drawn.first(seed, lambda one: bool(one.data["survey"].get(fact)))
    survey = dict(drawn.data["survey"])
    survey[fact] = _raised(survey[fact], more)
    assert WORSE[drawn.asked(survey=survey).answer.verdict] >= WORSE[drawn.answer.verdict]


def _raised(fact: Any, more: int) -> Any:  # noqa: ANN401 - JSON
    """A measured fact with every length in it raised; spreads and bearings stay."""
    if isinstance(fact, list):
        return [sector | {"radius": _raised(sector["radius"], more)} for sector in fact]
    if any(isinstance(one, dict) for one in fact.values()):
        return {name: _raised(one, more) for name, one in fact.items()}
    return {
        name: one + more if name in ("value", "at_least", "at_most") else one for name, one in fact.items()
    }


@given(SEEDS, st.floats(0, 1), st.floats(0, 1))
def test_narrowing_a_fact_keeps_a_yes_a_no_and_sure_kits(seed: int, one: float, other: float) -> None:
    drawn = Drawn.from_seed(seed)
    deck = drawn.survey.deck_thickness
    assume(deck.low is not None and deck.high is not None and deck.low < deck.high)
    assert deck.low is not None
    assert deck.high is not None
    low, high = sorted(
        deck.low // 1000 + int((deck.high - deck.low) // 1000 * share) for share in (one, other)
    )
    survey = drawn.data["survey"] | {"deck_thickness": {"at_least": low, "at_most": max(low, high)}}
    assume(deck.low <= low * 1000 and high * 1000 <= deck.high)
    narrowed = drawn.asked(survey=survey)
    if drawn.answer.verdict != "depends":
        assert narrowed.answer.verdict == drawn.answer.verdict
    assert drawn.sure_kits <= narrowed.sure_kits


@given(SEEDS)
def test_an_inch_is_as_good_as_its_millimetres(seed: int) -> None:
    """127 mm is 5 in: lengths that are whole in both give the same answer, to the byte."""
    drawn = Drawn.from_seed(seed)
    survey = drawn.data["survey"]
    metric = drawn.asked(survey=survey | {"depth_below_deck": {"at_least": 254, "at_most": 381}})
    inches = {"at_least": 10, "at_most": 15, "unit": "in"}
    assert drawn.asked(survey=survey | {"depth_below_deck": inches}).text == metric.text
