"""Duty: is the drive neither too weak nor too strong for this winch, in its gears, for as long as it is
pressed?

Pull at the drum in the last gear = torque x gear ratio x (1 - loss) / drum radius. Friction is known as an
interval only (common practice: 10 % lost in a maintained winch, up to 35 %): the low loss counts for
overload, the high one for "will it pull". Worked example: 20 N·m, ratio 12.5, drum 80 mm: 6250 N without
loss, 5625 N at 10 %, 4062 N at 35 %.
"""

from __future__ import annotations

from catalog.resolver.facts import Direction
from catalog.resolver.kits import Case, Check, verdict_check

LOW_LOSS_PERCENT = 10
HIGH_LOSS_PERCENT = 35

READS: dict[str, Direction] = {}


def pull_n(torque_mnm: int, ratio_milli: int, drum_diameter_um: int, loss_percent: int) -> int:
    """Pull at the drum in whole newtons, rounded down."""
    return torque_mnm * ratio_milli * (100 - loss_percent) * 2 // (100 * drum_diameter_um)


def pull_at_most_n(torque_mnm: int, ratio_milli: int, drum_diameter_um: int, loss_percent: int) -> int:
    """Pull at the drum in whole newtons, rounded up: the safe side for an overload."""
    return -(-torque_mnm * ratio_milli * (100 - loss_percent) * 2 // (100 * drum_diameter_um))


def duty(case: Case) -> list[Check]:
    model, drive, assumed = case.model, case.drive, case.question.assumptions
    figures = (drive.torque_mnm, model.gear_ratios_milli[-1], model.drum_diameter_um)
    most, least = pull_at_most_n(*figures, LOW_LOSS_PERCENT), pull_n(*figures, HIGH_LOSS_PERCENT)
    needed = -(-model.working_load_n * assumed.least_pull_percent // 100)
    both_ways = drive.reversible or len(model.gear_ratios_milli) == 1
    press_ms = assumed.press_seconds * 1000
    torque = {"drive": drive.sku, "torque_mnm": drive.torque_mnm, "most_mnm": model.spindle_torque_max_mnm}
    pull = {"drive": drive.sku, "pull_n": most, "working_load_n": model.working_load_n}
    weak = {"drive": drive.sku, "pull_n": least, "needed_n": needed}
    press = {"drive": drive.sku, "press_ms": press_ms, "most_ms": drive.max_press_ms}
    return [
        Check("duty", "torque", model.spindle_torque_max_mnm - drive.torque_mnm, "mnm", torque),
        Check("duty", "working-load", model.working_load_n - most, "n", pull),
        Check("duty", "pull", least - needed, "n", weak),
        verdict_check("duty", "gears", passed=both_ways, drive=drive.sku, gears=len(model.gear_ratios_milli)),
        Check("duty", "press-time", drive.max_press_ms - press_ms, "ms", press),
    ]
