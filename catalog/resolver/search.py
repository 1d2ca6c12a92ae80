"""The search: the answer that ``definition.py`` means, found fast.

Stages:

1. the survey's set facts make *scenes*: a production run with the exceptions that hold, the plug, two
   voltages;
2. in each scene cores and stacks become *rows* that may pass somewhere (``field.py``), best first by
   the wish;
3. a scene is covered when, for every class of datum bearings, the bands of the rows that pass at the
   tightest corner
   cover the deck (``scene.py``). All scenes covered: yes. No rows in any: no. Else: depends;
4. the list: sure kits, the kits that prove a yes, then possible kits that are best in some world;
5. the certificate: the cover, or the failures, or two worlds.

Worked example: a deck of 37 .. 39 mm, an adapter of 12 mm, a shaft with a window of 55 .. 61 mm. Without
spacers the band is 43 .. 49 mm, with one of 5 mm 38 .. 44 mm, with one of 10 mm 33 .. 39 mm: the last alone
covers the deck, and is sure.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import numpy as np

from catalog.resolver.alternatives import alternatives_of
from catalog.resolver.answer import (
    Answer,
    Certificate,
    CoreFound,
    CoverRow,
    FailureRow,
    RevisionRef,
)
from catalog.resolver.bearings import turns
from catalog.resolver.compile import UNPRICED, Compiled, Ints
from catalog.resolver.facts import Survey, World, survey_of
from catalog.resolver.failures import failure_rows
from catalog.resolver.field import Field, Rules
from catalog.resolver.kits import Case, Core, Kit, Setting
from catalog.resolver.listing import Lister, best_case_of, find_row
from catalog.resolver.parts import Plug
from catalog.resolver.question import Question
from catalog.resolver.reasons import reasons_for, remarks_of
from catalog.resolver.scene import Hole, Scene
from shared.errors import GaveUp
from shared.intervals import Interval

MOST_STEPS = 2_000_000
"""How many rows x bearing classes x scenes one question may touch."""

NO_REVISION = RevisionRef(0, "")


def answer(
    compiled: Compiled, question: Question, revision: RevisionRef = NO_REVISION, *, pruned: bool = True
) -> Answer:
    """Answer a question from a compiled revision.

    ``pruned`` False keeps stacks and fills that others replace, which only tests need. Raises
    ``UnknownModel``, ``SerialYearConflict`` or ``GaveUp``.
    """
    survey = survey_of(question, compiled.catalog, compiled.index)
    scenes = scenes_of(compiled, question, survey, pruned=pruned)
    _count_steps(scenes)
    holes = [(scene, scene.hole) for scene in scenes]
    possible = any(len(scene.rows.core) for scene in scenes)
    verdict = "no" if not possible else "yes" if all(hole is None for _, hole in holes) else "depends"
    lister = Lister(scenes, question)
    cover = list(_cover(scenes, lister)) if verdict == "yes" else []
    kits = lister.listed([row.kit for row in cover])
    certificate = _certificate(verdict, scenes, holes, cover, lister)
    return Answer(
        question=question,
        survey=survey,
        verdict=verdict,
        kits=kits,
        cores=tuple(_cores(scenes, lister, verdict)),
        price_from=_cheapest(scenes),
        price_to=_dearest(scenes) if verdict == "yes" else None,
        alternatives=alternatives_of(compiled, question, survey),
        certificate=certificate,
        reasons=tuple(reasons_for(scenes, certificate, kits)),
        remarks=survey.remarks + remarks_of(compiled, question, kits),
        revision=revision,
    )


def scenes_of(compiled: Compiled, question: Question, survey: Survey, *, pruned: bool = True) -> list[Scene]:
    """Every combination of set facts. A plug that can be drawn changes nothing and is not told apart."""
    found = []
    # What one variant prunes another may need: with rulings about them, every stack and fill is kept.
    ruled = len(survey.variants) > 1 and any(Rules(compiled, one).loosens for one in survey.variants)
    for variant in survey.variants:
        run = variant.run
        matters = run is not None and run.plug is not Plug.NONE and not run.plug_removable
        for plug in survey.plugs if matters else survey.plugs[:1]:
            field = Field(compiled, question, survey, variant, plug=plug, pruned=pruned and not ruled)
            for motor, control in survey.voltages_mv:
                found.append(Scene(field, motor, control, question.wishes.rank_by))
    return found


def _count_steps(scenes: list[Scene]) -> None:
    """Give up on a question by counted steps, never by the clock."""
    steps = sum(len(scene.rows.core) * (1 + len(scene.field.datum) // 64) for scene in scenes)
    if steps > MOST_STEPS:
        raise GaveUp(steps=MOST_STEPS, narrow="the deck thickness, the year or the voltage")


# Prices and cores ---------------------------------------------------------------------------------


def _cheapest(scenes: list[Scene]) -> int | None:
    prices = [int(scene.cheapest.min()) for scene in scenes if len(scene.cheapest)]
    least = min(prices, default=UNPRICED)
    return None if least >= UNPRICED else least


def _dearest(scenes: list[Scene]) -> int | None:
    found = [scene.dearest() for scene in scenes]
    known = [one for one in found if one is not None]
    return max(known) if known and len(known) == len(found) else None


def _cores(scenes: list[Scene], lister: Lister, verdict: str) -> Iterator[CoreFound]:
    """Sure cores, cheapest first; of the possible ones those that stand in the list."""
    if verdict != "yes":
        return
    sure: set[Core] | None = None
    for scene in scenes:
        here = {scene.field.core_of(core) for core in scene.sure_cores()}
        sure = here if sure is None else sure & here
    priced = [(lister.core_price(core), core) for core in sure or ()]
    priced.sort(key=lambda one: (UNPRICED if one[0] is None else one[0], one[1].skus(), one[1].hand))
    for price, core in priced[: max(lister.wanted, 1)]:
        yield CoreFound(core, "sure", price)


# Certificates -------------------------------------------------------------------------------------


def _cover(scenes: list[Scene], lister: Lister) -> Iterator[CoverRow]:
    """The cover of a yes: one sure kit where there is one, else the fewest of the best for each scene."""
    sure = lister.first_sure()
    for scene in scenes:
        if sure is not None:
            every = np.arange(len(scene.field.datum))
            row = find_row(scene, sure.kit)
            if row is None:
                raise ValueError("A sure kit has a row in every scene.")
            yield from _cover_rows(scene, row, sure.kit, scene.first, scene.last, every)
            continue
        for patch in scene.patches():
            kit = lister.choice(scene, patch.row).kit
            yield from _cover_rows(scene, patch.row, kit, patch.first_um, patch.last_um, patch.bearings)


def _cover_rows(
    scene: Scene, row: int, kit: Kit, first: int, last: int, positions: Ints
) -> Iterator[CoverRow]:
    field = scene.field
    side = int(scene.side[row])
    free = field.free(side, field.tightest)
    for stretch in np.split(positions, np.flatnonzero(np.diff(positions) != 1) + 1):
        first_bearing = int(field.datum[stretch[0]])
        for start, end, clocking in turns(field.side(side), free, first_bearing, len(stretch)):
            yield CoverRow(scene.circumstance, Interval(first, last), start, end, kit, clocking)


def _certificate(
    verdict: str,
    scenes: list[Scene],
    holes: list[tuple[Scene, Hole | None]],
    cover: list[CoverRow],
    lister: Lister,
) -> Certificate:
    if verdict == "yes":
        return Certificate(cover=tuple(cover))
    if verdict == "no":
        return Certificate(failures=tuple(row for scene in scenes for row in _all_fail(scene)))
    scene, hole = next((scene, hole) for scene, hole in holes if hole is not None)
    datum = np.array([hole.datum_ddeg], dtype=np.int64)
    tight = scene.field.tightest
    rows = failure_rows(scene, tight, datum, hole.deck_um, hole.deck_um)
    return Certificate(
        failures=tuple(rows),
        failing=scene.world(tight, hole.deck_um, hole.datum_ddeg),
        passing=_passing(scenes, lister),
    )


def _all_fail(scene: Scene) -> Iterable[FailureRow]:
    field = scene.field
    return failure_rows(scene, field.widest, field.datum, scene.first, scene.last)


def _passing(scenes: list[Scene], lister: Lister) -> tuple[World, Kit, Setting]:
    """The best kit in the world that suits it best."""
    scene = next(scene for scene in scenes if len(scene.rows.core))
    return _as_witness(best_case_of(lister.choice(scene, 0)))


def _as_witness(case: Case) -> tuple[World, Kit, Setting]:
    return case.world, case.kit, case.setting
