"""Powered winches in place of the old one: strong enough, geared as low, for the same rope, and on the pad
there is.

A replacement needs at least the old winch's working load and last-gear ratio; where the old one is
self-tailing, its rope range must be covered. Whether its base stands on the pad decides its verdict: on
every pad that the survey allows yes, on none no. Of those that are strong enough the smallest are shown,
also when the pad is too small for them.
"""

from __future__ import annotations

from collections.abc import Iterator

from catalog.resolver.answer import Alternative
from catalog.resolver.compile import UNPRICED, Book, Compiled
from catalog.resolver.definition import bounds
from catalog.resolver.facts import Survey
from catalog.resolver.kits import Check, verdict_check
from catalog.resolver.parts import PoweredWinch, WinchModel
from catalog.resolver.question import Question

MOST_SHOWN = 4


def alternatives_of(compiled: Compiled, question: Question, survey: Survey) -> tuple[Alternative, ...]:
    """The smallest powered winches that could do the old one's work, by size, then price, then SKU."""
    book = compiled.book(question.as_of, question.wishes.currency)
    volts = {motor for motor, _ in survey.voltages_mv}
    suited: list[PoweredWinch] = []
    others: list[PoweredWinch] = []
    for winch in compiled.powered_from(survey.model.working_load_n):
        if not book.era[compiled.number[winch.sku]] and does_the_work(winch, survey.model):
            (suited if winch.motor_voltage_mv in volts else others).append(winch)
            if len(suited) >= MOST_SHOWN * 2:
                break
    shown = suited or others[: MOST_SHOWN * 2]
    found = [_alternative(compiled, book, survey, winch) for winch in shown]
    found.sort(
        key=lambda one: (compiled.catalog.powered_winches[one.sku].size, one.price or UNPRICED, one.sku)
    )
    return tuple(found[:MOST_SHOWN])


def does_the_work(winch: PoweredWinch, old: WinchModel) -> bool:
    return all(check.passed for check in work_checks(winch, old))


def work_checks(winch: PoweredWinch, old: WinchModel) -> Iterator[Check]:
    """Working load, ratio and rope against the old winch."""
    load = {"winch": winch.sku, "working_load_n": winch.working_load_n, "old_n": old.working_load_n}
    yield Check("replacement", "working-load", winch.working_load_n - old.working_load_n, "n", load)
    ratio = {
        "winch": winch.sku,
        "ratio_milli": winch.last_gear_ratio_milli,
        "old_milli": old.gear_ratios_milli[-1],
    }
    yield Check(
        "replacement", "ratio", winch.last_gear_ratio_milli - old.gear_ratios_milli[-1], "thousandths", ratio
    )
    if old.self_tailing and old.rope_min_um is not None and old.rope_max_um is not None:
        yield _rope(winch, old.rope_min_um, old.rope_max_um)


def _rope(winch: PoweredWinch, rope_min_um: int, rope_max_um: int) -> Check:
    if winch.rope_min_um is None or winch.rope_max_um is None:
        return verdict_check("replacement", "rope", passed=False, winch=winch.sku)
    margin = min(rope_min_um - winch.rope_min_um, winch.rope_max_um - rope_max_um)
    return Check("replacement", "rope", margin, "um", {"winch": winch.sku})


def _alternative(compiled: Compiled, book: Book, survey: Survey, winch: PoweredWinch) -> Alternative:
    narrow, wide = bounds(survey.pad_diameter)
    base = winch.base_diameter_um
    volts = {motor for motor, _ in survey.voltages_mv}
    facts = {"winch": winch.sku, "base_um": base, "pad_um": narrow}
    motor = {"winch": winch.sku, "motor_mv": winch.motor_voltage_mv}
    never = base > wide or winch.motor_voltage_mv not in volts
    always = base <= narrow and volts == {winch.motor_voltage_mv}
    price, lead = int(book.price[compiled.number[winch.sku]]), int(book.lead[compiled.number[winch.sku]])
    return Alternative(
        sku=winch.sku,
        verdict="no" if never else "yes" if always else "depends",
        checks=(
            *work_checks(winch, survey.model),
            Check("replacement", "base", narrow - base, "um", facts),
            verdict_check("replacement", "motor-voltage", passed=winch.motor_voltage_mv in volts, **motor),
        ),
        price=None if price >= UNPRICED else price,
        lead_time_days=None if lead >= UNPRICED else lead,
    )
