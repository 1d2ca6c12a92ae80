"""A package in memory, read and right: rows by resource, in key order."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from catalog.package.description import NAME
from catalog.package.resource import AnyRow, Resource
from catalog.package.resources import RESOURCES


@dataclass(frozen=True, slots=True)
class Package:
    """``package[MAKERS]`` is a tuple of ``MakerRow``, by code. Figures are in the unit their names end in."""

    rows: Mapping[str, tuple[AnyRow, ...]]
    name: str = NAME
    title: str = ""
    description: str = ""

    @classmethod
    def of(
        cls,
        rows: Mapping[str, Iterable[AnyRow]],
        *,
        name: str = NAME,
        title: str = "",
        description: str = "",
    ) -> "Package":
        """Make a package of rows in any order; resources not named have none. Nothing is checked here."""
        ordered = {
            resource.name: tuple(sorted(rows.get(resource.name, ()), key=resource.key_of))
            for resource in RESOURCES
        }
        return cls(ordered, name, title, description)

    def __getitem__[R: AnyRow](self, resource: Resource[R]) -> tuple[R, ...]:
        return self.rows[resource.name]  # type: ignore[return-value]

    @property
    def counts(self) -> dict[str, int]:
        """Rows by resource."""
        return {name: len(rows) for name, rows in self.rows.items()}
