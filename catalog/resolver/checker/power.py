"""Duty and feed, said once more: torque, pull, current, voltage."""

from __future__ import annotations

import math
from itertools import takewhile

from catalog.resolver.checker.ground import Ground, Place
from catalog.resolver.checker.values import Figure, fact
from catalog.resolver.parts import Breaker, Controller, Drive, Switch, TripRow

LEFT_AT_MOST, LEFT_AT_LEAST = 90, 65
"""Percent of the pull that a maintained winch leaves, and a neglected one."""
UNDER_CHARGE_MV = {12_000: 15_000, 24_000: 30_000, 48_000: 60_000}
NOISE = 1e-6
"""What the last digits of a logarithm may add to a percentage."""


def drive_figures(ground: Ground, drive: Drive, place: Place) -> list[Figure]:
    model, assumed = ground.model, ground.question.assumptions
    # Pull without loss is torque x ratio / radius: mN·m x thousandths / µm gives newtons.
    doubled = 2 * drive.torque_mnm * model.gear_ratios_milli[-1]
    hundredfold = 100 * model.drum_diameter_um
    strongest, weakest = _up(doubled * LEFT_AT_MOST, hundredfold), doubled * LEFT_AT_LEAST // hundredfold
    needed = _up(model.working_load_n * assumed.least_pull_percent, 100)
    return [
        Figure("duty.torque", model.spindle_torque_max_mnm - drive.torque_mnm),
        Figure("duty.working-load", model.working_load_n - strongest),
        Figure("duty.pull", weakest - needed),
        fact("duty.gears", passed=drive.reversible or len(model.gear_ratios_milli) < 2),
        Figure("duty.press-time", drive.max_press_ms - 1_000 * assumed.press_seconds),
        fact("feed.motor-voltage", passed=drive.motor_voltage_mv == place.motor_mv),
    ]


def _up(number: int, divisor: int) -> int:
    """A quotient of whole numbers, rounded up."""
    return (number + divisor - 1) // divisor


def controller_figures(ground: Ground, controller: Controller, drive: Drive, place: Place) -> list[Figure]:
    wanted = ground.question.assumptions.switch_inputs
    inputs = controller.inputs if controller.plain_switches else 0
    suits = drive.motor_leads == controller.motor_leads
    suits = suits and drive.motor_voltage_mv in controller.motor_voltages_mv
    return [
        fact("feed.controller-motor", passed=suits),
        Figure("feed.controller-current", controller.max_current_ma - drive.peak_current_ma),
        fact("feed.control-voltage", passed=place.control_mv in controller.control_voltages_mv),
        Figure("feed.controller-inputs", inputs - wanted),
    ]


def breaker_figures(ground: Ground, breaker: Breaker, drive: Drive) -> list[Figure]:
    percent = carried_percent(breaker.trips, 1_000 * ground.question.assumptions.press_seconds)
    most, least = (breaker.rating_ma * math.floor(percent + by) // 100 for by in (NOISE, -2 * NOISE))
    volts = UNDER_CHARGE_MV.get(drive.motor_voltage_mv, drive.motor_voltage_mv * 5 // 4)
    return [
        Figure("feed.breaker-carry", most - drive.peak_current_ma, most - least),
        Figure("feed.breaker-size", drive.largest_breaker_ma - breaker.rating_ma),
        Figure("feed.breaker-voltage", breaker.max_voltage_mv - volts),
    ]


def carried_percent(trips: tuple[TripRow, ...], press_ms: int) -> float:
    """How much of its rating a breaker carries through a press, by the earliest times of its rows.

    Its own rating it carries for good. The greatest loads that rows vouch for are those that trip no sooner
    than the press ends; between the last such row and the next, a straight line on log-log axes.
    """
    rows = sorted(trips, key=lambda row: row.percent)
    holding = list(takewhile(lambda row: row.earliest_ms >= press_ms, rows))
    beyond = rows[len(holding) :]
    if not holding:
        return 100.0
    last = holding[-1]
    if not beyond or beyond[0].earliest_ms <= 0:
        return max(100.0, last.percent)
    following = beyond[0]
    # On the line from `last` to `following`, how far along is the press, on the axis of time?
    along = (math.log(last.earliest_ms) - math.log(press_ms)) / (
        math.log(last.earliest_ms) - math.log(following.earliest_ms)
    )
    logarithm = (1 - along) * math.log(last.percent) + along * math.log(following.percent)
    return max(100.0, last.percent, math.exp(logarithm))


def switch_figures(ground: Ground, switch: Switch, number: int, place: Place) -> list[Figure]:
    return [
        Figure("feed.switch-voltage", switch.max_voltage_mv - place.control_mv),
        Figure("feed.switch-count", number - switches_wanted(ground, switch)),
    ]


def switches_wanted(ground: Ground, switch: Switch) -> int:
    return _up(ground.question.assumptions.switch_inputs, switch.buttons)
