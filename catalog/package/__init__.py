"""The catalog package: the one form in which a catalog is exchanged, checked, stored and published. Pure.

- ``read_folder(path) -> Reading``: the package, or every mistake;
- ``canonical(package) -> Canonical``: its one canonical form and SHA-256; ``write_folder(package, path)``;
- ``build(package) -> catalog.resolver.parts.Catalog``: what the resolver reads;
- ``RESOURCES``: the declaration from which reader, checks, schema and documentation are made.

``python -m catalog.package check FOLDER`` needs neither Django nor a database.
"""

from catalog.package.build import build
from catalog.package.faults import FaultyPackage
from catalog.package.mistakes import Mistake, codes_of
from catalog.package.package import Package
from catalog.package.reader import Reading, read, read_folder
from catalog.package.resource import Column, Resource
from catalog.package.resources import BY_NAME, CODED, RESOURCES
from catalog.package.sources import DESCRIPTION, Bytes, Folder, Source
from catalog.package.writer import Canonical, canonical, write_files, write_folder

__all__ = [
    "BY_NAME",
    "CODED",
    "DESCRIPTION",
    "RESOURCES",
    "Bytes",
    "Canonical",
    "Column",
    "FaultyPackage",
    "Folder",
    "Mistake",
    "Package",
    "Reading",
    "Resource",
    "Source",
    "build",
    "canonical",
    "codes_of",
    "read",
    "read_folder",
    "write_files",
    "write_folder",
]
