"""Findings about spacer stacks: flanges whose spacers make more stacks than can be tried."""

from collections.abc import Iterator
from math import comb

from catalog.lint.finding import Finding, error
from catalog.resolver.parts import Catalog, Flange, Spacer

MOST_STACKS = 100_000


def stack_findings(catalog: Catalog) -> Iterator[Finding]:
    for code, spacers in spacers_by_flange(catalog).items():
        count = stacks_of(catalog.flanges[code], len(spacers))
        if count > MOST_STACKS:
            yield error(
                "too-many-stacks",
                code,
                f"The {len(spacers)} spacers of the flange {code} make {count:,} stacks of up to "
                f"{catalog.flanges[code].max_spacers}; more than {MOST_STACKS:,} cannot be tried.",
            )


def spacers_by_flange(catalog: Catalog) -> dict[str, list[Spacer]]:
    found: dict[str, list[Spacer]] = {}
    for spacer in catalog.spacers.values():
        found.setdefault(spacer.flange, []).append(spacer)
    return found


def stacks_of(flange: Flange, spacers: int) -> int:
    """How many stacks so many kinds of spacers make within the flange's number of pieces, thickness aside.

    Of n kinds, with repetition and up to k pieces: C(n + k, k). Three kinds, up to two pieces: 10.
    """
    return comb(spacers + flange.max_spacers, flange.max_spacers)
