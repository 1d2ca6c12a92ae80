"""Reasons as data: for each check named in a certificate's failures, its figures for the kit that comes
nearest.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import islice, product

import numpy as np

from catalog.resolver.answer import Certificate, FailureRow, KitFound
from catalog.resolver.compile import UNPRICED, Compiled
from catalog.resolver.facts import World
from catalog.resolver.gates import GATES
from catalog.resolver.gates.era import no_run_check, replace_only_check
from catalog.resolver.gates.feed import switch_count
from catalog.resolver.kits import Case, Check, Fill, Kit, Setting, Stack, verdict_check
from catalog.resolver.parts import Plug, Status
from catalog.resolver.question import Question
from catalog.resolver.scene import Scene

SAYS_LITTLE = ("feed.motor-voltage", "reach.handing-kit")
MOST_TRIED = 8
"""How many kits are looked at to find the one that misses a check by least; enough for a reason, bounded
for speed.
"""


def reasons_for(scenes: list[Scene], certificate: Certificate, kits: Iterable[KitFound]) -> Iterator[Check]:
    """One check with its figures for each name among the failures, the most telling first."""
    by_circumstance = {scene.circumstance: scene for scene in scenes}
    named: dict[str, list[FailureRow]] = {}
    for row in _telling(certificate.failures, kits):
        for name in row.fails:
            named.setdefault(name, []).append(row)
    # What most drives fail tells most; that a drive is for another voltage or hand tells least.
    for name, rows in sorted(named.items(), key=lambda one: (one[0] in SAYS_LITTLE, -len(one[1]), one[0])):
        scene = by_circumstance[rows[0].circumstance]
        if not rows[0].drive:
            yield _without_candidate(scene, name)
        else:
            yield _nearest(scene, rows, name, certificate.failing)


def _telling(failures: Iterable[FailureRow], kits: Iterable[KitFound]) -> list[FailureRow]:
    """The failures of the drives that stand in the list, where any of them fails; else all."""
    listed = {(kit.kit.core.drive, kit.kit.core.hand) for kit in kits}
    rows = list(failures)
    return [row for row in rows if (row.drive, row.hand) in listed] or rows


def _without_candidate(scene: Scene, name: str) -> Check:
    field = scene.field
    if field.group is None:
        return no_run_check(field.question, field.runs)
    gate, _, code = name.partition(".")
    family = field.compiled.catalog.families[field.survey.model.family]
    if not family.convertible:
        return replace_only_check(family)
    run = field.variant.run
    facts = {"run": run.code, "base_pattern": run.base_pattern, "spindle": run.spindle} if run else {}
    return verdict_check(gate, code, passed=False, **facts)


def _nearest(scene: Scene, rows: list[FailureRow], name: str, world: World | None) -> Check:
    """The check of this name that fails by least among a bounded number of kits."""
    gate, _, code = name.partition(".")
    best: Check | None = None
    for case in islice(_cases(scene, rows, name, world), MOST_TRIED * (8 if gate in ("era", "feed") else 1)):
        for check in GATES[gate](case):
            if check.name == name and not check.passed and (best is None or check.margin > best.margin):
                best = check
    return best or verdict_check(gate, code, passed=False, drive=rows[0].drive, hand=rows[0].hand.value)


def _cases(scene: Scene, failing: list[FailureRow], name: str, world: World | None) -> Iterator[Case]:
    """Kits with the drives concerned, varied in what the check looks at."""
    field = scene.field
    group, catalog = field.group, field.compiled.catalog
    if group is None:
        return
    drives = {(row.drive, row.hand) for row in failing}
    decks = (scene.first, scene.last) if name.startswith("reach.length") else (scene.last,)
    worlds = [world] if world else [scene.world(field.widest, deck, int(field.datum[0])) for deck in decks]
    for number in np.flatnonzero(field.wished).tolist():
        core = group.core(number)
        if (core.drive, core.hand) in drives:
            stacks, settings = _stacks(scene, number, name, worlds), _settings(scene, number, name)
            for fill, stack, setting, here in product(_fills(scene, name), stacks, settings, worlds):
                yield Case(catalog, field.question, Kit(core, stack, fill), setting, here)


def _stacks(scene: Scene, core: int, name: str, worlds: list[World]) -> list[Stack]:
    """The stack that misses the deck by least in the way named; of other checks the thinnest."""
    field = scene.field
    stacks, low, high, need = field.bands_of(core)
    if not len(stacks):
        return [Stack()]
    decks = [world.deck_thickness_um for world in worlds]
    if name == "reach.length-short":
        missed = low - max(decks)
    elif name == "reach.length-long":
        missed = min(decks) - high
    else:
        missed = need
    return [field.stack_of(core, int(stacks[np.argmin(np.where(missed > 0, missed, UNPRICED))]))]


def _settings(scene: Scene, core: int, name: str) -> list[Setting]:
    field = scene.field
    stated = field.core_of(core)
    shaft = field.compiled.catalog.shafts[stated.shaft]
    clockings = field.compiled.side(stated.drive, stated.hand).clockings
    cuts = sorted({shaft.cut_min_um, shaft.cut_max_um}) if shaft.cut else [None]
    turned = clockings[:: max(1, len(clockings) // 12)] if name == "space.free-radius" else clockings[:1]
    return [Setting(clocking, cut) for clocking, cut in product(turned, cuts)]


def _fills(scene: Scene, name: str) -> list[Fill]:
    """Fills that differ in the part which the check looks at; the first of each other."""
    catalog = scene.field.compiled.catalog
    slots = [sorted(catalog.controllers), sorted(catalog.breakers), sorted(catalog.switches)]
    if not all(slots):
        return []
    looked_at = {"feed.breaker": 1, "feed.switch": 2}.get(name.partition("-")[0], 0)
    varied = [
        slot[: 8 * MOST_TRIED if number == looked_at and name.startswith("feed.") else 1]
        for number, slot in enumerate(slots)
    ]
    inputs = scene.field.question.assumptions.switch_inputs
    return [
        Fill(controller, breaker, switch, switch_count(inputs, catalog.switches[switch].buttons))
        for controller, breaker, switch in product(*varied)
    ]


def remarks_of(compiled: Compiled, question: Question, kits: Iterable[KitFound]) -> tuple[str, ...]:
    """What is worth saying beside the verdict, as codes."""
    parts = compiled.catalog.parts
    skus = {sku for kit in kits for sku in kit.kit.skus()}
    found = []
    if any(parts[sku].status is Status.LAST_TIME_BUY for sku in skus):
        found.append("last-time-buy")
    if any(gone(compiled, question, old) for sku in skus for old in compiled.in_place_of.get(sku, ())):
        found.append("takes-the-place-of-a-withdrawn-part")
    if any(kit.price is None for kit in kits):
        found.append("unpriced")
    if any(kit.circumstances and _plug_to_draw(compiled, kit) for kit in kits):
        found.append("plug-to-draw")
    return tuple(found)


def gone(compiled: Compiled, question: Question, sku: str) -> bool:
    """Whether a part is withdrawn at the question's date."""
    part = compiled.catalog.parts[sku]
    on = part.withdrawn_on
    return part.status is Status.WITHDRAWN and (on is None or on <= question.as_of)


def _plug_to_draw(compiled: Compiled, kit: KitFound) -> bool:
    runs = compiled.catalog.runs
    return any(
        one.plug_present and one.run is not None and runs[one.run].plug is not Plug.NONE
        for one in kit.circumstances
    )
