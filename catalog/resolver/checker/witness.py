"""The proof of a depends: one world of the survey in which a kit passes, and one in which none does."""

from __future__ import annotations

from collections.abc import Iterator

from catalog.resolver.answer import Answer
from catalog.resolver.checker.bearings import NOISE_UM, clockings
from catalog.resolver.checker.bill import kit_faults, named
from catalog.resolver.checker.failures import Extent, check_failures
from catalog.resolver.checker.figures import length_figures, standing_figures
from catalog.resolver.checker.ground import Corner, Ground, place_in, world_faults
from catalog.resolver.checker.shapes import TURN
from catalog.resolver.checker.values import failing
from catalog.resolver.facts import World
from catalog.resolver.kits import Kit, Setting


def check_witnesses(ground: Ground, answer: Answer) -> Iterator[str]:
    passing, failing_world = answer.certificate.passing, answer.certificate.failing
    if passing is None:
        yield "passing-missing: no world is shown in which a kit passes."
    else:
        yield from _check_passing(ground, *passing)
    if failing_world is None:
        yield "failing-missing: no world is shown in which no kit passes."
        return
    faults = list(world_faults(ground.survey, failing_world))
    if faults:
        yield f"failing-world: the survey does not allow its {', '.join(faults)}."
        return
    deck = failing_world.deck_thickness_um
    extent = Extent(Corner.of_world(failing_world), (deck, deck), 1 << failing_world.datum_ddeg)
    place = place_in(failing_world)
    yield from check_failures(ground, answer.certificate.failures, {place.key: place}, extent)


def _check_passing(ground: Ground, world: World, kit: Kit, setting: Setting) -> Iterator[str]:
    faults = list(world_faults(ground.survey, world))
    if faults:
        yield f"passing-world: the survey does not allow its {', '.join(faults)}."
        return
    kit_wrong = list(kit_faults(ground, kit))
    if kit_wrong:
        yield from (f"passing-kit: {named(kit)}: {fault}." for fault in kit_wrong)
        return
    yield from (f"passing-setting: {named(kit)}: {fault}." for fault in _setting_faults(ground, kit, setting))
    deck = world.deck_thickness_um
    figures = [
        *standing_figures(ground, kit, place_in(world), Corner.of_world(world)),
        *length_figures(ground, kit, place_in(world), (deck, deck), setting.cut_length_um),
    ]
    fails = failing(figures)
    around = ground.surroundings(kit.core.drive, kit.core.hand)
    if around.room_um(world.datum_ddeg + setting.clocking_ddeg, world.free_radius) < -NOISE_UM:
        fails.append("space.free-radius")
    if fails:
        yield f"passing-kit: {named(kit)} fails {', '.join(fails)} in the world in which it is to pass."


def _setting_faults(ground: Ground, kit: Kit, setting: Setting) -> Iterator[str]:
    drive, shaft = ground.catalog.drives[kit.core.drive], ground.catalog.shafts[kit.core.shaft]
    clocking = setting.clocking_ddeg
    if not 0 <= clocking < TURN or not clockings(drive) >> clocking & 1:
        yield f"{drive.sku} may not be bolted at {clocking}"
    if shaft.cut != (setting.cut_length_um is not None):
        yield f"{shaft.sku} is {'' if shaft.cut else 'not '}cut to length"
