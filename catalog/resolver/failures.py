"""Why no kit passes: for each drive in a hand, checks of which every kit with it fails at least one.

Asked at one corner and over a stretch of deck and datum: the whole survey at its widest for a ``no``, a
single world for the failing half of a ``depends``.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from catalog.resolver.answer import Circumstance, FailureRow
from catalog.resolver.compile import FILL_KINDS, Bools, Ints
from catalog.resolver.field import ERA_CODES, STACK_KINDS, Corner, Field
from catalog.resolver.fills import Fills
from catalog.resolver.gates.era import no_run_check
from catalog.resolver.gates.feed import charging_voltage_mv
from catalog.resolver.kits import wished
from catalog.resolver.parts import Drive, DriveHand, Hand, PartKind
from catalog.resolver.scene import Scene


def failure_rows(scene: Scene, at: Corner, datum: Ints, first: int, last: int) -> Iterator[FailureRow]:
    """One row for each drive and hand; a single one where no candidate is left to speak of."""
    field, circumstance = scene.field, scene.circumstance
    group = field.group
    if group is None:
        yield FailureRow(circumstance, "", Hand.NONE, (no_run_check(field.question, field.runs).name,))
        return
    if not field.compiled.catalog.families[field.survey.model.family].convertible:
        yield FailureRow(circumstance, "", Hand.NONE, ("era.replace-only",))
        return
    yield from _without_handing_kit(field, circumstance)
    if not field.wished.any():
        yield FailureRow(circumstance, "", Hand.NONE, (missing_link(field),))
        return
    failing = [*field.constant_failures, *field.corner_failures(at, datum)]
    wished_sides = np.unique(group.side[field.wished]).tolist()
    for side in wished_sides:
        cores = np.flatnonzero(field.wished & (group.side == side))
        drive, hand = group.sides[side]
        yield FailureRow(circumstance, drive, hand, _fails(scene, cores, failing, at, first, last))


def _without_handing_kit(field: Field, circumstance: Circumstance) -> Iterator[FailureRow]:
    """Convertible drives that would be wished for in their other hand, and for which there is no handing
    kit.
    """
    catalog = field.compiled.catalog
    sides = field.group.sides if field.group is not None else ()
    for sku in dict.fromkeys(drive for drive, _ in sides):
        drive = catalog.drives[sku]
        other = Hand.LEFT if drive.supplied_hand is Hand.RIGHT else Hand.RIGHT
        convertible = drive.hand is DriveHand.CONVERTIBLE and (sku, other) not in sides
        if convertible and wished(field.question, drive, other):
            yield FailureRow(circumstance, sku, other, ("reach.handing-kit",))


def missing_link(field: Field) -> str:
    """Which link of the chain of mating parts is missing, or that the wishes leave none."""
    compiled, run = field.compiled, field.variant.run
    if field.group is not None and len(field.group):
        return "wishes.unmet"
    adapters = list(compiled.adapters_on.get(run.base_pattern, ())) if run is not None else []
    lifted = field.rules.mating_lifted
    adapters += [compiled.catalog.adapters[sku] for sku in sorted(lifted) if sku in compiled.catalog.adapters]
    if not adapters:
        return "reach.base-pattern"
    flanges = {one.flange for one in adapters}
    drives = [drive for flange in flanges for drive in compiled.joiner.drives_on.get(flange, ())]
    return "reach.spindle" if drives else "reach.flange"


def _fails(
    scene: Scene, cores: Ints, failing: list[tuple[str, Bools]], at: Corner, first: int, last: int
) -> tuple[str, ...]:
    """As few names as are needed: one check that fails every core of the side, if there is one."""
    field = scene.field
    drive = field.compiled.catalog.drives[field.core_of(int(cores[0])).drive]
    if drive.motor_voltage_mv != scene.motor_mv:
        return ("feed.motor-voltage",)
    for name, mask in failing:
        if mask[cores].all():
            return (name,)
    names: list[str] = []
    left = cores
    for name, mask in failing:
        if mask[left].any():
            names.append(name)
            left = left[~mask[left]]
    for core in left.tolist():
        names += _core_fails(scene, core, drive, at, first, last)
    return tuple(dict.fromkeys(names))


def _core_fails(scene: Scene, core: int, drive: Drive, at: Corner, first: int, last: int) -> list[str]:
    """The checks of which every completion of one core fails at least one."""
    field = scene.field
    if not any(scene.control_mv in fill.control_mv for fill in field.fills_of(core)):
        return slot_fails(field, drive, scene.control_mv)
    names = stack_fails(field, core)
    _, low, high, need = field.bands_of(core)
    deep = need > at.depth_um
    names += ["space.depth"] * bool(deep.any())
    short, long = low > last, high < first
    if not deep.all():
        names += ["reach.length-short"] * bool((short & ~deep).any())
        names += ["reach.length-long"] * bool((long & ~deep).any())
    return names


def stack_fails(field: Field, core: int) -> list[str]:
    """The checks by which some spacer stacks of a core are out whatever was measured."""
    group = field.group
    if group is None:
        return []
    flange = group.flanges[group.flange[core]]
    spacers = {sku for stack in field.compiled.stacks[flange].stacks[:-1] for sku, _ in stack.spacers}
    names = [name for sku in sorted(spacers) for name in era_names(field, sku)]
    return names + _ruling_names(field, STACK_KINDS)


def _ruling_names(field: Field, kinds: frozenset[PartKind]) -> list[str]:
    """The checks by which rulings that speak of such parts may rule a kit out."""
    return [f"era.exception-{one.kind}" for one in field.rules.on(kinds)]


def era_names(field: Field, sku: str) -> list[str]:
    """The checks by which a part may not be had at the date."""
    if field.usable(sku):
        return []
    bits = int(field.book.era[field.compiled.number[sku]])
    return [name for bit, name in ERA_CODES if bits & bit]


def slot_fails(field: Field, drive: Drive, control_mv: int) -> list[str]:
    """The checks of which every fill fails at least one, for a drive that no fill suits."""
    return list(dict.fromkeys(_slot_names(field, field.fills, drive, control_mv)))


def _slot_names(field: Field, fills: Fills, drive: Drive, control_mv: int) -> Iterator[str]:
    """Where no exception speaks of slots, one slot that nothing fills tells all; else every slot is looked
    at.
    """
    rulings = _ruling_names(field, FILL_KINDS)
    yield from rulings
    no_controller = not any(control_mv in one[3] for one in fills.controllers(drive))
    no_breaker = not fills.breakers(drive)
    if rulings or no_controller:
        for sku in sorted(field.compiled.catalog.controllers):
            yield from era_names(field, sku)[:1] or _controller_fails(field, sku, drive, control_mv)
    if rulings or (no_breaker and not no_controller):
        for row, sku in enumerate(field.compiled.slots.breakers):
            yield from era_names(field, sku)[:1] or _breaker_fails(field, row, drive)
    if rulings or not (no_controller or no_breaker):
        for sku, switch in sorted(field.compiled.catalog.switches.items()):
            too_low = switch.max_voltage_mv < control_mv
            yield from era_names(field, sku)[:1] or ["feed.switch-voltage"] * too_low


def _controller_fails(field: Field, sku: str, drive: Drive, control_mv: int) -> list[str]:
    """The first check of the feed gate that a controller fails for a drive."""
    controller = field.compiled.catalog.controllers[sku]
    suits = drive.motor_voltage_mv in controller.motor_voltages_mv
    if not suits or controller.motor_leads != drive.motor_leads:
        return ["feed.controller-motor"]
    if controller.max_current_ma < drive.peak_current_ma:
        return ["feed.controller-current"]
    if not controller.plain_switches or controller.inputs < field.question.assumptions.switch_inputs:
        return ["feed.controller-inputs"]
    return ["feed.control-voltage"] if control_mv not in controller.control_voltages_mv else []


def _breaker_fails(field: Field, row: int, drive: Drive) -> list[str]:
    """The first check of the feed gate that a breaker fails for a drive."""
    slots = field.compiled.slots
    if slots.breaker_voltage[row] < charging_voltage_mv(drive.motor_voltage_mv):
        return ["feed.breaker-voltage"]
    if slots.breaker_rating[row] > drive.largest_breaker_ma:
        return ["feed.breaker-size"]
    return ["feed.breaker-carry"] if field.fills.carried_ma[row] < drive.peak_current_ma else []
