"""Findings about exceptions: rulings that contradict one another, or that nothing can be decided by."""

from collections.abc import Iterator
from itertools import combinations

from catalog.lint.finding import Finding, error, warning
from catalog.resolver.facts import SerialKey, serial_key
from catalog.resolver.kits import stands_for
from catalog.resolver.parts import (
    Catalog,
    CatalogException,
    ExceptionKind,
    Lifts,
    PartKind,
    Run,
    SerialRule,
)

STACK = frozenset({PartKind.SPACER, PartKind.WEDGE})
SLOTS = frozenset({PartKind.CONTROLLER, PartKind.BREAKER, PartKind.SWITCH})

Scope = dict[str, tuple[SerialKey | None, SerialKey | None]]
"""By run: the stretch of its serials that a ruling is for; None is an open end."""


def ruling_findings(catalog: Catalog) -> Iterator[Finding]:
    runs = _runs_by_scope(catalog)
    scopes = {ruling.code: _scope(ruling, runs) for ruling in catalog.exceptions}
    for ruling in catalog.exceptions:
        yield from _alone(catalog, ruling, runs)
    for first, second in _pairs(catalog):
        yield from _together(catalog, first, second, scopes)


# --- one ruling ---------------------------------------------------------------------------------------------


def _alone(
    catalog: Catalog, ruling: CatalogException, runs: dict[tuple[str, str], list[Run]]
) -> Iterator[Finding]:
    concerned = runs.get(_scope_key(ruling), [])
    if not concerned:
        yield warning(
            "exception-without-runs", ruling.code, f"The exception {ruling.code} concerns no production run."
        )
    for run in concerned:
        yield from _unreadable(ruling, run)
    if ruling.lifts is Lifts.MATING and catalog.parts[ruling.sku].kind is not PartKind.ADAPTER:
        yield error(
            "mating-allowance-without-adapter",
            ruling.code,
            f"The exception {ruling.code} lifts mating for {ruling.sku}, which is no adapter; "
            "only an adapter's mating with a base pattern can be lifted.",
        )
    tied = _tied(catalog, ruling)
    if tied & STACK and tied & SLOTS:
        yield error(
            "exception-ties-stack-to-slot",
            ruling.code,
            f"The exception {ruling.code} ties a part of the stack to a controller, breaker or switch; "
            "the two are chosen independently.",
        )


def _unreadable(ruling: CatalogException, run: Run) -> Iterator[Finding]:
    given = [bound for bound in (ruling.serial_from, ruling.serial_to) if bound]
    if run.serial_rule is SerialRule.NONE:
        if given:
            yield warning(
                "exception-serials-without-rule",
                ruling.code,
                f"The exception {ruling.code} names serials, and those of the run {run.code} do not compare: "
                "it may concern any of them.",
            )
        return
    for bound in given:
        if serial_key(run.serial_rule, bound) is None:
            yield error(
                "unreadable-exception-serial",
                ruling.code,
                f"The exception {ruling.code} names the serial {bound}, "
                f"which the rule {run.serial_rule} of the run {run.code} cannot read.",
            )


def _tied(catalog: Catalog, ruling: CatalogException) -> set[PartKind]:
    skus = {ruling.sku}
    if ruling.with_sku:
        required = ruling.kind is ExceptionKind.REQUIRE
        skus |= stands_for(catalog, ruling.with_sku) if required else {ruling.with_sku}
    return {catalog.parts[sku].kind for sku in skus}


# --- two rulings --------------------------------------------------------------------------------------------


def _pairs(catalog: Catalog) -> Iterator[tuple[CatalogException, CatalogException]]:
    """Pairs that name a part in common, each once."""
    naming: dict[str, list[CatalogException]] = {}
    for ruling in catalog.exceptions:
        for sku in {ruling.sku, ruling.with_sku} - {""}:
            naming.setdefault(sku, []).append(ruling)
    seen = set()
    for sku in sorted(naming):
        for pair in combinations(naming[sku], 2):
            codes = (pair[0].code, pair[1].code)
            if codes not in seen:
                seen.add(codes)
                yield pair


def _together(
    catalog: Catalog, first: CatalogException, second: CatalogException, scopes: dict[str, Scope]
) -> Iterator[Finding]:
    for forbidding, other in ((first, second), (second, first)):
        if forbidding.kind is not ExceptionKind.FORBID or not _clash(catalog, forbidding, other):
            continue
        forbidden, ruled = scopes[forbidding.code], scopes[other.code]
        if not _overlap(forbidden, ruled):
            continue
        sentence = (
            f"The exception {forbidding.code} forbids what {other.code} {_VERBS[other.kind]}"
            f"{'' if _covers(forbidden, ruled) else ' for some of the same winches'}."
        )
        if _covers(forbidden, ruled):
            yield error("contradictory-exceptions", other.code, sentence)
        else:
            yield warning("overlapping-exceptions", other.code, sentence)


_VERBS = {ExceptionKind.ALLOW: "allows", ExceptionKind.REQUIRE: "requires"}


def _clash(catalog: Catalog, forbidding: CatalogException, other: CatalogException) -> bool:
    """Whether the ban, where it holds, leaves the other ruling without effect."""
    if other.kind is ExceptionKind.ALLOW:
        return forbidding.sku == other.sku and not forbidding.with_sku
    if other.kind is ExceptionKind.FORBID:
        return False
    if not forbidding.with_sku:
        return forbidding.sku == other.sku or {forbidding.sku} == stands_for(catalog, other.with_sku)
    together = {other.sku, other.with_sku}
    return {forbidding.sku, forbidding.with_sku} == together and len(stands_for(catalog, other.with_sku)) == 1


# --- for which winches --------------------------------------------------------------------------------------


def _runs_by_scope(catalog: Catalog) -> dict[tuple[str, str], list[Run]]:
    found: dict[tuple[str, str], list[Run]] = {}
    for run in catalog.runs.values():
        family = catalog.models[run.model].family
        for scope in (("run", run.code), ("model", run.model), ("family", family)):
            found.setdefault(scope, []).append(run)
    return found


def _scope_key(ruling: CatalogException) -> tuple[str, str]:
    if ruling.run:
        return "run", ruling.run
    return ("model", ruling.model) if ruling.model else ("family", ruling.family)


def _scope(ruling: CatalogException, runs: dict[tuple[str, str], list[Run]]) -> Scope:
    return {
        run.code: (
            serial_key(run.serial_rule, ruling.serial_from),
            serial_key(run.serial_rule, ruling.serial_to),
        )
        for run in runs.get(_scope_key(ruling), [])
    }


def _overlap(first: Scope, second: Scope) -> bool:
    return any(_meet(first[run], second[run]) for run in first.keys() & second.keys())


def _meet(
    first: tuple[SerialKey | None, SerialKey | None], second: tuple[SerialKey | None, SerialKey | None]
) -> bool:
    apart = [
        low is not None and high is not None and high < low
        for low, high in ((first[0], second[1]), (second[0], first[1]))
    ]
    return not any(apart)


def _covers(wide: Scope, narrow: Scope) -> bool:
    """Whether every winch of ``narrow`` is among those of ``wide``."""
    return bool(narrow) and all(run in wide and _encloses(wide[run], narrow[run]) for run in narrow)


def _encloses(
    wide: tuple[SerialKey | None, SerialKey | None], narrow: tuple[SerialKey | None, SerialKey | None]
) -> bool:
    low = wide[0] is None or (narrow[0] is not None and wide[0] <= narrow[0])
    high = wide[1] is None or (narrow[1] is not None and narrow[1] <= wide[1])
    return low and high
