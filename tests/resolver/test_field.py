"""The figures in columns are those of the gates: by hand, then for random kits in random worlds."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from random import Random
from typing import Any

import numpy as np
import pytest

from catalog.resolver.compile import compile_catalog
from catalog.resolver.definition import every_fill
from catalog.resolver.facts import World
from catalog.resolver.field import Corner, Field
from catalog.resolver.gates import GATES
from catalog.resolver.kits import Case, Kit, Setting
from catalog.resolver.parts import Catalog, Mounting, Plug, ShaftWindow, Status
from catalog.resolver.question import read_question
from catalog.resolver.scene import Scene
from catalog.resolver.search import scenes_of
from shared.intervals import Interval
from tests.resolver.drawn import Drawn
from tests.resolver.few_kits import KNOWN, answered
from tests.resolver.one_kit import CATALOG, RUN, with_part

# --- the length equation, by hand ---------------------------------------------------------------------------


def bands(catalog: Catalog = CATALOG, bedding_mm: int = 0) -> list[tuple[int, int, int]]:
    """For no, one and two spacers: the thinnest and the thickest deck, and the depth needed, in mm."""
    question = read_question(KNOWN | {"assumptions": {"bedding": bedding_mm}})
    compiled = compile_catalog(catalog)
    [scene] = scenes_of(compiled, question, answered(catalog).survey)
    stacks, low, high, need = scene.field.bands_of(0)
    by_count = [scene.field.stack_of(0, int(stack)).count for stack in stacks]
    in_mm = (np.array([low, high, need]) // 1_000).T.tolist()
    return [(figures[0], figures[1], figures[2]) for _, figures in sorted(zip(by_count, in_mm, strict=True))]


def test_bands_by_hand() -> None:
    """L = 12 + deck + spacers in 55 ... 66; a drive of 205 + 15 below the spacers."""
    assert bands() == [(43, 54, 220), (33, 44, 230), (23, 34, 240)]


def test_an_adapter_that_sinks_the_winch_allows_a_thicker_deck() -> None:
    """L = -5 + deck + spacers."""
    assert bands(with_part("adapters", "ADAPTER", thickness_um=-5_000)) == [
        (60, 71, 220),
        (50, 61, 230),
        (40, 51, 240),
    ]


def test_bedding_takes_from_the_deck_and_not_from_the_depth() -> None:
    assert bands(bedding_mm=2) == [(41, 52, 220), (31, 42, 230), (21, 32, 240)]


@pytest.mark.parametrize(("deck", "verdict"), [(40, "no"), (41, "yes"), (52, "yes"), (53, "no")])
def test_bedding_moves_what_is_possible(deck: int, verdict: str) -> None:
    """Without spacers 43 ... 54 mm less 2 mm of bedding."""
    survey = {"deck_thickness": {"value": deck}}
    bedded = {"assumptions": {"bedding": 2}}
    assert answered(replace(CATALOG, spacers={}), survey=survey, **bedded).verdict == verdict


def test_a_captive_shaft_may_ask_for_more_depth_than_the_drive_uses() -> None:
    """205 + 22 to offer it up, which one spacer more exceeds."""
    captive = with_part("shafts", "SHAFT", mounting=Mounting.CAPTIVE, standing_height_um=22_000)
    assert [need for _, _, need in bands(captive)] == [227, 230, 240]


CUT = with_part(
    "shafts",
    "SHAFT",
    cut=True,
    cut_min_um=50_000,
    cut_max_um=70_000,
    windows=(ShaftWindow("square-18", "claw", -2_000, 3_000),),
)
"""The shaft is cut to 50 ... 70 mm, and engages from 2 mm less to 3 mm more."""


def test_a_shaft_that_is_cut_spans_from_its_shortest_to_its_longest() -> None:
    """L in 48 ... 73 mm."""
    assert bands(CUT) == [(36, 61, 220), (26, 51, 230), (16, 41, 240)]


@pytest.mark.parametrize(
    ("deck", "bedding", "cut", "sure"),
    [
        # L = 12 + 38 + 2 = 52, cut from 3 mm less to 2 mm more.
        ((38, 38), 2, (50, 54), True),
        # L = 12 + 38 = 50: no shorter than 50.
        ((38, 38), 0, (50, 52), True),
        # L = 48 ... 51: from 51 - 3 to 48 + 2, and no shorter than 50.
        ((36, 39), 0, (50, 50), True),
        # L = 62 ... 72: no one length does for both; for the middle of the deck, 55, it is L = 67.
        ((50, 60), 0, None, False),
    ],
)
def test_the_length_to_cut_to(
    deck: tuple[int, int], bedding: int, cut: tuple[int, int] | None, sure: bool
) -> None:
    """Of the kit without spacers."""
    survey = {"deck_thickness": {"at_least": deck[0], "at_most": deck[1]}}
    catalog = replace(CUT, spacers={})
    [kit] = answered(catalog, survey=survey, assumptions={"bedding": bedding}).kits
    assert (kit.standing, kit.cut_sure) == ("sure", sure)
    if cut is not None:
        assert kit.cut_length == Interval(cut[0] * 1_000, cut[1] * 1_000)


# --- what no measurement changes, by hand -------------------------------------------------------------------

BONDED = {RUN.code: replace(RUN, plug=Plug.BONDED, plug_removable=False)}


@pytest.mark.parametrize(
    ("name", "catalog", "more"),
    [
        ("duty.torque", with_part("models", "capper-40", spindle_torque_max_mnm=19_999), {}),
        ("duty.working-load", with_part("models", "capper-40", working_load_n=5_624), {}),
        ("duty.pull", CATALOG, {"assumptions": {"least_pull_percent": 46}}),
        ("duty.gears", with_part("drives", "DRIVE", reversible=False), {}),
        ("duty.press-time", CATALOG, {"assumptions": {"press_seconds": 61}}),
        ("reach.plug", replace(CATALOG, runs=BONDED), {"winch": {"model": "capper-40", "plug": "present"}}),
        ("era.replace-only", with_part("families", "capper", convertible=False), {}),
        ("era.part-not-yet", with_part("parts", "SHAFT", valid_from=date(2026, 6, 2)), {}),
        ("era.part-expired", with_part("parts", "DRIVE", valid_to=date(2026, 5, 31)), {}),
        ("era.part-withdrawn", with_part("parts", "ADAPTER", status=Status.WITHDRAWN), {}),
    ],
)
def test_each_is_a_no_that_names_it(name: str, catalog: Catalog, more: dict[str, Any]) -> None:
    found = answered(catalog, **more)
    assert (found.verdict, found.kits) == ("no", ())
    assert {code for row in found.certificate.failures for code in row.fails} == {name}
    assert [check.name for check in found.reasons] == [name]


@pytest.mark.parametrize(
    ("catalog", "more"),
    [
        (with_part("models", "capper-40", spindle_torque_max_mnm=20_000), {}),
        (with_part("models", "capper-40", working_load_n=5_625), {}),
        (CATALOG, {"assumptions": {"least_pull_percent": 45}}),
        (with_part("parts", "SHAFT", valid_from=date(2026, 6, 1), valid_to=date(2026, 6, 1)), {}),
        (with_part("parts", "SHAFT", status=Status.WITHDRAWN, withdrawn_on=date(2026, 6, 2)), {}),
        (with_part("parts", "SHAFT", status=Status.LAST_TIME_BUY), {}),
    ],
)
def test_the_end_of_each_limit_is_a_yes(catalog: Catalog, more: dict[str, Any]) -> None:
    assert answered(catalog, **more).verdict == "yes"


# --- against the gates --------------------------------------------------------------------------------------


def some_scenes(rng: Random, count: int) -> Iterator[tuple[Drawn, Scene]]:
    """Scenes of random questions in which there is some core, whatever the wishes and voltages."""
    found = 0
    while found < count:
        drawn = Drawn.from_seed(rng.randrange(2**31))
        for scene in scenes_of(drawn.compiled, drawn.question, drawn.survey, pruned=False):
            group = scene.field.group
            if group is not None and len(group) and drawn.catalog.controllers:
                found += 1
                yield drawn, scene


CONSTANT = ("duty.torque", "duty.working-load", "duty.pull", "duty.gears", "duty.press-time", "reach.plug")


def failing(gate: str, case: Case) -> set[str]:
    return {check.name for check in GATES[gate](case) if not check.passed}


def test_what_no_measurement_changes_fails_as_in_the_gates(rng: Random) -> None:
    seen: set[str] = set()
    for drawn, scene in some_scenes(rng, 60):
        columns = dict(scene.field.constant_failures)
        for core, case in some_cases(rng, drawn, scene, scene.field.widest):
            expected = (failing("duty", case) | failing("reach", case)) & set(CONSTANT)
            found = {name for name in CONSTANT if name in columns and columns[name][core]}
            assert found == expected
            seen |= found
    assert seen


def test_corners_fail_as_in_the_gates(rng: Random) -> None:
    """Opening, pad and offering up; and room round the shaft, which fails when it does at every clocking."""
    seen: set[str] = set()
    for drawn, scene in some_scenes(rng, 60):
        field = scene.field
        for at in (field.tightest, field.widest):
            datum = field.datum[rng.randrange(len(field.datum))][None]
            columns = dict(field.corner_failures(at, datum))
            for core, case in some_cases(rng, drawn, scene, at, int(datum[0])):
                names = failing("entry", case) | (failing("space", case) & {"space.footprint"})
                if field.sound[core] and no_room(scene, core, case):
                    names.add("space.free-radius")
                assert {name for name, mask in columns.items() if mask[core]} == names
                seen |= names
    assert seen == {"entry.opening", "entry.offer-up", "space.footprint", "space.free-radius"}


def no_room(scene: Scene, core: int, case: Case) -> bool:
    clockings = scene.field.side(int(_group_side(scene)[core])).clockings
    turned = (replace(case, setting=replace(case.setting, clocking_ddeg=one)) for one in clockings)
    return all("space.free-radius" in failing("space", one) for one in turned)


def _group_side(scene: Scene) -> list[int]:
    assert scene.field.group is not None
    sides: list[int] = scene.field.group.side.tolist()
    return sides


def test_bands_and_depths_are_those_of_the_gates(rng: Random) -> None:
    """At both ends of a band and 1 µm beyond, at the depth needed and 1 µm less; cut to the best length."""
    cut = 0
    for drawn, scene in some_scenes(rng, 60):
        for core, case in some_cases(rng, drawn, scene, scene.field.widest):
            stacks, lows, highs, needs = (column.tolist() for column in scene.field.bands_of(core))
            at = rng.randrange(len(stacks))
            low, high, need = lows[at], highs[at], needs[at]
            kit = replace(case.kit, stack=scene.field.stack_of(core, stacks[at]))
            cut += case.shaft.cut
            for deck in (low - 1, low, (low + high) // 2, high, high + 1):
                for depth in (need - 1, need):
                    world = replace(case.world, deck_thickness_um=deck, depth_below_deck_um=depth)
                    judged = replace(case, kit=kit, world=world)
                    assert engages(judged) is (low <= deck <= high), judged
                    fails = failing("space", judged) | failing("entry", judged)
                    assert bool(fails & {"space.depth", "entry.offer-up"}) is (depth < need), judged
    assert cut > 20


def engages(case: Case) -> bool:
    """Whether the shaft does, cut to the best length where it is cut."""
    lengths: list[int | None] = [None]
    if case.shaft.cut:
        assert case.run is not None
        window = next(
            one
            for one in case.shaft.windows
            if (one.spindle, one.coupling) == (case.run.spindle, case.drive.coupling)
        )
        length = (
            case.adapter.thickness_um
            + case.world.deck_thickness_um
            + case.kit.stack.thickness_um
            + case.question.assumptions.bedding_um
        )
        wanted = (length - window.from_um, length - window.to_um)
        lengths = [min(max(one, case.shaft.cut_min_um), case.shaft.cut_max_um) for one in wanted]
    names = {"reach.length-short", "reach.length-long", "reach.cut-length"}
    settings = (Setting(case.setting.clocking_ddeg, one) for one in lengths)
    return any(not failing("reach", replace(case, setting=one)) & names for one in settings)


def test_fills_are_what_the_feed_gate_lets_through(rng: Random) -> None:
    """Unpruned, at each control voltage, among all controllers, breakers and switches that may be had."""
    let_through = 0
    for drawn, scene in some_scenes(rng, 40):
        field = scene.field
        if field.rules.judged:
            continue
        core, case = next(some_cases(rng, drawn, scene, field.widest))
        found = {(one.fill, volts) for one in field.fills_of(core) for volts in one.control_mv}
        expected = {
            (fill, volts)
            for fill in every_fill(drawn.catalog, drawn.question)
            for volts in (12_000, 24_000)
            if all(field.usable(sku) for sku in (fill.controller, fill.breaker, fill.switch))
            and not failing("feed", powered(case, Kit(case.kit.core, case.kit.stack, fill), volts))
        }
        assert found == expected
        let_through += len(found)
    assert let_through > 20


def powered(case: Case, kit: Kit, control_mv: int) -> Case:
    world = replace(case.world, motor_voltage_mv=case.drive.motor_voltage_mv, control_voltage_mv=control_mv)
    return replace(case, kit=kit, world=world)


def some_cases(
    rng: Random, drawn: Drawn, scene: Scene, at: Corner, datum: int | None = None
) -> Iterator[tuple[int, Case]]:
    """Up to five cores of a scene, by number, each as a whole kit in a world at a corner."""
    field: Field = scene.field
    assert field.group is not None
    fill = next(every_fill(drawn.catalog, drawn.question))
    bearing = int(field.datum[0]) if datum is None else datum
    world: World = scene.world(at, scene.first, bearing)
    for core in rng.sample(range(len(field.group)), min(5, len(field.group))):
        stacks = field.bands_of(core)[0]
        kit = Kit(field.core_of(core), field.stack_of(core, int(rng.choice(stacks))), fill)
        shaft = drawn.catalog.shafts[kit.core.shaft]
        clocking = rng.choice(field.side(int(field.group.side[core])).clockings)
        setting = Setting(clocking, shaft.cut_min_um if shaft.cut else None)
        yield core, Case(drawn.catalog, drawn.question, kit, setting, world)
