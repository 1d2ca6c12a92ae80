"""The tables of the catalog brought to what a package says, by what differs."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from enum import StrEnum
from itertools import batched
from typing import Any

from django.db import connection
from django.db.backends.utils import CursorWrapper

from catalog.package import RESOURCES, Package, Resource
from catalog.package.build import minor_units
from catalog.package.resource import AnyRow
from catalog.package.resources.articles import PRICES, PriceRow
from catalog.tables import TABLES
from shared.tenancy import require_transaction

BATCH = 5_000

Stored = tuple[Any, ...]


@dataclass(frozen=True, slots=True)
class Difference:
    """How many rows of a table came, changed and went."""

    added: int = 0
    changed: int = 0
    removed: int = 0

    def __bool__(self) -> bool:
        return bool(self.added or self.changed or self.removed)


def replace_tables(package: Package) -> dict[str, Difference]:
    """Make every table equal to the package; rows that are equal already are not touched.

    Foreign keys are checked when the transaction ends, so the order of the tables does not matter.
    """
    require_transaction()
    with connection.cursor() as cursor:
        return {
            resource.name: _replace(cursor, _Table(resource), package.rows[resource.name])
            for resource in RESOURCES
        }


def _replace(cursor: CursorWrapper, table: "_Table", rows: Iterable[AnyRow]) -> Difference:
    before = {table.key_of(row): row for row in table.read(cursor)}
    after = {table.key_of(row): row for row in map(table.stored, rows)}
    gone = [key for key in before if key not in after]
    added = [row for key, row in after.items() if key not in before]
    changed = [row for key, row in after.items() if key in before and before[key] != row]
    for keys in batched(gone, BATCH):
        table.delete(cursor, keys)
    for some in batched([*changed, *added], BATCH):
        table.upsert(cursor, some)
    return Difference(len(added), len(changed), len(gone))


class _Table:
    """The SQL of one table, over columns named in its model."""

    def __init__(self, resource: Resource[Any]) -> None:
        self.resource = resource
        meta = TABLES[resource.name]._meta
        self.name = connection.ops.quote_name(meta.db_table)
        renamed = {"amount": "amount_minor"} if resource is PRICES else {}
        self.columns = [renamed.get(name, name) for name in resource.names]
        types = {field.column: field.db_type(connection) for field in meta.concrete_fields}
        self.types = [types[column] for column in self.columns]

    def key_of(self, row: Stored) -> Stored:
        return self.resource.key_of(row)

    def stored(self, row: AnyRow) -> Stored:
        """A row of the package as the table holds it."""
        if self.resource is PRICES:
            price = PriceRow(*row)
            row = (*price[:-1], minor_units(price))
        return tuple(value.value if isinstance(value, StrEnum) else value for value in row)

    def read(self, cursor: CursorWrapper) -> Iterator[Stored]:
        cursor.execute(f"SELECT {self._list(self.columns)} FROM {self.name}")  # noqa: S608 - our own names
        yield from cursor.fetchall()

    def delete(self, cursor: CursorWrapper, keys: Iterable[Stored]) -> None:
        names = [self.columns[place] for place in self.resource.key_places]
        where = " AND ".join(
            f"{self.name}.{self._quoted(name)} = gone.{self._quoted(name)}" for name in names
        )
        cursor.execute(
            f"DELETE FROM {self.name} USING {self._unnest(self.resource.key_places)}"  # noqa: S608
            f" AS gone ({self._list(names)}) WHERE {where}",
            [list(values) for values in zip(*keys, strict=True)],
        )

    def upsert(self, cursor: CursorWrapper, rows: Iterable[Stored]) -> None:
        keys = [self.columns[place] for place in self.resource.key_places]
        rest = [name for name in self.columns if name not in keys]
        sets = ", ".join(f"{self._quoted(name)} = excluded.{self._quoted(name)}" for name in rest)
        places = tuple(range(len(self.columns)))
        cursor.execute(
            f"INSERT INTO {self.name} ({self._list(self.columns)})"  # noqa: S608 - our own names
            f" SELECT * FROM {self._unnest(places)}"
            f" ON CONFLICT ({self._list(keys)}) DO {f'UPDATE SET {sets}' if sets else 'NOTHING'}",
            [list(values) for values in zip(*rows, strict=True)],
        )

    def _unnest(self, places: tuple[int, ...]) -> str:
        return f"unnest({', '.join(f'%s::{self.types[place]}[]' for place in places)})"

    def _list(self, names: Iterable[str]) -> str:
        return ", ".join(self._quoted(name) for name in names)

    @staticmethod
    def _quoted(name: str) -> str:
        return connection.ops.quote_name(name)
