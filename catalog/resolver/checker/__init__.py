"""Is an answer proven? Verified without searching, and without a line of the search's own code.

``check`` reads an answer's list, cores and certificate, works every figure out again from the catalog, and
returns what it cannot bear out: plain sentences, each led by a code and a colon; an empty list means that
the answer is proven. Sums of lengths are whole numbers and must be right to the µm; a figure that comes from
a root or a sine may be 2 µm off, and where a sector's bound cuts a solid, "not free" may be 1 µm early.

A world is a place (run with exceptions, plug, voltages), a corner (depth, free radii, opening, pad), a deck
and a bearing of the datum (``ground.py``). A kit passes there exactly when three things hold, of which none
meddles with another: its standing figures pass in place and corner (``figures.py``), the deck lies in its
band, and some clocking leaves the motor free (``standing.py``, geometry in ``shapes.py``). So

- a *yes* is a set of rows (place, decks, bearings, kit, clocking), each verified at the tightest corner, and
  the rows fill each place's whole rectangle of decks and bearings (``cover.py``);
- a *no* is a row for each place, drive and hand; the kits that fail none of the row's checks at the widest
  corner must be none (``failures.py``);
- a *depends* is a world in which a kit passes and one for which such rows hold (``witness.py``).

Not looked at: whether a better kit was left out of the list, or a sure core; whether a cheaper kit than
``price_from`` or a world dearer than ``price_to`` exists; alternatives, reasons and remarks.
"""

from __future__ import annotations

from collections.abc import Iterator

from catalog.resolver.answer import Answer
from catalog.resolver.checker.cores import check_cores
from catalog.resolver.checker.cover import check_cover
from catalog.resolver.checker.failures import Extent, check_failures
from catalog.resolver.checker.ground import Corner, Ground
from catalog.resolver.checker.listed import check_list
from catalog.resolver.checker.prices import check_prices
from catalog.resolver.checker.witness import check_witnesses
from catalog.resolver.facts import survey_of
from catalog.resolver.parts import Catalog

__all__ = ["check"]

PROOFS = {
    "yes": ("cover",),
    "no": ("failures",),
    "depends": ("failures", "failing", "passing"),
}


def check(catalog: Catalog, answer: Answer) -> list[str]:
    """What an answer says and does not prove; nothing if all of it is proven.

    The answer must be one about ``catalog``. Raises ``FaultyInput`` where its question names a winch that
    the catalog does not have.
    """
    ground = Ground(catalog, answer.question, survey_of(answer.question, catalog))
    if answer.survey != ground.survey:
        return ["survey: the answer's worlds are not those of its question."]
    return [
        *_check_verdict(ground, answer),
        *check_list(ground, answer),
        *check_cores(ground, answer),
        *check_prices(ground, answer),
    ]


def _check_verdict(ground: Ground, answer: Answer) -> Iterator[str]:
    if answer.verdict not in PROOFS:
        yield f"verdict: there is no verdict {answer.verdict!r}."
        return
    yield from _check_kind(answer)
    if answer.verdict == "yes":
        yield from check_cover(ground, answer)
    elif answer.verdict == "no":
        extent = Extent(Corner.widest(ground.survey), ground.deck, ground.datums)
        rows = answer.certificate.failures
        yield from check_failures(ground, rows, ground.distinct_places(), extent)
    else:
        yield from check_witnesses(ground, answer)


def _check_kind(answer: Answer) -> Iterator[str]:
    """A certificate holds what its verdict rests on and nothing else, and so does the list."""
    for part in ("cover", "failures", "failing", "passing"):
        if getattr(answer.certificate, part) and part not in PROOFS[answer.verdict]:
            yield f"verdict: a {answer.verdict} has no {part} in its certificate."
    if answer.verdict != "yes" and any(found.in_cover for found in answer.kits):
        yield f"verdict: a {answer.verdict} has no cover for a kit to be in."
    if answer.verdict == "no" and (answer.kits or answer.cores):
        yield "verdict: a no lists kits or cores."
    if answer.verdict == "depends" and "sure" in _standings(answer):
        yield "verdict: a depends lists a sure kit or core."


def _standings(answer: Answer) -> set[str]:
    return {found.standing for found in answer.kits} | {found.standing for found in answer.cores}
