"""Each gate reads the facts it declares and no others, and a better fact never makes it fail."""

from dataclasses import replace
from random import Random
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.resolver.definition import every_kit, every_setting, every_world
from catalog.resolver.facts import Direction, OpeningSize, World
from catalog.resolver.gates import GATES, READS, GatesClash, refuse_clashes
from catalog.resolver.kits import Case
from tests.resolver.drawn import Drawn

FACTS = (
    "plug_present",
    "deck_thickness_um",
    "depth_below_deck_um",
    "free_radius",
    "datum_ddeg",
    "opening",
    "pad_diameter_um",
    "motor_voltage_mv",
    "control_voltage_mv",
)


def _a_case(seed: int) -> Case:
    rng = Random(seed)
    drawn = Drawn.from_seed(seed)
    kits = list(every_kit(drawn.catalog, drawn.question))
    if not kits:
        return _a_case(seed + 1)
    kit = rng.choice(kits)
    setting = rng.choice(list(every_setting(drawn.catalog, kit, 500)))
    world = next(every_world(drawn.survey, 100_000_000))
    return Case(drawn.catalog, drawn.question, kit, setting, world)


def _moved(world: World, fact: str, rng: Random) -> World:
    """The world with one fact moved; measured ones upward."""
    up = rng.randint(1, 60) * 1_000
    if fact == "free_radius":
        return replace(world, free_radius=tuple((arc, radius + up) for arc, radius in world.free_radius))
    if fact == "opening":
        size = world.opening
        return replace(world, opening=OpeningSize(size.round, size.width_um + up, size.height_um + up))
    if fact == "plug_present":
        return replace(world, plug_present=not world.plug_present)
    if fact == "datum_ddeg":
        return replace(world, datum_ddeg=rng.randrange(3_600))
    voltage = rng.choice([12_000, 24_000, 48_000])
    moved: dict[str, Any] = {fact: voltage if fact.endswith("_mv") else getattr(world, fact) + up}
    return replace(world, **moved)


def test_every_fact_of_a_world_is_read_by_some_gate() -> None:
    assert {fact for reads in READS.values() for fact in reads} == {*FACTS, "variant"}


@pytest.mark.parametrize("gate", GATES)
@given(seed=st.integers(0, 2**31))
def test_a_gate_reads_only_what_it_declares(gate: str, seed: int) -> None:
    case, rng = _a_case(seed), Random(seed)
    for fact in FACTS:
        if fact not in READS[gate]:
            moved = replace(case, world=_moved(case.world, fact, rng))
            assert GATES[gate](moved) == GATES[gate](case), fact


@pytest.mark.parametrize(
    ("gate", "fact"),
    [(gate, fact) for gate, reads in READS.items() for fact, way in reads.items() if way is Direction.MORE],
)
@given(seed=st.integers(0, 2**31))
def test_more_of_what_is_better_never_fails_a_check(gate: str, fact: str, seed: int) -> None:
    case, rng = _a_case(seed), Random(seed)
    better = replace(case, world=_moved(case.world, fact, rng))
    for before, after in zip(GATES[gate](case), GATES[gate](better), strict=True):
        assert after.margin >= before.margin


def test_gates_that_read_a_fact_in_two_ways_are_refused() -> None:
    refuse_clashes(READS)
    with pytest.raises(GatesClash, match="depth_below_deck_um"):
        refuse_clashes({**READS, "new": {"depth_below_deck_um": Direction.BOTH}})
