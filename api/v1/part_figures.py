"""The figures of each kind of part, with the lists that belong to them."""

from collections.abc import Mapping
from dataclasses import dataclass
from operator import attrgetter
from typing import Any, Self

from django.db.models import Model, QuerySet

from api.v1.shapes import Json, Shape, list_of, shape_of
from catalog.models import Part
from catalog.package import Resource
from catalog.package.resources import electrical, mechanical
from catalog.resolver.parts import PartKind
from catalog.tables import TABLES


@dataclass(frozen=True, slots=True)
class Figures:
    """What a part of one kind has beside what every part has; ``lists`` names relations of its row."""

    resource: Resource[Any]
    shape: Shape
    lists: tuple[str, ...] = ()

    @classmethod
    def of(cls, resource: Resource[Any], name: str) -> Self:
        return cls(resource, shape_of(resource, name, without=["sku"]))

    def rows(self, relation: str, item: Shape, about: str) -> Self:
        """With a list of rows, in the order of their keys."""
        schema = list_of(item.ref, about)
        return self._with(
            relation, relation, self.shape.member(relation, schema, _lister(relation, item.as_json))
        )

    def values(self, name: str, relation: str, resource: Resource[Any], column: str) -> Self:
        """With a list of the values of one column, rising."""
        item = shape_of(resource, name)
        schema = list_of(item.properties[column], resource.about)
        return self._with(
            name, relation, self.shape.member(name, schema, _lister(relation, item.members[column]))
        )

    def _with(self, name: str, relation: str, shape: Shape) -> Self:
        return type(self)(self.resource, shape, (*self.lists, relation))

    def of_part(self, part: Part) -> Json:
        table: QuerySet[Any] = QuerySet(TABLES[self.resource.name])
        return self.shape.as_json(table.prefetch_related(*self.lists).get(pk=part.pk))


def _lister(relation: str, read: Any) -> Any:  # noqa: ANN401 - reads a row, whatever its table
    key = attrgetter("pk")

    def read_list(row: Model) -> list[Any]:
        return [read(one) for one in sorted(getattr(row, relation).all(), key=key)]

    return read_list


def _items(resource: Resource[Any], name: str) -> Shape:
    return shape_of(resource, name, without=["sku"])


WINDOW = _items(mechanical.SHAFT_WINDOWS, "ShaftWindow")
SOLID = _items(mechanical.DRIVE_SOLIDS, "DriveSolid")
PIECE = _items(mechanical.DRIVE_PIECES, "DrivePiece")
CLOCKING = _items(mechanical.DRIVE_CLOCKINGS, "DriveClocking")
TRIP = _items(electrical.BREAKER_TRIPS, "BreakerTrip")
ITEMS = (WINDOW, SOLID, PIECE, CLOCKING, TRIP)

FIGURES: Mapping[PartKind, Figures] = {
    PartKind.ADAPTER: Figures.of(mechanical.ADAPTERS, "AdapterFigures").values(
        "base_patterns", "bases", mechanical.ADAPTER_BASES, "base_pattern"
    ),
    PartKind.SHAFT: Figures.of(mechanical.SHAFTS, "ShaftFigures").rows(
        "windows", WINDOW, mechanical.SHAFT_WINDOWS.about
    ),
    PartKind.DRIVE: Figures.of(mechanical.DRIVES, "DriveFigures")
    .rows("solids", SOLID, mechanical.DRIVE_SOLIDS.about)
    .rows("pieces", PIECE, mechanical.DRIVE_PIECES.about)
    .rows("clockings", CLOCKING, mechanical.DRIVE_CLOCKINGS.about)
    .values("rotations_deg", "rotations", mechanical.DRIVE_ROTATIONS, "rotation_deg"),
    PartKind.HANDING_KIT: Figures.of(mechanical.HANDING_KITS, "HandingKitFigures").values(
        "drives", "drives", mechanical.HANDING_KIT_DRIVES, "drive"
    ),
    PartKind.SPACER: Figures.of(mechanical.SPACERS, "SpacerFigures"),
    PartKind.WEDGE: Figures.of(mechanical.WEDGES, "WedgeFigures"),
    PartKind.CONTROLLER: Figures.of(electrical.CONTROLLERS, "ControllerFigures")
    .values("motor_volts", "motor_volts", electrical.CONTROLLER_MOTOR_VOLTS, "volts")
    .values("control_volts", "control_volts", electrical.CONTROLLER_CONTROL_VOLTS, "volts"),
    PartKind.BREAKER: Figures.of(electrical.BREAKERS, "BreakerFigures").rows(
        "trips", TRIP, electrical.BREAKER_TRIPS.about
    ),
    PartKind.SWITCH: Figures.of(electrical.SWITCHES, "SwitchFigures"),
    PartKind.WINCH: Figures.of(electrical.POWERED_WINCHES, "PoweredWinchFigures"),
}
