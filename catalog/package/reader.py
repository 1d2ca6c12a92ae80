"""The door for reading: a folder or stored files become a ``Package``, or every mistake is told.

What is read need not be canonical: rows and columns in any order, CRLF, a byte order mark, ``12.50`` for
``12.5``, no hash and no length. Nothing else is forgiven, and nothing is guessed.
"""

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from catalog.package import faults
from catalog.package.description import Description, Listed, read_description
from catalog.package.mistakes import Mistake, Mistakes
from catalog.package.package import Package
from catalog.package.resource import Resource
from catalog.package.resources import RESOURCES
from catalog.package.sources import DESCRIPTION, LARGEST_DESCRIPTION, Folder, Meter, Source, whole
from catalog.package.table import Table, read_table
from catalog.package.wholes import check_together
from shared.errors import FaultyInput


@dataclass(frozen=True, slots=True)
class Reading:
    """What came of reading: the package, or (then it is None) mistakes.

    ``count`` is of all the mistakes there are, also of those beyond the most that are kept.
    """

    package: Package | None
    mistakes: tuple[Mistake, ...] = ()
    count: int = 0

    def require(self) -> Package:
        """The package; ``FaultyPackage`` when there are mistakes."""
        if self.package is None:
            raise faults.FaultyPackage(count=self.count, first=str(self.mistakes[0]))
        return self.package


def read_folder(folder: Path | str) -> Reading:
    """Read the package in a folder, and check all of it."""
    return read(Folder(Path(folder)))


def read(source: Source, *, checked: bool = True, described: bool = True) -> Reading:
    """Read a package.

    ``checked`` False leaves out the rules within and between rows, for files that passed them when they were
    published. ``described`` False takes every resource under its own name, without a ``datapackage.json``.
    """
    mistakes = Mistakes((DESCRIPTION, *(resource.path for resource in RESOURCES)))
    description = _description(source, mistakes) if described else Description.plain()
    mistakes.files = (DESCRIPTION, *(listed.path for listed in description.files.values()))
    tables = {
        resource.name: _table(
            source, resource, description.files.get(resource.name), mistakes, checked=checked
        )
        for resource in RESOURCES
    }
    if checked:
        check_together(tables, mistakes)
    if mistakes:
        return Reading(None, tuple(mistakes.in_order()), mistakes.count)
    rows = {name: table.rows for name, table in tables.items()}
    return Reading(
        Package.of(rows, name=description.name, title=description.title, description=description.description)
    )


def _description(source: Source, mistakes: Mistakes) -> Description:
    try:
        with source.open(DESCRIPTION) as file:
            data = whole(file, LARGEST_DESCRIPTION)
    except FaultyInput as fault:
        mistakes.add(fault, file=DESCRIPTION)
        return Description()
    return read_description(data, mistakes)


def _table(
    source: Source, resource: Resource[Any], listed: Listed | None, mistakes: Mistakes, *, checked: bool
) -> Table:
    """Read one table. A resource that is not listed was reported already, and tells nothing."""
    if listed is None:
        return Table(resource, resource.path)
    try:
        with source.open(listed.path) as file:
            table, meter = read_table(resource, listed.path, file, mistakes, checked=checked)
    except FaultyInput as fault:
        mistakes.add(fault, file=listed.path)
        return Table(resource, listed.path)
    if table.readable:
        _compare(listed, meter, mistakes)
    return table


def _compare(listed: Listed, meter: Meter, mistakes: Mistakes) -> None:
    if listed.length is not None and listed.length != meter.count:
        mistakes.add(faults.OtherLength(found=meter.count, given=listed.length), file=listed.path)
    elif listed.sha256 is not None and listed.sha256 != meter.sha256:
        mistakes.add(faults.OtherHash(found=meter.sha256), file=listed.path)
