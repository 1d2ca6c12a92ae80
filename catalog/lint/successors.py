"""Findings about supersession."""

from collections.abc import Iterator

from catalog.lint.finding import Finding, error, warning
from catalog.resolver.parts import Catalog


def successor_findings(catalog: Catalog) -> Iterator[Finding]:
    for one in catalog.supersessions:
        old, new = catalog.parts[one.old], catalog.parts[one.new]
        if old.kind is not new.kind:
            yield error(
                "supersession-of-another-kind",
                one.old,
                f"{one.new}, a {new.kind}, is to take the place of {one.old}, a {old.kind}.",
            )
    for ring in _rings(catalog):
        yield error(
            "supersession-cycle",
            ring[0],
            f"One-way supersession goes round in a circle: {' → '.join((*ring, ring[0]))}.",
        )
    yield from _both_ways(catalog)


def _both_ways(catalog: Catalog) -> Iterator[Finding]:
    stated = {(one.old, one.new) for one in catalog.supersessions}
    for one in catalog.supersessions:
        if one.two_way and (one.new, one.old) in stated and one.old < one.new:
            yield warning(
                "supersession-stated-twice",
                one.old,
                f"That {one.old} and {one.new} stand for each other is stated in two rows.",
            )


def _rings(catalog: Catalog) -> Iterator[tuple[str, ...]]:
    """Circles that a one-way row closes, each once, from its first SKU on. Two-way rows lead both ways."""
    onward: dict[str, set[str]] = {}
    for one in catalog.supersessions:
        onward.setdefault(one.old, set()).add(one.new)
        if one.two_way:
            onward.setdefault(one.new, set()).add(one.old)
    told: set[frozenset[str]] = set()
    for one in catalog.supersessions:
        if one.two_way:
            continue
        back = _way(onward, one.new, one.old)
        if back and frozenset(back) not in told:
            told.add(frozenset(back))
            start = back.index(min(back))
            yield (*back[start:], *back[:start])


def _way(onward: dict[str, set[str]], start: str, end: str) -> tuple[str, ...]:
    """A shortest way from start to end, both included; empty when there is none."""
    before: dict[str, str] = {start: ""}
    waiting = [start]
    for here in waiting:
        if here == end:
            way = [here]
            while before[way[-1]]:
                way.append(before[way[-1]])
            return tuple(reversed(way))
        for there in sorted(onward.get(here, ())):
            if there not in before:
                before[there] = here
                waiting.append(there)
    return ()
