"""The door for writing: the one canonical form of a package, whatever it was read from."""

import hashlib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from catalog.package.description import Sealed, write_description
from catalog.package.package import Package
from catalog.package.resource import AnyRow, Resource
from catalog.package.resources import RESOURCES
from catalog.package.sources import DESCRIPTION


@dataclass(frozen=True, slots=True)
class Canonical:
    """The files of the canonical form, by path. ``sha256`` (hex) is that of ``datapackage.json``."""

    sha256: str
    files: Mapping[str, bytes]
    seals: Mapping[str, Sealed]
    """By resource."""

    @property
    def by_sha256(self) -> dict[str, bytes]:
        """The same files by their own SHA-256, as they are stored; two that are equal are one."""
        paths = {resource.path: self.seals[resource.name].sha256 for resource in RESOURCES}
        return {paths.get(path, self.sha256): data for path, data in self.files.items()}


def canonical(package: Package) -> Canonical:
    """The canonical form: UTF-8, LF, quotes only where needed, rows by key, columns in their order."""
    files: dict[str, bytes] = {}
    seals: dict[str, Sealed] = {}
    for resource in RESOURCES:
        data = table_bytes(resource, package.rows[resource.name])
        files[resource.path] = data
        seals[resource.name] = Sealed(hashlib.sha256(data).hexdigest(), len(data))
    description = write_description(
        name=package.name,
        title=package.title,
        description=package.description,
        seals=[(resource, seals[resource.name]) for resource in RESOURCES],
    )
    files = {DESCRIPTION: description, **files}
    return Canonical(hashlib.sha256(description).hexdigest(), files, seals)


def write_folder(package: Package, folder: Path | str) -> Canonical:
    """Write the canonical form into a folder, which is made when it is not there. Other files stay."""
    form = canonical(package)
    write_files(form.files, Path(folder))
    return form


def write_files(files: Mapping[str, bytes], folder: Path) -> None:
    """Write files so that a reader never sees half of one; the description comes last."""
    folder.mkdir(parents=True, exist_ok=True)
    for path in sorted(files, key=lambda one: one == DESCRIPTION):
        half = folder / f".{path}.half"
        half.write_bytes(files[path])
        half.replace(folder / path)


def table_bytes(resource: Resource[Any], rows: Iterable[AnyRow]) -> bytes:
    return "".join(_lines(resource, rows)).encode()


def _lines(resource: Resource[Any], rows: Iterable[AnyRow]) -> Iterator[str]:
    yield ",".join(resource.names) + "\n"
    writers = [column.kind.write for column in resource.columns]
    commas = len(writers) - 1
    for row in rows:
        cells = ["" if value is None else write(value) for write, value in zip(writers, row, strict=True)]
        line = ",".join(cells)
        if '"' in line or line.count(",") != commas:
            line = ",".join(map(_quoted, cells))
        yield line + "\n"


def _quoted(cell: str) -> str:
    if '"' in cell:
        return '"' + cell.replace('"', '""') + '"'
    return f'"{cell}"' if "," in cell else cell
