"""Publishing: a package becomes the next revision, and the tables hold it, or nothing happens at all."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.db import connection

from catalog.actions.tables import Difference, replace_tables
from catalog.lint import Finding, errors_among, lint
from catalog.models import Revision, StoredFile
from catalog.package import Canonical, Mistake, Package, build, canonical
from catalog.queries import is_keeper, vanished_codes
from shared import record
from shared.errors import Refused
from shared.tenancy import current_context, require_transaction
from shared.words import N_

ACTION = "catalog.published"
LONGEST_NOTE = 1_000


class NotAKeeper(Refused):
    code = "not-a-keeper"
    title = N_("Only keepers publish the catalog")
    sentence = N_(
        "Only a member of an organization that keeps the catalog, who is more than a reader, publishes."
    )


class NotPublishable(Refused):
    """``mistakes`` are published codes that would vanish, ``findings`` what else stops it."""

    code = "not-publishable"
    title = N_("The catalog is not published")
    sentence = N_("{count} findings stop publishing; the first is: {first}")

    def __init__(
        self, *, mistakes: Sequence[Mistake] = (), findings: Sequence[Finding] = (), pointer: str = ""
    ) -> None:
        told = [one.sentence for one in mistakes] + [one.sentence for one in findings]
        super().__init__(pointer=pointer, count=len(told), first=told[0])
        self.mistakes, self.findings = tuple(mistakes), tuple(findings)


class PublishedBefore(Refused):
    code = "published-before"
    title = N_("This content is an older revision")
    sentence = N_(
        "This is revision {number}, and newer ones have followed; change the description to go back to it."
    )


@dataclass(frozen=True, slots=True)
class Publication:
    """``changed`` False: the newest revision has this content already, and nothing was written."""

    revision: Revision
    changed: bool
    differences: dict[str, Difference]
    warnings: tuple[Finding, ...] = ()


def publish(*, package: Package, note: str = "") -> Publication:
    """Publish a package that was read without mistakes, as the person and organization of the transaction.

    Raises ``NotAKeeper``, ``NotPublishable`` or ``PublishedBefore``. Two at once are published one after the
    other. The same content twice changes nothing.
    """
    require_transaction()
    person, organization = current_context().person, current_context().organization
    if person is None or organization is None or not is_keeper(person=person, organization=organization):
        raise NotAKeeper
    _wait_for_others()
    form = canonical(package)
    newest = Revision.objects.order_by("-number").first()
    if newest is not None and newest.sha256 == form.sha256:
        return Publication(newest, changed=False, differences={})
    _refuse_older(form)
    findings = lint(build(package))
    _refuse_stopped(vanished_codes(package=package), errors_among(findings))
    differences = replace_tables(package)
    _store(form)
    revision = Revision.objects.create(
        number=newest.number + 1 if newest else 1,
        description_id=form.sha256,
        published_by_id=person,
        note=note[:LONGEST_NOTE],
        counts=package.counts,
    )
    facts = {"number": revision.number, "sha256": form.sha256, "rows": package.counts}
    record.append(ACTION, subject=revision, facts=facts, public=True)
    return Publication(revision, changed=True, differences=differences, warnings=findings)


def _wait_for_others() -> None:
    with connection.cursor() as cursor:
        cursor.execute("SELECT pg_advisory_xact_lock(hashtextextended(%s, 0))", [ACTION])


def _refuse_older(form: Canonical) -> None:
    older = Revision.objects.filter(description_id=form.sha256).first()
    if older is not None:
        raise PublishedBefore(number=older.number)


def _refuse_stopped(mistakes: Sequence[Mistake], errors: Sequence[Finding]) -> None:
    if mistakes or errors:
        raise NotPublishable(mistakes=mistakes, findings=errors)


def _store(form: Canonical) -> None:
    """Store what is not stored yet; a file that did not change is already there."""
    files = form.by_sha256
    known = set(StoredFile.objects.filter(pk__in=files).values_list("pk", flat=True))
    for sha256, data in files.items():
        if sha256 not in known:
            StoredFile.objects.create(sha256=sha256, content=data)
