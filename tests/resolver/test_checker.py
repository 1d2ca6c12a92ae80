"""The checker: every answer of the search is proven, and no spoiled one is.

Its figures are held against the gates', and its geometry against a general one (shapely).
"""

import ast
import math
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from itertools import islice
from pathlib import Path
from random import Random

import pytest
from shapely import Point, Polygon, box
from shapely.geometry.base import BaseGeometry

from catalog.resolver import checker
from catalog.resolver.answer import Answer
from catalog.resolver.checker import check
from catalog.resolver.checker.bearings import FIGURE_UM, whole_room_um
from catalog.resolver.checker.figures import length_figures, standing_figures
from catalog.resolver.checker.ground import Corner, Ground, place_in
from catalog.resolver.checker.shapes import TURN, farthest_um
from catalog.resolver.checker.values import Figure
from catalog.resolver.compile import compile_catalog
from catalog.resolver.definition import bounds, every_fill, every_stack
from catalog.resolver.facts import OpeningSize, Survey, World, survey_of
from catalog.resolver.gates import judge
from catalog.resolver.kits import Case, Check, Core, Kit, Setting, hands_of
from catalog.resolver.parts import Box, Catalog, Cylinder, Hand, Power, Solid
from catalog.resolver.question import Question, read_question
from catalog.resolver.search import answer
from shared.intervals import Interval
from tests.resolver.small import small_catalog, small_question
from tests.resolver.spoiling import SPOILINGS
from tests.resolver.test_situations import SITUATIONS, demo, read

ANSWERS, ANSWERS_IN_SOAK = 150, 5_000
CERTIFICATES, CERTIFICATES_IN_SOAK = 200, 5_000
KINDS_AT_LEAST = 12


def drawn(seed: int) -> tuple[Catalog, Question]:
    rng = Random(seed)
    catalog = small_catalog(rng)
    return catalog, read_question(small_question(rng, catalog))


def resolved(seed: int) -> tuple[Catalog, Answer]:
    catalog, question = drawn(seed)
    return catalog, answer(compile_catalog(catalog), question)


# --- whose code ----------------------------------------

VALUES = {
    "catalog.resolver.answer": {"Answer", "Circumstance", "CoreFound", "CoverRow", "FailureRow", "KitFound"},
    "catalog.resolver.facts": {"Sector", "Survey", "Variant", "World", "survey_of"},
    "catalog.resolver.kits": {"Core", "Fill", "Kit", "Setting", "Stack"},
    "catalog.resolver.question": {"Question"},
    "shared.intervals": {"Arc", "Interval"},
}
"""What the checker may take from elsewhere; of ``parts``, which holds values only, it may take anything."""


def test_the_checker_shares_no_code_with_the_search() -> None:
    for file in Path(checker.__file__).parent.glob("*.py"):
        for node in ast.walk(ast.parse(file.read_text())):
            assert not isinstance(node, ast.Import) or node.names[0].name == "math", file
            if isinstance(node, ast.ImportFrom) and (node.module or "").startswith(("catalog", "shared")):
                inside = node.module == "catalog.resolver.parts" or checker.__name__ in (node.module or "")
                taken = {alias.name for alias in node.names}
                assert inside or taken <= VALUES.get(node.module or "", set()), (file, node.module, taken)


# --- soundness ----------------------------------------


def test_every_answer_is_proven(rng: Random) -> None:
    _all_proven(rng, ANSWERS)


@pytest.mark.soak
@pytest.mark.parametrize("part", range(10))
def test_every_answer_is_proven_at_length(part: int, rng: Random) -> None:
    _all_proven(rng, ANSWERS_IN_SOAK // 10)


@pytest.mark.parametrize("path", SITUATIONS, ids=lambda path: path.stem)
def test_a_situations_answer_is_proven(path: Path) -> None:
    compiled = demo()
    found = answer(compiled, read_question(read(path)["question"]))
    assert check(compiled.catalog, found) == []


def _all_proven(rng: Random, number: int) -> None:
    unproven: dict[int, list[str]] = {}
    seen: Counter[str] = Counter()
    for _ in range(number):
        seed = rng.randrange(10**9)
        catalog, found = resolved(seed)
        seen[found.verdict] += 1
        if complaints := check(catalog, found):
            unproven[seed] = complaints
    print(f"answers checked: {dict(seen)}")
    assert not unproven, "\n".join(f"seed {seed}: {said}" for seed, said in unproven.items())
    assert min(seen["yes"], seen["no"], seen["depends"]) * 20 >= number, f"too one-sided: {dict(seen)}"


# --- spoiled answers ----------------------------------------


def test_spoiled_certificates_are_rejected(rng: Random) -> None:
    _all_rejected(rng, CERTIFICATES)


@pytest.mark.soak
@pytest.mark.parametrize("part", range(5))
def test_spoiled_certificates_are_rejected_at_length(part: int, rng: Random) -> None:
    _all_rejected(rng, CERTIFICATES_IN_SOAK // 5)


def _all_rejected(rng: Random, number: int) -> None:
    """Each proven answer is spoiled once, in the way that was used least so far."""
    kinds, verdicts = Counter(dict.fromkeys(SPOILINGS, 0)), Counter[str]()
    accepted = []
    for seed, catalog, found in islice(_proven(rng), number):
        kind, spoiled = _spoiled(Random(seed), catalog, found, kinds)
        kinds[kind] += 1
        verdicts[found.verdict] += 1
        if not check(catalog, spoiled):
            accepted.append((kind, seed))
    used = {kind: count for kind, count in kinds.items() if count}
    print(f"certificates spoiled: {dict(verdicts)}; {used}")
    assert not accepted, f"spoiled and yet accepted (kind, seed): {accepted}"
    assert len(used) >= KINDS_AT_LEAST
    assert min(verdicts["yes"], verdicts["no"], verdicts["depends"]) * 10 >= number


def _proven(rng: Random) -> Iterator[tuple[int, Catalog, Answer]]:
    while True:
        seed = rng.randrange(10**9)
        catalog, found = resolved(seed)
        if not check(catalog, found):
            yield seed, catalog, found


def _spoiled(rng: Random, catalog: Catalog, found: Answer, kinds: Counter[str]) -> tuple[str, Answer]:
    for kind in sorted(SPOILINGS, key=lambda one: (kinds[one], rng.random())):
        if (spoiled := SPOILINGS[kind](rng, catalog, found)) is not None:
            assert spoiled != found, kind
            return kind, spoiled
    raise AssertionError("every answer can be spoiled by changing its verdict")


def test_a_single_micrometre_uncovered_is_a_gap() -> None:
    """All rows end 1 µm before the survey's thickest deck: the gap is that deck, in every place."""
    catalog, found = next(
        (catalog, found)
        for catalog, found in map(resolved, range(10_000))
        if found.certificate.cover and found.survey.deck_thickness.width
    )
    _, high = bounds(found.survey.deck_thickness)
    cut = [
        replace(row, deck=Interval(bounds(row.deck)[0], min(bounds(row.deck)[1], high - 1)))
        for row in found.certificate.cover
        if bounds(row.deck)[0] < high
    ]
    spoiled = replace(found, certificate=replace(found.certificate, cover=tuple(cut)))
    gaps = [one for one in check(catalog, spoiled) if one.startswith("cover-gap")]
    assert gaps
    assert all(f"no row serves {high} µm" in one for one in gaps)


# --- figures ----------------------------------------


def test_figures_are_those_of_the_gates(rng: Random) -> None:
    compared: Counter[str] = Counter()
    for _ in range(ANSWERS):
        seed = rng.randrange(10**9)
        catalog, question = drawn(seed)
        for case in _some_cases(Random(seed), catalog, question):
            shown, ours = _least(judge(case)), _least(_figures(case))
            assert shown.keys() == ours.keys(), f"seed {seed}"
            for name, margin in shown.items():
                tolerance = FIGURE_UM if name == "space.free-radius" else 0
                assert abs(margin - ours[name]) <= tolerance, f"seed {seed}: {name} {margin}, {ours[name]}"
            compared.update(name for name, margin in shown.items() if margin < 0)
    print(f"figures compared below 0: {dict(compared)}")
    assert len(compared) >= 30


def _figures(case: Case) -> list[Figure]:
    world, core = case.world, case.kit.core
    ground = Ground(case.catalog, case.question, survey_of(case.question, case.catalog))
    deck = (world.deck_thickness_um, world.deck_thickness_um)
    around = ground.surroundings(core.drive, core.hand)
    room = around.room_um(world.datum_ddeg + case.setting.clocking_ddeg, world.free_radius)
    return [
        *standing_figures(ground, case.kit, place_in(world), Corner.of_world(world)),
        *length_figures(ground, case.kit, place_in(world), deck, case.setting.cut_length_um),
        Figure("space.free-radius", whole_room_um(room)),
    ]


def _least(figures: list[Check] | list[Figure]) -> dict[str, int]:
    """By name the least margin."""
    found: dict[str, int] = {}
    for one in figures:
        found[one.name] = min(one.margin, found.get(one.name, one.margin))
    return found


def _some_cases(rng: Random, catalog: Catalog, question: Question) -> Iterator[Case]:
    """Kits of parts that may or may not mate, in random worlds at settings that may or may not be had."""
    survey = survey_of(question, catalog)
    electric = [one for one in catalog.drives.values() if one.power is Power.ELECTRIC]
    fills = list(every_fill(catalog, question))
    for drive in electric:
        stacks = list(every_stack(catalog, catalog.flanges[drive.flange]))
        for _ in range(4):
            hand, handing_kit = rng.choice(list(hands_of(catalog, drive)))
            core = Core(
                rng.choice(list(catalog.adapters)),
                rng.choice(list(catalog.shafts)),
                drive.sku,
                rng.choice((hand, hand, hand, *Hand)),
                handing_kit,
            )
            kit = Kit(core, rng.choice(stacks), rng.choice(fills))
            shaft = catalog.shafts[core.shaft]
            cut = rng.randint(shaft.cut_min_um - 500, shaft.cut_max_um + 500) if shaft.cut else None
            yield Case(catalog, question, kit, Setting(rng.randrange(TURN), cut), _some_world(rng, survey))


def _some_world(rng: Random, survey: Survey) -> World:
    def within(interval: Interval) -> int:
        return rng.randint(*bounds(interval))

    width, height = within(survey.opening_width), within(survey.opening_height)
    motor, control = rng.choice(survey.voltages_mv)
    return World(
        variant=rng.choice(survey.variants),
        plug_present=rng.choice(survey.plugs),
        deck_thickness_um=within(survey.deck_thickness),
        depth_below_deck_um=within(survey.depth_below_deck),
        free_radius=tuple((sector.arc, within(sector.radius)) for sector in survey.sectors),
        datum_ddeg=(survey.datum.start + rng.randint(0, survey.datum.length)) % TURN,
        opening=OpeningSize(survey.opening_round, width, width if survey.opening_round else height),
        pad_diameter_um=within(survey.pad_diameter),
        motor_voltage_mv=motor,
        control_voltage_mv=control,
    )


# --- geometry ----------------------------------------

FAR_UM = 2_000_000


def test_reach_is_that_of_a_general_geometry(rng: Random) -> None:
    """Within 2 µm; not where a solid and a bound only touch, for there the other geometry may see nothing."""
    compared = reached = 0
    for _ in range(1_000):
        solid, hand = _some_solid(rng), rng.choice(tuple(Hand))
        start, length = rng.randrange(TURN), rng.choice((rng.randint(1, 900), rng.randint(901, 3_400)))
        if _only_touches(solid, hand, start, length):
            continue
        ours = farthest_um(solid, hand, start, length)
        theirs = _reach(_outline(solid, hand), start, length)
        assert abs(ours - theirs) <= FIGURE_UM, (solid, hand, start, length, ours, theirs)
        compared += 1
        reached += ours > 0
    print(f"reaches compared: {compared}, above 0: {reached}")
    assert compared > 900
    assert reached > 400


def _some_solid(rng: Random) -> Solid:
    x, y = 1_000 * rng.randint(-150, 150), 1_000 * rng.randint(-150, 150)
    if rng.random() < 0.5:
        return Cylinder(x, y, 1_000 * rng.randint(20, 200), 0, 1)
    return Box(x, x + 1_000 * rng.randint(5, 200), y, y + 1_000 * rng.randint(5, 200), 0, 1)


def _outline(solid: Solid, hand: Hand) -> BaseGeometry:
    side = -1 if hand is Hand.LEFT else 1
    if isinstance(solid, Cylinder):
        return Point(solid.x_um, side * solid.y_um).buffer(solid.diameter_um / 2, quad_segs=4_096)
    ys = sorted((side * solid.y_from_um, side * solid.y_to_um))
    return box(solid.x_from_um, ys[0], solid.x_to_um, ys[1])


def _reach(outline: BaseGeometry, start: float, length: float) -> float:
    """Farthest vertex of what a fan from the axis leaves of an outline."""
    steps = [start + length * step / 40 for step in range(41)]
    rim = [
        (FAR_UM * math.cos(math.radians(one / 10)), FAR_UM * math.sin(math.radians(one / 10)))
        for one in steps
    ]
    left = outline.intersection(Polygon([(0, 0), *rim]))
    points = [point for part in getattr(left, "geoms", [left]) for point in _vertices(part)]
    return max((math.hypot(*point) for point in points), default=0.0)


def _vertices(part: BaseGeometry) -> list[tuple[float, ...]]:
    return list(part.exterior.coords) if isinstance(part, Polygon) else list(part.coords)


def _only_touches(solid: Solid, hand: Hand, start: int, length: int) -> bool:
    """Whether a hundredth of a degree more or less makes a difference of more than the tolerance allows."""
    outline = _outline(solid, hand)
    narrow, wide = _reach(outline, start + 0.1, length - 0.2), _reach(outline, start - 0.1, length + 0.2)
    return wide - narrow > 1_000


@pytest.mark.parametrize(
    ("start", "length", "reach"),
    [(0, 3_600, 50_000), (3_150, 900, 50_000), (450, 0, 42_426.4), (900, 1_800, 0)],
)
def test_reach_of_a_box_by_hand(start: int, length: int, reach: float) -> None:
    """A box from (10, -30) to (40, 30) mm: its corners lie 50 mm out, at 36.9° to each side; on the ray at
    45° it ends at (30, 30), which is 42.426 mm out; behind the axis it has no point.
    """
    solid = Box(10_000, 40_000, -30_000, 30_000, 0, 1)
    assert farthest_um(solid, Hand.NONE, start, length) == pytest.approx(reach, abs=0.1)


def test_a_circle_that_touches_a_bound_is_in_both_sectors() -> None:
    """A circle of 30 mm radius round (40, 30) mm touches the ray at 0 in (40, 0), and 1 µm farther not."""
    assert farthest_um(Cylinder(40_000, 30_000, 60_000, 0, 1), Hand.NONE, 2_700, 900) == pytest.approx(40_000)
    assert farthest_um(Cylinder(40_000, 30_000, 60_000, 0, 1), Hand.LEFT, 0, 900) == pytest.approx(40_000)
    assert farthest_um(Cylinder(40_000, 30_001, 60_000, 0, 1), Hand.NONE, 2_700, 900) == 0
