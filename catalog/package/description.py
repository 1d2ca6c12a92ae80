"""``datapackage.json``: how it is read, and its one canonical form.

Data Package version 2, with the package's own property ``pawlbook_format``. The canonical form is that of
RFC 8785: keys sorted, no white space, UTF-8; so its SHA-256, and with it the revision's, says that every file
of the package is the same, since it states the SHA-256 of each.
"""

import json
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from catalog.package import faults
from catalog.package.mistakes import Mistakes
from catalog.package.resource import Column, Resource
from catalog.package.resources import BY_NAME, RESOURCES
from catalog.package.sources import DESCRIPTION, is_safe
from shared.errors import FaultyInput, json_pointer

FORMAT = 1
PROFILES = "https://datapackage.org/profiles/2.0/"
NAME = "pawlbook-catalog"
LONGEST_TITLE = 200

_NAME = re.compile(r"[a-z0-9]+([._-][a-z0-9]+)*")
_HASH = re.compile(r"sha256:[0-9a-f]{64}")


@dataclass(frozen=True, slots=True)
class Listed:
    """A file as the description lists it; hash and length may be left out in an input."""

    path: str
    sha256: str | None = None
    length: int | None = None


@dataclass(frozen=True, slots=True)
class Description:
    name: str = NAME
    title: str = ""
    description: str = ""
    files: Mapping[str, Listed] = field(default_factory=dict)

    @classmethod
    def plain(cls) -> "Description":
        """Every resource under its own name, for a folder that has no description yet."""
        return cls(files={resource.name: Listed(resource.path) for resource in RESOURCES})


def read_description(data: bytes, mistakes: Mistakes) -> Description:
    """Read ``datapackage.json``; what is wrong in it is reported, with a JSON pointer for a column."""
    try:
        found = json.loads(data, object_pairs_hook=_no_repeats, parse_constant=_no_constant)
    except (UnicodeDecodeError, ValueError, RecursionError) as error:
        line = error.lineno if isinstance(error, json.JSONDecodeError) else None
        mistakes.add(faults.NotJson(reason=_reason(error)), file=DESCRIPTION, line=line)
        return Description()
    if not isinstance(found, dict):
        mistakes.add(faults.NotJson(reason="it is a list or a single value"), file=DESCRIPTION)
        return Description()
    return _Reader(mistakes).package(found)


def _no_repeats(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) != len(pairs):
        raise ValueError("a key is given twice")
    return found


def _no_constant(name: str) -> None:
    raise ValueError(f"{name} is not JSON")


def _reason(error: ValueError | RecursionError) -> str:
    if isinstance(error, json.JSONDecodeError):
        return f"{error.msg} in column {error.colno}"
    if isinstance(error, UnicodeDecodeError):
        return "it is not UTF-8"
    return "it is nested too deeply" if isinstance(error, RecursionError) else str(error)


class _Reader:
    """Each property by its own method; a property without one is unknown, since it would be lost."""

    def __init__(self, mistakes: Mistakes) -> None:
        self.mistakes = mistakes

    def fault(self, fault: FaultyInput, *where: str | int, value: object = None) -> None:
        shown = None if value is None else json.dumps(value, ensure_ascii=False)
        self.mistakes.add(fault, file=DESCRIPTION, column=json_pointer(*where), value=shown)

    def expect(self, ok: bool, expected: str, value: object, *where: str | int) -> bool:
        if not ok:
            fault = faults.WrongProperty(name=str(where[-1]), expected=expected)
            self.fault(fault, *where, value=value)
        return ok

    def unknown(self, given: Mapping[str, Any], known: set[str], *where: str | int) -> None:
        for name in given:
            if name not in known:
                self.fault(faults.UnknownProperty(name=name), *where, name)

    def package(self, given: Mapping[str, Any]) -> Description:
        known = {"$schema", "profile", "pawlbook_format", "name", "title", "description", "resources"}
        self.unknown(given, known)
        version = given.get("pawlbook_format", FORMAT)
        self.expect(
            version == FORMAT and not isinstance(version, bool), str(FORMAT), version, "pawlbook_format"
        )
        name = given.get("name", NAME)
        named = self.expect(
            isinstance(name, str) and bool(_NAME.fullmatch(name)) and len(name) <= LONGEST_TITLE,
            "small letters and digits with . _ or - between them",
            name,
            "name",
        )
        files = self.resources(given.get("resources"))
        return Description(
            name if named else NAME, self.text(given, "title"), self.text(given, "description"), files
        )

    def text(self, given: Mapping[str, Any], name: str) -> str:
        value = given.get(name, "")
        usable = isinstance(value, str) and value.isprintable() and len(value) <= LONGEST_TITLE
        self.expect(usable, f"one line of at most {LONGEST_TITLE} characters", value, name)
        return value if usable else ""

    def resources(self, given: object) -> dict[str, Listed]:
        if not isinstance(given, list):
            self.expect(False, "a list of the resources", given, "resources")  # noqa: FBT003
            return {}
        files: dict[str, Listed] = {}
        paths: set[str] = set()
        for place, entry in enumerate(given):
            where = ("resources", place)
            if not self.expect(isinstance(entry, dict), "an object", entry, *where):
                continue
            name, listed = self.resource(entry, where)
            if name is None or listed is None:
                continue
            for twice in {name} & files.keys() | {listed.path} & paths:
                self.fault(faults.RepeatedResource(name=twice), *where)
            files.setdefault(name, listed)
            paths.add(listed.path)
        for resource in RESOURCES:
            if resource.name not in files and resource.name not in self.named(given):
                self.fault(faults.MissingResource(name=resource.name), "resources", value=resource.name)
        return files

    @staticmethod
    def named(given: list[Any]) -> set[object]:
        """The names that are given at all, so that one faulty entry is not also called missing."""
        names = (entry.get("name") for entry in given if isinstance(entry, dict))
        return {name for name in names if isinstance(name, str)}

    def resource(
        self, given: Mapping[str, Any], where: tuple[str | int, ...]
    ) -> tuple[str | None, Listed | None]:
        constant = {"type": "table", "format": "csv", "mediatype": "text/csv", "encoding": "utf-8"}
        self.unknown(
            given, {"name", "path", "hash", "bytes", "schema", "$schema", "profile", *constant}, *where
        )
        for constant_name, expected in constant.items():
            value = given.get(constant_name, expected)
            same = isinstance(value, str) and value.lower() == expected
            self.expect(same, f'"{expected}", where given', value, *where, constant_name)
        name, path = given.get("name"), given.get("path")
        if not isinstance(name, str) or name not in BY_NAME:
            self.fault(faults.UnknownResource(name=str(name)), *where, "name", value=name)
            return None, None
        self.schema(BY_NAME[name], given.get("schema"), where)
        if not isinstance(path, str) or not is_safe(path):
            self.fault(faults.UnsafePath(path=str(path)), *where, "path", value=path)
            return name, None
        return name, Listed(path, self.hash(given, where), self.length(given, where))

    def hash(self, given: Mapping[str, Any], where: tuple[str | int, ...]) -> str | None:
        value = given.get("hash")
        if value is None:
            return None
        usable = isinstance(value, str) and bool(_HASH.fullmatch(value))
        self.expect(usable, '"sha256:" and 64 hexadecimal digits in small letters', value, *where, "hash")
        return str(value).removeprefix("sha256:") if usable else None

    def length(self, given: Mapping[str, Any], where: tuple[str | int, ...]) -> int | None:
        value = given.get("bytes")
        if value is None:
            return None
        usable = isinstance(value, int) and not isinstance(value, bool)
        self.expect(usable, "a whole number", value, *where, "bytes")
        return int(value) if usable else None

    def schema(self, resource: Resource[Any], given: object, where: tuple[str | int, ...]) -> None:
        """A schema may be left out. Its types are ours to say; its fields must be those of the resource."""
        if given is None:
            return
        fields = given.get("fields") if isinstance(given, dict) else None
        names = [one.get("name") if isinstance(one, dict) else None for one in fields or ()]
        if sorted(map(str, names)) != sorted(resource.names):
            self.fault(faults.OtherFields(name=resource.name), *where, "schema")


# --- writing ------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Sealed:
    """A file of the canonical form: its SHA-256 in hex, and its length."""

    sha256: str
    length: int


def write_description(
    *, name: str, title: str, description: str, seals: Iterable[tuple[Resource[Any], Sealed]]
) -> bytes:
    """The canonical ``datapackage.json``."""
    found: dict[str, Any] = {
        "$schema": f"{PROFILES}datapackage.json",
        "pawlbook_format": FORMAT,
        "name": name,
        "resources": [_resource(resource, seal) for resource, seal in seals],
    }
    if title:
        found["title"] = title
    if description:
        found["description"] = description
    return json.dumps(found, ensure_ascii=False, sort_keys=True, separators=(",", ":")).encode()


def _resource(resource: Resource[Any], seal: Sealed) -> dict[str, Any]:
    return {
        "$schema": f"{PROFILES}dataresource.json",
        "name": resource.name,
        "type": "table",
        "path": resource.path,
        "format": "csv",
        "mediatype": "text/csv",
        "encoding": "utf-8",
        "hash": f"sha256:{seal.sha256}",
        "bytes": seal.length,
        "schema": table_schema(resource),
    }


def table_schema(resource: Resource[Any]) -> dict[str, Any]:
    """The table schema of a resource. It has no prose: better words never change a revision's hash."""
    schema: dict[str, Any] = {
        "$schema": f"{PROFILES}tableschema.json",
        "fieldsMatch": ["exact"],
        "fields": [_field(column) for column in resource.columns],
        "missingValues": [""],
        "primaryKey": list(resource.key),
    }
    if resource.references:
        schema["foreignKeys"] = [
            {
                "fields": [column.name],
                "reference": {
                    "resource": column.kind.refers,
                    "fields": list(BY_NAME[column.kind.refers].key),
                },
            }
            for column in resource.references
        ]
    return schema


def _field(column: Column) -> dict[str, Any]:
    constraints = dict(column.kind.constraints)
    if not column.optional:
        constraints["required"] = True
    found: dict[str, Any] = {"name": column.name, "type": column.kind.json_type}
    if constraints:
        found["constraints"] = constraints
    return found
