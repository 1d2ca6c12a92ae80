"""Findings about production runs."""

from collections.abc import Iterator
from itertools import combinations

from catalog.lint.finding import Finding, error, warning
from catalog.resolver.facts import serial_key
from catalog.resolver.parts import Catalog, Run, SerialRule


def run_findings(catalog: Catalog) -> Iterator[Finding]:
    by_model: dict[str, list[Run]] = {}
    for run in catalog.runs.values():
        by_model.setdefault(run.model, []).append(run)
    for model in catalog.models.values():
        if model.code not in by_model:
            yield warning("model-without-runs", model.code, f"The model {model.code} has no production run.")
    for runs in by_model.values():
        for first, second in combinations(sorted(runs, key=lambda run: (run.year_from, run.code)), 2):
            yield from _overlaps(first, second)


def _overlaps(first: Run, second: Run) -> Iterator[Finding]:
    apart_by_serial = _serials_apart(first, second)
    if apart_by_serial is False:
        yield error(
            "runs-share-serials",
            second.code,
            f"The runs {first.code} and {second.code} of {first.model} share serials, "
            "so that a serial does not say which run a winch is of.",
        )
    elif apart_by_serial is None and _share_years(first, second):
        yield warning(
            "runs-share-years",
            second.code,
            f"The runs {first.code} and {second.code} of {first.model} share years, "
            "and their serials do not tell them apart.",
        )


def _share_years(first: Run, second: Run) -> bool:
    return (first.year_to is None or second.year_from <= first.year_to) and (
        second.year_to is None or first.year_from <= second.year_to
    )


def _serials_apart(first: Run, second: Run) -> bool | None:
    """True: no serial is of both; False: some is; None: their serials do not compare, or are not stated."""
    if first.serial_rule is not second.serial_rule or first.serial_rule is SerialRule.NONE:
        return None
    bounds = [
        (serial_key(run.serial_rule, run.serial_from), serial_key(run.serial_rule, run.serial_to))
        for run in (first, second)
    ]
    if (None, None) in bounds:
        return None
    (low_1, high_1), (low_2, high_2) = bounds
    return (high_1 is not None and low_2 is not None and high_1 < low_2) or (
        high_2 is not None and low_1 is not None and high_2 < low_1
    )
