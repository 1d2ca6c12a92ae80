"""``import_catalog FOLDER --check`` tells every mistake; ``--publish --by EMAIL`` makes the next revision."""

import json
from argparse import ArgumentParser
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from catalog.actions.publish import NotPublishable, Publication, publish
from catalog.lint import Finding, errors_among, lint
from catalog.package import Mistake, Package, build, canonical, codes_of, read_folder
from catalog.queries import keeper_organizations, vanished_codes
from shared.errors import Refused
from shared.models import Person
from shared.models.person import tidy_email
from shared.tenancy import tenant

MOST_PRINTED = 1_000
MISTAKES, MISUSE = 1, 2


class Command(BaseCommand):
    help = (
        "Check the catalog package in FOLDER, or publish it as the next revision. Every mistake is told, "
        "with file, line and column; nothing is written unless all is right. Exit code: 1 mistakes, 2 misuse."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("folder", metavar="FOLDER")
        what = parser.add_mutually_exclusive_group(required=True)
        what.add_argument("--check", action="store_true", help="tell the mistakes and write nothing")
        what.add_argument("--publish", action="store_true", help="publish it when there are none")
        parser.add_argument("--by", metavar="EMAIL", help="who publishes: a member of a keeper organization")
        parser.add_argument("--note", default="", help="a line to keep with the revision")
        parser.add_argument("--json", action="store_true", help="tell it as JSON")

    def handle(self, *args: Any, **options: Any) -> None:
        folder = Path(options["folder"])
        if not folder.is_dir():
            raise CommandError(f"There is no folder {folder}.", returncode=MISUSE)
        if options["publish"] and not options["by"]:
            raise CommandError("--publish needs --by EMAIL.", returncode=MISUSE)
        person = _person(options["by"]) if options["publish"] else None
        reading = read_folder(folder)
        if reading.package is None:
            self._stop(reading.mistakes, reading.count, (), as_json=options["json"])
        elif person is None:
            self._check(reading.package, as_json=options["json"])
        else:
            self._publish(reading.package, person, options["note"], as_json=options["json"])

    def _check(self, package: Package, *, as_json: bool) -> None:
        findings = lint(build(package))
        mistakes = vanished_codes(package=package)
        if mistakes or errors_among(findings):
            self._stop(mistakes, len(mistakes), findings, as_json=as_json)
        sha256 = canonical(package).sha256
        if as_json:
            self._json(sha256=sha256, rows=package.counts, findings=[one.as_json() for one in findings])
            return
        self._list(findings)
        self.stdout.write(f"Right: {_rows(package.counts)}. SHA-256 {sha256}")

    def _publish(self, package: Package, person: Person, note: str, *, as_json: bool) -> None:
        try:
            published = publish_as(person, package, note)
        except NotPublishable as refusal:
            self._stop(refusal.mistakes, len(refusal.mistakes), refusal.findings, as_json=as_json)
        except Refused as refusal:
            raise CommandError(str(refusal), returncode=MISUSE) from None
        else:
            self._tell(published, as_json=as_json)

    def _tell(self, published: Publication, *, as_json: bool) -> None:
        revision = published.revision
        if as_json:
            self._json(
                revision=revision.number,
                sha256=revision.sha256,
                changed=published.changed,
                findings=[one.as_json() for one in published.warnings],
            )
            return
        self._list(published.warnings)
        self.stdout.write(sentence_of(published))

    def _stop(
        self, mistakes: Sequence[Mistake], count: int, findings: Sequence[Finding], *, as_json: bool
    ) -> None:
        shown = mistakes[:MOST_PRINTED]
        stopping = errors_among(findings)
        if as_json:
            self._json(
                count=count + len(stopping),
                mistakes=[one.as_json() for one in shown],
                findings=[one.as_json() for one in findings],
            )
        else:
            self._list([*shown, *findings])
        raise CommandError(_summary(mistakes, count, len(stopping)), returncode=MISTAKES)

    def _list(self, told: Sequence[Mistake | Finding]) -> None:
        for one in told:
            self.stdout.write(str(one))

    def _json(self, **told: object) -> None:
        self.stdout.write(json.dumps(told, ensure_ascii=False))


def publish_as(person: Person, package: Package, note: str = "") -> Publication:
    """Publish in the name of the first keeper organization that the person works for."""
    with tenant(organization=None, person=person.pk):
        organizations = keeper_organizations(person=person.pk)
    organization = organizations[0] if organizations else None
    with tenant(organization=organization, person=person.pk):
        return publish(package=package, note=note)


def sentence_of(published: Publication) -> str:
    revision = published.revision
    if not published.changed:
        return f"Nothing changed: this is revision {revision.number} already. SHA-256 {revision.sha256}"
    return f"Published as revision {revision.number}: {_rows(revision.counts)}. SHA-256 {revision.sha256}"


def _person(email: str) -> Person:
    person = Person.objects.filter(email=tidy_email(email), is_active=True).first()
    if person is None:
        raise CommandError(f"There is no person with the address {email}.", returncode=MISUSE)
    return person


def _rows(counts: dict[str, int]) -> str:
    return ", ".join(f"{count} {name}" for name, count in counts.items() if count) or "no rows"


def _summary(mistakes: Sequence[Mistake], count: int, stopping: int) -> str:
    parts = []
    if count:
        codes = ", ".join(f"{number} × {code}" for code, number in sorted(codes_of(mistakes).items()))
        beyond = f" (the first {MOST_PRINTED:,} are listed)" if count > MOST_PRINTED else ""
        parts.append(f"{count} mistake{'' if count == 1 else 's'}{beyond}: {codes}")
    if stopping:
        parts.append(
            f"{stopping} finding{'' if stopping == 1 else 's'} that stop{'s' if stopping == 1 else ''} it"
        )
    return "; ".join(parts) + ". Nothing was written."
