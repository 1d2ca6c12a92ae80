"""The range of prices, as far as the list and the cover bear it out."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from catalog.resolver.answer import Answer
from catalog.resolver.checker.bill import kit_faults, price_minor
from catalog.resolver.checker.ground import Ground
from catalog.resolver.kits import Kit


def check_prices(ground: Ground, answer: Answer) -> Iterator[str]:
    """Bounds only: that no kit is cheaper, and no world dearer, is not known without searching."""
    low, high = answer.price_from, answer.price_to
    if answer.verdict == "no" and (low is not None or high is not None):
        yield "price-none: where no kit passes there is no price."
    if high is not None and (answer.verdict != "yes" or low is None or high < low):
        yield f"price-to: a {answer.verdict} has no prices from {low} to {high}."
    prices = _priced(ground, (found.kit for found in answer.kits))
    if prices and (low is None or low > min(prices)):
        yield f"price-from: a listed kit costs {min(prices)}, which is less than {low}."
    bounds = _upper_bounds(ground, answer) if answer.verdict == "yes" else []
    if bounds and (high is None or high > min(bounds)):
        yield f"price-to: in every world some kit costs at most {min(bounds)}, so {high} is too dear."


def _upper_bounds(ground: Ground, answer: Answer) -> list[int]:
    """What no world's cheapest kit can be dearer than: a sure kit, and the dearest kit of the cover."""
    bounds = _priced(ground, (found.kit for found in answer.kits if found.standing == "sure"))
    covering = {row.kit for row in answer.certificate.cover}
    prices = _priced(ground, covering)
    return [*bounds, max(prices)] if prices and len(prices) == len(covering) else bounds


def _priced(ground: Ground, kits: Iterable[Kit]) -> list[int]:
    """The prices of those kits that exist and have one."""
    prices = [price_minor(ground, kit.lines()) for kit in kits if not any(kit_faults(ground, kit))]
    return [price for price in prices if price is not None]
