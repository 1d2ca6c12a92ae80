"""The catalog of ``one_kit.py``, priced and with a few more parts, asked with everything known unless said
otherwise. Lengths in µm, amounts in whole euros.
"""

from collections.abc import Iterable
from dataclasses import replace
from datetime import date
from typing import Any

from catalog.resolver.answer import Answer
from catalog.resolver.compile import compile_catalog
from catalog.resolver.parts import Adapter, Catalog, PartKind, Price
from catalog.resolver.question import read_question
from catalog.resolver.search import answer
from tests.resolver.drawn import LEAST, Json
from tests.resolver.one_kit import CATALOG, article

Row = tuple[str, Json]
"""An adapter's SKU and the fields in which it differs."""

LONG_AGO = date(2020, 1, 1)

KNOWN: Json = LEAST | {
    "winch": {"model": "capper-40", "year": 1995},
    "survey": {
        "deck_thickness": {"value": 38},
        "depth_below_deck": {"value": 240},
        "free_radius": [{"from": 0, "to": 360, "radius": {"value": 400}}],
        "datum_bearing": {"value": 30},
        "opening": {"round": {"value": 200}},
        "pad_diameter": {"value": 170},
    },
    "boat": {"motor_voltage": 12, "control_voltage": 12},
}


def answered(catalog: Catalog, *, survey: Json | None = None, **sections: Json) -> Answer:
    """The answer to ``KNOWN`` with some facts of the survey and some sections replaced."""
    known = KNOWN | {"survey": KNOWN["survey"] | (survey or {})}
    return answer(compile_catalog(catalog), read_question(known | sections))


def price(euros: int, valid_from: date = LONG_AGO, currency: str = "EUR") -> Price:
    return Price(currency, valid_from, euros * 100)


def priced(catalog: Catalog, **euros: int | None) -> Catalog:
    """The catalog with every part at 10 euros but those named; None is unpriced."""
    amounts = {sku: euros.get(sku, 10) for sku in catalog.parts}
    listed = {
        sku: replace(part, prices=() if (amount := amounts[sku]) is None else (price(amount),))
        for sku, part in catalog.parts.items()
    }
    return replace(catalog, parts=listed)


def with_adapters(rows: Iterable[Row], catalog: Catalog = CATALOG) -> Catalog:
    """The catalog with its adapter replaced by some like it, each with fields of the adapter or of the part.

    ``price`` is in euros, and without it there is none.
    """
    plain = catalog.adapters["ADAPTER"]
    adapters: dict[str, Adapter] = {}
    parts = dict(priced(catalog).parts)
    for sku, fields in rows:
        own: dict[str, Any] = {name: value for name, value in fields.items() if name in Adapter.__slots__}
        adapters[sku] = replace(plain, sku=sku, **own)
        more = {name: value for name, value in fields.items() if name not in own and name != "price"}
        amounts = (price(fields["price"]),) if "price" in fields else ()
        parts[sku] = article(sku, PartKind.ADAPTER, prices=amounts, **more)
    return replace(catalog, adapters=adapters, parts=parts)


def adapters_listed(found: Answer) -> list[str]:
    return [kit.kit.core.adapter for kit in found.kits]
