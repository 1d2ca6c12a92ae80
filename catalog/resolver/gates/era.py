"""Era: is this winch of a production run that takes kits, may these parts be had at this date, what did a
keeper rule?

Years and serials choose the run beforehand (``facts.variants_of``); here a winch outside every run fails by
the years missing. An ``allow`` that lifts era lets a part pass whatever its dates and status. ``forbid``
beats ``require`` beats ``allow``: a forbidden part fails whatever else was ruled, and a required one must
be there or be stood for.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from catalog.resolver.facts import Direction
from catalog.resolver.kits import Case, Check, stands_for, verdict_check
from catalog.resolver.parts import CatalogException, ExceptionKind, Family, Lifts, Part, Run, Status
from catalog.resolver.question import Question

READS = {"variant": Direction.SET}


def era(case: Case) -> list[Check]:
    checks = _winch(case)
    for sku in sorted(case.kit.skus()):
        if not _allowed(case.world.variant.exceptions, sku):
            checks += part_checks(case.catalog.parts[sku], case.question.as_of)
    checks += [
        _ruled(case, one) for one in case.world.variant.exceptions if one.kind is not ExceptionKind.ALLOW
    ]
    return checks


def _winch(case: Case) -> list[Check]:
    checks = [replace_only_check(case.catalog.families[case.model.family])]
    if case.run is None:
        checks.append(no_run_check(case.question, _runs_of(case)))
    return checks


def replace_only_check(family: Family) -> Check:
    """Whether a family takes kits at all."""
    facts = {"family": family.name, "reason": family.replace_only_reason}
    return verdict_check("era", "replace-only", passed=family.convertible, **facts)


def _runs_of(case: Case) -> list[Run]:
    return [run for run in case.catalog.runs.values() if run.model == case.model.code]


def no_run_check(question: Question, runs: Iterable[Run]) -> Check:
    """By how many years the winch lies outside its model's production runs, or that its serial does."""
    runs = list(runs)
    year = question.winch.year
    if year is None or any(_years_missing(run, year) == 0 for run in runs):
        return verdict_check("era", "run-serial", passed=False, serial=question.winch.serial)
    nearest = min(runs, key=lambda run: (_years_missing(run, year), run.code), default=None)
    if nearest is None:
        return Check("era", "run-years", -1, "years", {"year": year, "run": None})
    facts = {"year": year, "run": nearest.code, "from": nearest.year_from, "to": nearest.year_to}
    return Check("era", "run-years", -_years_missing(nearest, year), "years", facts)


def _years_missing(run: Run, year: int) -> int:
    after = 0 if run.year_to is None else year - run.year_to
    return max(0, run.year_from - year, after)


def _allowed(exceptions: tuple[CatalogException, ...], sku: str) -> bool:
    return any(one.lifts is Lifts.ERA and one.sku == sku for one in exceptions)


def part_checks(part: Part, as_of: date) -> list[Check]:
    """Whether a part may be had at ``as_of``; margins in days."""
    checks = []
    if part.valid_from is not None:
        facts = {"sku": part.sku, "from": part.valid_from.isoformat()}
        checks.append(Check("era", "part-not-yet", (as_of - part.valid_from).days, "days", facts))
    if part.valid_to is not None:
        facts = {"sku": part.sku, "to": part.valid_to.isoformat()}
        checks.append(Check("era", "part-expired", (part.valid_to - as_of).days, "days", facts))
    if part.status is Status.WITHDRAWN:
        checks.append(_withdrawn(part, as_of))
    return checks


def _withdrawn(part: Part, as_of: date) -> Check:
    """A part is to be had until the day before it was withdrawn."""
    if part.withdrawn_on is None:
        return verdict_check("era", "part-withdrawn", passed=False, sku=part.sku)
    facts = {"sku": part.sku, "on": part.withdrawn_on.isoformat()}
    return Check("era", "part-withdrawn", (part.withdrawn_on - as_of).days - 1, "days", facts)


def _ruled(case: Case, ruling: CatalogException) -> Check:
    present = case.kit.skus()
    if ruling.kind is ExceptionKind.FORBID:
        broken = ruling.sku in present and (not ruling.with_sku or ruling.with_sku in present)
        code = "exception-forbid"
    else:
        broken = ruling.sku in present and not (present & stands_for(case.catalog, ruling.with_sku))
        code = "exception-require"
    facts = {"exception": ruling.code, "sku": ruling.sku, "with": ruling.with_sku, "reason": ruling.reason}
    return verdict_check("era", code, passed=not broken, **facts, document=ruling.document)
