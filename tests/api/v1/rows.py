"""The demo's rows as its package has them, and what requests cost."""

import csv
from typing import Any

from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.utils.http import urlencode

from shared.places import PROJECT

TABLES = {
    "makers": "makers",
    "winch-families": "families",
    "winch-models": "models",
    "production-runs": "runs",
    "base-patterns": "base_patterns",
    "spindles": "spindles",
    "flanges": "flanges",
    "couplings": "couplings",
    "parts": "parts",
    "exceptions": "exceptions",
}
"""Where the demo has the rows of each list."""


def rows_of(name: str) -> list[dict[str, str]]:
    with (PROJECT / "fixtures" / "catalog" / f"{TABLES.get(name, name)}.csv").open() as file:
        return list(csv.DictReader(file))


def every(client: Client, name: str, **query: Any) -> list[dict[str, Any]]:
    """The items of all pages."""
    found, address = [], f"/api/v1/{name}?{urlencode(query, doseq=True)}"
    while address:
        page = client.get(address).json()
        found += page["items"]
        address = page["next"]
    return found


def keys(items: list[dict[str, Any]]) -> list[Any]:
    return [next(iter(item.values())) for item in items]


def as_text(value: object) -> str:
    """A value as a cell of the package has it."""
    if value is None:
        return ""
    return str(value).lower() if isinstance(value, bool) else str(value)


def reads(queries: CaptureQueriesContext) -> int:
    """How many statements read the catalog. What a request costs anyway is not counted."""
    return sum("catalog_" in query["sql"] for query in queries.captured_queries)
