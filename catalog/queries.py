"""Reading the catalog: its revisions, compiled; what publishing asks; search (``catalog/search.py``)."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from functools import partial
from typing import Any
from uuid import UUID

from django.db import connection
from django.db.models import QuerySet

from catalog.models import StoredFile
from catalog.package import BY_NAME, CODED, DESCRIPTION, Bytes, Mistake, Package, build, read
from catalog.package.description import read_description
from catalog.package.mistakes import Mistakes
from catalog.remembered import Remembered
from catalog.resolver.compile import COMPILER_FORMAT, Compiled, compile_catalog
from catalog.search import search_models, search_parts
from catalog.tables import TABLES
from shared.errors import FaultyInput, Refused
from shared.models import Membership, Organization
from shared.words import N_

__all__ = [
    "NothingPublished",
    "RevisionInfo",
    "UnknownRevision",
    "compiled",
    "file_hashes",
    "files_of",
    "is_keeper",
    "keeper_organizations",
    "package_of",
    "revision_info",
    "search_models",
    "search_parts",
    "stored_file",
    "vanished_codes",
]

COMPILED_KEPT = 4
LARGEST_NUMBER = 2**31 - 1

# --- revisions ----------------------------------------------------------------------------------------------


class UnknownRevision(FaultyInput):
    code = "unknown-revision"
    title = N_("There is no such revision")
    sentence = N_("The catalog has no revision {given}.")
    advice = N_("Leave the revision out to ask the newest one.")


class NothingPublished(Refused):
    code = "nothing-published"
    title = N_("No catalog is published yet")
    sentence = N_("No revision of the catalog has been published yet.")
    advice = N_("A keeper publishes one with import_catalog.")


@dataclass(frozen=True, slots=True)
class RevisionInfo:
    """What an answer cites. ``sha256`` is that of the revision's ``datapackage.json``, in hex."""

    number: int
    sha256: str
    published_at: datetime
    note: str


def revision_info(number: int | None = None) -> RevisionInfo:
    """A revision, the newest without a number. Raises ``UnknownRevision`` or ``NothingPublished``."""
    if number is None:
        found = _revision_row("ORDER BY number DESC LIMIT 1")
        if found is None:
            raise NothingPublished
    else:
        # A number that no integer column holds would be an error of the database.
        found = _revision_row("WHERE number = %s", number) if 0 < number <= LARGEST_NUMBER else None
        if found is None:
            raise UnknownRevision(given=number)
    return RevisionInfo(*found)


def _revision_row(which: str, *values: int) -> tuple[Any, ...] | None:
    """Every lookup and every page asks this, and making the statement anew took five times as long."""
    with connection.cursor() as cursor:
        cursor.execute(f"SELECT number, sha256, published_at, note FROM catalog_revision {which}", values)  # noqa: S608
        row: tuple[Any, ...] | None = cursor.fetchone()
    return row


_compiled: Remembered[tuple[str, int], Compiled] = Remembered(COMPILED_KEPT)


def compiled(number: int | None = None) -> tuple[RevisionInfo, Compiled]:
    """A revision ready to be asked; the newest without a number. The last few are kept in the process.

    Raises ``UnknownRevision`` or ``NothingPublished``.
    """
    info = revision_info(number)
    key = (info.sha256, COMPILER_FORMAT)
    return info, _compiled.get(key, lambda: compile_catalog(build(package_of(info))))


def package_of(info: RevisionInfo) -> Package:
    """The package of a published revision, from the stored files."""
    return read(_source(info), checked=False).require()


def _source(info: RevisionInfo) -> Bytes:
    return Bytes({path: partial(stored_file, sha256) for path, sha256 in file_hashes(info).items()})


def files_of(info: RevisionInfo) -> dict[str, bytes]:
    """The files of a published revision by path, in canonical form."""
    return {path: stored_file(sha256) for path, sha256 in file_hashes(info).items()}


def file_hashes(info: RevisionInfo) -> dict[str, str]:
    """The SHA-256 of the files of a published revision by path, the description first."""
    mistakes = Mistakes(())
    description = read_description(stored_file(info.sha256), mistakes)
    listed = {one.path: one.sha256 or "" for one in description.files.values()}
    return {DESCRIPTION: info.sha256, **listed}


def stored_file(sha256: str) -> bytes:
    """The content of a file of a published revision."""
    return bytes(StoredFile.objects.values_list("content", flat=True).get(pk=sha256))


# --- publishing ---------------------------------------------------------------------------------------------


def keeper_organizations(*, person: UUID) -> list[UUID]:
    """Organizations that keep the catalog and in which the person does more than read, oldest first.

    Needs ``tenant(person=...)``: a person's own memberships are seen before an organization is chosen.
    """
    memberships = Membership.objects.filter(person_id=person, organization__kind=Organization.Kind.KEEPER)
    working = memberships.exclude(role=Membership.Role.READER)
    return list(working.order_by("organization_id").values_list("organization_id", flat=True))


def is_keeper(*, person: UUID, organization: UUID) -> bool:
    return organization in keeper_organizations(person=person)


def vanished_codes(*, package: Package) -> list[Mistake]:
    """A mistake for every published code that the package leaves out: codes stay for good."""
    return [mistake for name in CODED for mistake in _vanished(name, package)]


def _vanished(name: str, package: Package) -> Iterable[Mistake]:
    resource = BY_NAME[name]
    kept = {row[0] for row in package.rows[name]}
    for code in sorted(set(_published_codes(name)) - kept):
        instead = "; give it the status withdrawn instead" if name == "parts" else ""
        yield Mistake(
            file=resource.path,
            line=None,
            column=resource.key[0],
            value=code,
            code="published-code-missing",
            sentence=f"{code} was published and may not disappear{instead}.",
        )


def _published_codes(name: str) -> Iterable[str]:
    return QuerySet(TABLES[name]).values_list("pk", flat=True)
