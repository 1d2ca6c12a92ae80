"""Feed: do motor, controller, breaker and switches suit the boat's voltages and each other?

Cable and battery are not looked at here. A breaker must carry the drive's peak current for the longest
press by its own trip rows, be no larger than the drive allows, and stand the voltage of the charging
system. Worked example: a breaker of 100 A whose rows say 200 % trips no sooner than 30 s carries 200 A
through a press of 15 s; a peak of 180 A leaves 20 A.
"""

from __future__ import annotations

import math

from catalog.resolver.facts import Direction
from catalog.resolver.kits import Case, Check, verdict_check
from catalog.resolver.parts import TripRow

READS = {"motor_voltage_mv": Direction.SET, "control_voltage_mv": Direction.SET}

CHARGING_MV = {12_000: 15_000, 24_000: 30_000, 48_000: 60_000}
"""What a device must stand: a bank under charge, with room (common practice: 48 V charges near 57 V)."""


def charging_voltage_mv(motor_voltage_mv: int) -> int:
    """The voltage that devices on a bank of this nominal voltage must be rated for."""
    return CHARGING_MV.get(motor_voltage_mv, motor_voltage_mv * 5 // 4)


def carry_percent(trips: tuple[TripRow, ...], press_ms: int) -> int:
    """The greatest whole percentage of its rating that a breaker surely carries for ``press_ms``.

    At 100 % it carries for good (a breaker does not trip at its rating). Beyond, its rows tell: up to the
    first row as at the first, between rows by a straight line on log-log axes, rounded down, and past the
    last row nothing is known.
    """
    best = 100
    previous: TripRow | None = None
    for row in sorted(trips, key=lambda one: one.percent):
        if row.earliest_ms >= press_ms:
            best = max(best, row.percent)
        else:
            if previous is not None and row.earliest_ms > 0:
                best = max(best, _between(previous, row, press_ms))
            break
        previous = row
    return best


def _between(longer: TripRow, shorter: TripRow, press_ms: int) -> int:
    share = math.log(press_ms / longer.earliest_ms) / math.log(shorter.earliest_ms / longer.earliest_ms)
    percent: float = longer.percent * (shorter.percent / longer.percent) ** share
    return math.floor(percent - 1e-6)


def switch_count(switch_inputs: int, buttons: int) -> int:
    """How many switches of so many buttons give the inputs wanted."""
    return -(-switch_inputs // buttons)


def feed(case: Case) -> list[Check]:
    drive, world = case.drive, case.world
    motor = {"drive": drive.sku, "motor_mv": drive.motor_voltage_mv, "boat_mv": world.motor_voltage_mv}
    return [
        verdict_check(
            "feed", "motor-voltage", passed=drive.motor_voltage_mv == world.motor_voltage_mv, **motor
        ),
        *_controller(case),
        *_breaker(case),
        *_switches(case),
    ]


def _controller(case: Case) -> list[Check]:
    controller, drive = case.catalog.controllers[case.kit.fill.controller], case.drive
    control_mv, wanted = case.world.control_voltage_mv, case.question.assumptions.switch_inputs
    suits = (
        drive.motor_voltage_mv in controller.motor_voltages_mv and controller.motor_leads == drive.motor_leads
    )
    current = {
        "controller": controller.sku,
        "peak_ma": drive.peak_current_ma,
        "most_ma": controller.max_current_ma,
    }
    inputs = controller.inputs - wanted if controller.plain_switches else -wanted
    runs = control_mv in controller.control_voltages_mv
    return [
        verdict_check("feed", "controller-motor", passed=suits, controller=controller.sku, drive=drive.sku),
        Check("feed", "controller-current", controller.max_current_ma - drive.peak_current_ma, "ma", current),
        verdict_check(
            "feed", "control-voltage", passed=runs, controller=controller.sku, control_mv=control_mv
        ),
        Check("feed", "controller-inputs", inputs, "count", {"controller": controller.sku, "wanted": wanted}),
    ]


def _breaker(case: Case) -> list[Check]:
    breaker, drive = case.catalog.breakers[case.kit.fill.breaker], case.drive
    press_ms = case.question.assumptions.press_seconds * 1000
    carried = breaker.rating_ma * carry_percent(breaker.trips, press_ms) // 100
    needed_mv = charging_voltage_mv(drive.motor_voltage_mv)
    carry = {
        "breaker": breaker.sku,
        "carries_ma": carried,
        "peak_ma": drive.peak_current_ma,
        "press_ms": press_ms,
    }
    size = {"breaker": breaker.sku, "rating_ma": breaker.rating_ma, "largest_ma": drive.largest_breaker_ma}
    volts = {"breaker": breaker.sku, "rated_mv": breaker.max_voltage_mv, "needed_mv": needed_mv}
    return [
        Check("feed", "breaker-carry", carried - drive.peak_current_ma, "ma", carry),
        Check("feed", "breaker-size", drive.largest_breaker_ma - breaker.rating_ma, "ma", size),
        Check("feed", "breaker-voltage", breaker.max_voltage_mv - needed_mv, "mv", volts),
    ]


def _switches(case: Case) -> list[Check]:
    switch, fill = case.catalog.switches[case.kit.fill.switch], case.kit.fill
    wanted = switch_count(case.question.assumptions.switch_inputs, switch.buttons)
    volts = {
        "switch": switch.sku,
        "rated_mv": switch.max_voltage_mv,
        "control_mv": case.world.control_voltage_mv,
    }
    return [
        Check("feed", "switch-voltage", switch.max_voltage_mv - case.world.control_voltage_mv, "mv", volts),
        Check(
            "feed", "switch-count", fill.switches - wanted, "count", {"switch": switch.sku, "wanted": wanted}
        ),
    ]
