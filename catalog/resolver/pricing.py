"""What a kit costs and when it is complete, at a date and in one currency. Nothing is converted."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from catalog.resolver.kits import Kit
from catalog.resolver.parts import Catalog, Part


def part_price(part: Part, currency: str, as_of: date) -> int | None:
    """The price in minor units that was in force at ``as_of``: the latest begun; None is unpriced."""
    begun = [price for price in part.prices if price.currency == currency and price.valid_from <= as_of]
    return max(begun, key=lambda price: price.valid_from).amount_minor if begun else None


def lines_price(catalog: Catalog, lines: Iterable[tuple[str, int]], currency: str, as_of: date) -> int | None:
    """The sum over (SKU, quantity); None as soon as one part is unpriced."""
    total = 0
    for sku, quantity in lines:
        price = part_price(catalog.parts[sku], currency, as_of)
        if price is None:
            return None
        total += price * quantity
    return total


def kit_price(catalog: Catalog, kit: Kit, currency: str, as_of: date) -> int | None:
    return lines_price(catalog, kit.lines(), currency, as_of)


def kit_lead_time_days(catalog: Catalog, kit: Kit) -> int | None:
    """The longest lead time of its parts; None when one is unknown."""
    days = [catalog.parts[sku].lead_time_days for sku in kit.skus()]
    known = [one for one in days if one is not None]
    return max(known) if len(known) == len(days) else None
