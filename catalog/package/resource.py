"""What a resource of the package is: one declaration, from which all else is made.

A resource is declared by a ``NamedTuple``: each member is a column, annotated with the type of its value and
the kind of its cells; ``None`` in the type means that a cell may be empty. From this come the reader, the
checks, the table schema in ``datapackage.json``, the documentation, and the CHECKs of the database.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from operator import itemgetter
from types import UnionType
from typing import Any, Union, get_args, get_origin, get_type_hints

from catalog.package.kinds import Kind, Value
from catalog.package.rules import Rule
from catalog.resolver.parts import PartKind

AnyRow = tuple[Any, ...]
Key = tuple[Any, ...]


@dataclass(frozen=True, slots=True)
class Column:
    name: str
    kind: Kind
    optional: bool

    def write(self, value: Value) -> str:
        return "" if value is None else self.kind.write(value)


@dataclass(frozen=True)
class Resource[R: AnyRow]:
    """One table of the package.

    ``row`` is the declared ``NamedTuple``. ``part_kind`` says that its key is the SKU of a part of that kind,
    of which each has one row here; ``needs`` names resources of which every row needs one or more. ``settle``
    finishes a row whose cells depend on one another and raises ``FaultyInput``.
    """

    name: str
    title: str
    about: str
    row: Callable[..., R]
    key: tuple[str, ...]
    rules: tuple[Rule, ...] = ()
    part_kind: PartKind | None = None
    needs: tuple[str, ...] = ()
    settle: Callable[[R], R] | None = None

    @cached_property
    def columns(self) -> tuple[Column, ...]:
        hints = get_type_hints(self.row, include_extras=True)
        return tuple(_column(name, hint) for name, hint in hints.items())

    @cached_property
    def names(self) -> tuple[str, ...]:
        return tuple(column.name for column in self.columns)

    @cached_property
    def key_places(self) -> tuple[int, ...]:
        return tuple(self.names.index(name) for name in self.key)

    @cached_property
    def references(self) -> tuple[Column, ...]:
        """The columns whose value must be the key of another resource."""
        return tuple(column for column in self.columns if column.kind.refers)

    @property
    def path(self) -> str:
        return f"{self.name}.csv"

    def make(self, values: list[Value]) -> R:
        return self.row(*values)

    @cached_property
    def key_of(self) -> Callable[[AnyRow], Key]:
        """The key of a row, as a tuple."""
        if len(self.key) > 1:
            return itemgetter(*self.key_places)
        (place,) = self.key_places
        return lambda row: (row[place],)


def _column(name: str, hint: object) -> Column:
    value_type, kind = get_args(hint)
    optional = get_origin(value_type) in {Union, UnionType} and type(None) in get_args(value_type)
    return Column(name, kind, optional)
