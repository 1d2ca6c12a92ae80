"""Era, said once more: years and serials, dates of parts, and what keepers ruled."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from catalog.resolver.checker.ground import Ground, Place
from catalog.resolver.checker.values import Figure, fact
from catalog.resolver.parts import Catalog, CatalogException, ExceptionKind, Lifts, Run, Status


def run_figures(ground: Ground, place: Place) -> list[Figure]:
    """A winch outside every run fails by the years missing, or by its serial."""
    if place.run is not None:
        return []
    year = ground.question.winch.year
    runs = [run for run in ground.catalog.runs.values() if run.model == ground.model.code]
    missing = [] if year is None else [_years_outside(run, year) for run in runs]
    if year is None or 0 in missing:
        return [fact("era.run-serial", passed=False)]
    return [Figure("era.run-years", -min(missing, default=1))]


def _years_outside(run: Run, year: int) -> int:
    if year < run.year_from:
        return run.year_from - year
    return 0 if run.year_to is None or year <= run.year_to else year - run.year_to


def part_figures(ground: Ground, place: Place, sku: str) -> list[Figure]:
    """Whether a part is to be had at the question's date, in days; nothing if a keeper lets it pass."""
    if any(one.sku == sku and one.lifts is Lifts.ERA for one in place.variant.exceptions):
        return []
    part, as_of = ground.catalog.parts[sku], ground.question.as_of
    found = []
    if part.valid_from:
        found.append(Figure("era.part-not-yet", _days(part.valid_from, as_of)))
    if part.valid_to:
        found.append(Figure("era.part-expired", _days(as_of, part.valid_to)))
    if part.status is Status.WITHDRAWN:
        # The last day on which it is to be had is the one before it was withdrawn.
        left = _days(as_of, part.withdrawn_on) - 1 if part.withdrawn_on else -1
        found.append(Figure("era.part-withdrawn", left))
    return found


def _days(since: date, until: date) -> int:
    return until.toordinal() - since.toordinal()


def ruling_figures(ground: Ground, place: Place, skus: Iterable[str]) -> list[Figure]:
    """What is forbidden, and what is required, of a kit with these parts."""
    present = set(skus)
    return [
        fact(f"era.exception-{one.kind.value}", passed=not _broken(ground.catalog, one, present))
        for one in place.variant.exceptions
        if one.kind in (ExceptionKind.FORBID, ExceptionKind.REQUIRE)
    ]


def _broken(catalog: Catalog, ruling: CatalogException, present: set[str]) -> bool:
    if ruling.sku not in present:
        return False
    if ruling.kind is ExceptionKind.FORBID:
        return ruling.with_sku == "" or ruling.with_sku in present
    return present.isdisjoint(standing_for(catalog, ruling.with_sku))


def standing_for(catalog: Catalog, sku: str) -> set[str]:
    """A part and all that may take its place, in as many steps as it takes."""
    found = {sku}
    while True:
        more = {one.new for one in catalog.supersessions if one.old in found}
        more |= {one.old for one in catalog.supersessions if one.two_way and one.new in found}
        if more <= found:
            return found
        found |= more


def ruled_skus(catalog: Catalog, place: Place) -> set[str]:
    """Every part whose presence a ruling of this place looks at."""
    found: set[str] = set()
    for one in place.variant.exceptions:
        if one.kind is not ExceptionKind.ALLOW:
            found |= {one.sku} | (standing_for(catalog, one.with_sku) if one.with_sku else set())
    return found
