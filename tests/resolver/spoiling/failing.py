"""Spoiling the failure rows of a no or a depends."""

from random import Random

from catalog.resolver import parts
from catalog.resolver.answer import Answer, FailureRow
from catalog.resolver.parts import Hand
from tests.resolver.spoiling.common import one_of, with_certificate, with_failure

PASS_FOR_CANDIDATES = ("reach.flange", "reach.spindle", "reach.handing-kit", "feed.switch-count")
"""What every kit with a candidate passes, or it would be none."""


OF_THE_WINCH = {"era.replace-only", "reach.plug"}


def _failure(rng: Random, answer: Answer) -> FailureRow | None:
    return one_of(rng, [row for row in answer.certificate.failures if row.drive])


def failure_row_dropped(rng: Random, catalog: parts.Catalog, answer: Answer) -> Answer | None:
    row = one_of(rng, list(answer.certificate.failures))
    if row is None:
        return None
    rows = tuple(one for one in answer.certificate.failures if one is not row)
    return with_certificate(answer, failures=rows)


def failing_check_replaced(rng: Random, catalog: parts.Catalog, answer: Answer) -> Answer | None:
    row = _failure(rng, answer)
    if row is None:
        return None
    return with_failure(answer, row, fails=(rng.choice(PASS_FOR_CANDIDATES),))


def failing_check_forgotten(rng: Random, catalog: parts.Catalog, answer: Answer) -> Answer | None:
    row = _failure(rng, answer)
    return None if row is None else with_failure(answer, row, fails=())


def missing_link_replaced(rng: Random, catalog: parts.Catalog, answer: Answer) -> Answer | None:
    """Another link than the first that is missing. A winch that takes no kit at all may lack links too."""
    rows = [row for row in answer.certificate.failures if not row.drive]
    row = one_of(rng, [row for row in rows if not OF_THE_WINCH.intersection(row.fails)])
    if row is None:
        return None
    others = {"reach.base-pattern", "reach.spindle", "wishes.unmet", "era.run-serial"} - set(row.fails)
    return with_failure(answer, row, fails=(rng.choice(sorted(others)),))


def failing_drive_renamed(rng: Random, catalog: parts.Catalog, answer: Answer) -> Answer | None:
    row = _failure(rng, answer)
    other = None if row is None else one_of(rng, [sku for sku in catalog.drives if sku != row.drive])
    return None if row is None or other is None else with_failure(answer, row, drive=other)


def failing_hand_turned(rng: Random, catalog: parts.Catalog, answer: Answer) -> Answer | None:
    row = _failure(rng, answer)
    if row is None:
        return None
    return with_failure(answer, row, hand=rng.choice([hand for hand in Hand if hand is not row.hand]))
