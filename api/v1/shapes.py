"""How rows of the catalog look in JSON, and the components of the OpenAPI document that say so.

Both are made from the declaration of the catalog's package, so that a column is described in one place: its
type, bounds and meaning in the document are those by which the package is read and the database checks.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from operator import attrgetter
from typing import Any, Self

from django.db.models import Model

from catalog.package import Column, Resource
from catalog.package.kinds import Number
from catalog.tables import TABLES

Json = dict[str, Any]
Read = Callable[[Any], Any]
JSON_TYPES = {"date": "string"}


@dataclass(frozen=True, slots=True)
class Shape:
    """One component: its name, what it says, and how each member is read from a row."""

    name: str
    about: str
    properties: Mapping[str, Json]
    members: Mapping[str, Read]

    @property
    def ref(self) -> Json:
        return {"$ref": f"#/components/schemas/{self.name}"}

    @property
    def schema(self) -> Json:
        """Every member is always there; what is not known is null."""
        return {
            "type": "object",
            "description": self.about,
            "required": list(self.properties),
            "properties": dict(self.properties),
        }

    def as_json(self, row: Model) -> Json:
        return {name: read(row) for name, read in self.members.items()}

    def all_as_json(self, rows: Iterable[Model]) -> list[Json]:
        return [self.as_json(row) for row in rows]

    def member(self, name: str, schema: Json, read: Read) -> Self:
        """The same shape with one more member."""
        return type(self)(
            self.name, self.about, {**self.properties, name: schema}, {**self.members, name: read}
        )

    def named(self, name: str, about: str) -> Self:
        """The same members as another component, to be added to."""
        return type(self)(name, about, self.properties, self.members)


def shape_of(resource: Resource[Any], name: str, *, without: Iterable[str] = ()) -> Shape:
    """The shape of a resource's rows, less some columns: those that what stands around a row says already."""
    attributes = {field.column: field.attname for field in TABLES[resource.name]._meta.concrete_fields}
    columns = [column for column in resource.columns if column.name not in set(without)]
    return Shape(
        name,
        resource.about,
        {column.name: column_schema(column) for column in columns},
        {column.name: _reader(attributes[column.name], column) for column in columns},
    )


def column_schema(column: Column) -> Json:
    kind = column.kind
    schema: Json = {"type": JSON_TYPES.get(kind.json_type, kind.json_type), "description": kind.about}
    if kind.json_type == "date":
        schema["format"] = "date"
    constraints: Json = {name: _bound(bound) for name, bound in kind.constraints.items()}
    if "pattern" in constraints:
        constraints["pattern"] = f"^{constraints['pattern']}$"
    return nullable({**schema, **constraints}) if column.optional else {**schema, **constraints}


def nullable(schema: Json) -> Json:
    """The same schema, which null satisfies too."""
    if "$ref" in schema:
        return {"oneOf": [schema, {"type": "null"}]}
    given = schema["type"]
    widened: Json = {**schema, "type": [*(given if isinstance(given, list) else [given]), "null"]}
    if "enum" in schema:
        widened["enum"] = [*schema["enum"], None]
    return widened


def list_of(item: Json, about: str) -> Json:
    return {"type": "array", "items": item, "description": about}


def figure(number: Decimal) -> int | float:
    """A stored figure as a JSON number: 41.500 is 41.5, and 40.000 is 40.

    No stored figure has more than twelve digits, so a binary float is written as the decimal that it was.
    """
    return int(number) if number == number.to_integral_value() else float(number)


def _bound(bound: object) -> Any:  # noqa: ANN401 - a list of choices, a pattern, a number
    """A bound as JSON has it; the package's description writes decimals as text."""
    if isinstance(bound, str) and bound.lstrip("-").replace(".", "", 1).isdigit():
        return figure(Decimal(bound))
    return bound


def _reader(attribute: str, column: Column) -> Read:
    get = attrgetter(attribute)
    if isinstance(column.kind, Number):
        return lambda row: _or_none(get(row), figure)
    if column.kind.json_type == "date":
        return lambda row: _or_none(get(row), date.isoformat)
    return get


def _or_none[V, R](value: V | None, write: Callable[[V], R]) -> R | None:
    return None if value is None else write(value)
