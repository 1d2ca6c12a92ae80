"""Publishing: numbered, immutable, whole; the tables hold the newest; codes stay; only keepers."""

import random
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from threading import Barrier

import pytest
from django.db import DatabaseError, IntegrityError, connection, transaction
from django.db.models import QuerySet

from catalog.actions.publish import NotAKeeper, NotPublishable, PublishedBefore, publish
from catalog.models import Part, Price, Revision, StoredFile
from catalog.package import RESOURCES, Package, canonical
from catalog.queries import (
    NothingPublished,
    UnknownRevision,
    compiled,
    files_of,
    package_of,
    revision_info,
)
from catalog.tables import TABLES
from shared.models import Membership, Organization, RecordEntry
from shared.tenancy import NoTransaction, tenant
from tests.catalog.conftest import Keeper
from tests.catalog.packages import made_up, small
from tests.factories import MembershipFactory, OrganizationFactory, PersonFactory

pytestmark = pytest.mark.django_db


def rows_in_tables() -> dict[str, int]:
    return {name: QuerySet(TABLES[name]).count() for name in TABLES}


def check_constraints_now() -> None:
    with connection.cursor() as cursor:
        cursor.execute("SET CONSTRAINTS ALL IMMEDIATE")
        cursor.execute("SET CONSTRAINTS ALL DEFERRED")


def test_a_package_becomes_revision_1_and_fills_the_tables(keeper: Keeper, tmp_path: Path) -> None:
    package = small().package(tmp_path)
    published = keeper.publish(package, note="The first.")
    check_constraints_now()
    assert published.changed
    assert (published.revision.number, published.revision.note) == (1, "The first.")
    assert published.revision.sha256 == canonical(package).sha256
    assert rows_in_tables() == package.counts == published.revision.counts
    assert all(package.counts.values()), "the small package has rows of every kind"
    price = Price.objects.get(part="AD-1")
    assert (price.currency, price.amount_minor) == ("EUR", 10_000)


def test_every_resource_has_its_table() -> None:
    assert list(TABLES) == [resource.name for resource in RESOURCES]
    for resource in RESOURCES:
        fields = {field.column: field for field in TABLES[resource.name]._meta.concrete_fields}
        renamed = {"amount": "amount_minor"}
        assert list(fields) == [renamed.get(name, name) for name in resource.names]
        nullable = {name for name, field in fields.items() if field.null}
        assert nullable == {column.name for column in resource.columns if column.optional}


def test_the_same_content_twice_changes_nothing(keeper: Keeper, tmp_path: Path) -> None:
    first = keeper.publish(small().package(tmp_path))
    again = keeper.publish(small().package(tmp_path))
    assert not again.changed
    assert again.revision == first.revision
    assert Revision.objects.count() == 1
    with tenant(organization=keeper.organization.pk, person=keeper.person.pk):
        assert RecordEntry.objects.filter(action="catalog.published").count() == 1


def test_only_what_differs_is_written(keeper: Keeper, tmp_path: Path) -> None:
    draft = small()
    keeper.publish(draft.package(tmp_path))
    draft.find("parts", sku="SP-2")["name"] = "Thin spacer"
    draft.rows["exceptions"] = [row for row in draft.rows["exceptions"] if row["code"] != "no-oil"]
    draft.add("breaker_trips", sku="BR-1", percent=600, earliest_s="0.5", latest_s="3")
    published = keeper.publish(draft.package(tmp_path))
    check_constraints_now()
    told = {name: one for name, one in published.differences.items() if one}
    assert {name: (one.added, one.changed, one.removed) for name, one in told.items()} == {
        "parts": (0, 1, 0),
        "breaker_trips": (1, 0, 0),
        "exceptions": (0, 0, 1),
    }
    assert Part.objects.get(pk="SP-2").name == "Thin spacer"
    assert published.revision.number == 2
    # 33 tables and a description; of the second revision, three tables and the description are new.
    assert StoredFile.objects.count() <= 34 + 4


def test_two_parts_may_exchange_their_gtins(keeper: Keeper, tmp_path: Path) -> None:
    draft = small()
    draft.find("parts", sku="SH-1")["gtin"] = "5012345678900"
    keeper.publish(draft.package(tmp_path))
    draft.find("parts", sku="SH-1")["gtin"] = "6291041500213"
    draft.find("parts", sku="AD-1")["gtin"] = "5012345678900"
    keeper.publish(draft.package(tmp_path))
    check_constraints_now()
    assert Part.objects.get(pk="AD-1").gtin == "5012345678900"


def test_a_published_code_may_not_disappear(keeper: Keeper, tmp_path: Path) -> None:
    draft = small()
    draft.add("spindles", code="spare", name="Spare end")
    draft.add("parts", sku="SW-9", kind="switch", maker="tarn", name="Switch", status="current")
    draft.add("switches", sku="SW-9", buttons=1, max_volts=32)
    keeper.publish(draft.package(tmp_path))
    before = rows_in_tables()
    with pytest.raises(NotPublishable) as refusal:
        keeper.publish(small().package(tmp_path))
    assert [(one.file, one.column, one.value, one.code) for one in refusal.value.mistakes] == [
        ("spindles.csv", "code", "spare", "published-code-missing"),
        ("parts.csv", "sku", "SW-9", "published-code-missing"),
    ]
    assert "withdrawn" in refusal.value.mistakes[1].sentence
    assert rows_in_tables() == before
    assert Revision.objects.count() == 1


def test_a_finding_that_is_an_error_stops_publishing(keeper: Keeper, tmp_path: Path) -> None:
    draft = small()
    draft.add("supersessions", old="SH-1", new="SH-CUT", direction="one-way")
    with pytest.raises(NotPublishable) as refusal:
        keeper.publish(draft.package(tmp_path))
    assert [one.code for one in refusal.value.findings] == ["supersession-cycle"]
    assert not Revision.objects.exists()
    assert not Part.objects.exists()


def test_an_older_revision_is_gone_back_to_under_a_new_description(keeper: Keeper, tmp_path: Path) -> None:
    draft = small()
    first = draft.package(tmp_path)
    keeper.publish(first)
    draft.find("parts", sku="SP-2")["name"] = "Thin spacer"
    keeper.publish(draft.package(tmp_path))
    with pytest.raises(PublishedBefore, match="revision 1"):
        keeper.publish(first)
    back = type(first)(first.rows, title="Back to the old name")
    assert keeper.publish(back).revision.number == 3
    assert Part.objects.get(pk="SP-2").name == "Part SP-2"


def test_only_a_working_member_of_a_keeper_organization_publishes(keeper: Keeper, tmp_path: Path) -> None:
    package = small().package(tmp_path)
    yard, colleague = OrganizationFactory.create(), PersonFactory.create()
    MembershipFactory.create(organization=yard, person=colleague)
    reader = PersonFactory.create()
    MembershipFactory.create(organization=keeper.organization, person=reader, role=Membership.Role.READER)
    other = OrganizationFactory.create(kind=Organization.Kind.KEEPER)
    for organization, person in (
        (yard.pk, colleague.pk),
        (keeper.organization.pk, colleague.pk),
        (keeper.organization.pk, reader.pk),
        (other.pk, keeper.person.pk),
        (None, keeper.person.pk),
        (keeper.organization.pk, None),
    ):
        with tenant(organization=organization, person=person), pytest.raises(NotAKeeper):
            publish(package=package)
    assert not StoredFile.objects.exists()


@pytest.mark.django_db(transaction=True)
def test_publishing_needs_the_callers_transaction(tmp_path: Path) -> None:
    with pytest.raises(NoTransaction):
        publish(package=small().package(tmp_path))


def test_publishing_is_on_the_public_record(keeper: Keeper, tmp_path: Path) -> None:
    published = keeper.publish(small().package(tmp_path))
    entry = RecordEntry.objects.get(action="catalog.published")
    assert entry.organization_id is None
    assert entry.person_id == keeper.person.pk
    assert (entry.subject_kind, entry.subject_key) == ("catalog.revision", "1")
    assert entry.facts["sha256"] == published.revision.sha256


@pytest.mark.django_db(transaction=True)
def test_two_at_once_are_published_one_after_the_other(tmp_path: Path) -> None:
    organization = OrganizationFactory.create(kind=Organization.Kind.KEEPER)
    keepers = [Keeper(PersonFactory.create(), organization) for _ in range(4)]
    for one in keepers:
        MembershipFactory.create(organization=organization, person=one.person)
    packages = []
    for number in range(4):
        draft = small()
        draft.find("parts", sku="SP-2")["name"] = f"Spacer {number}"
        packages.append(draft.package(tmp_path / str(number)))
    together = Barrier(4)

    def publish_one(keeper: Keeper, package: Package) -> int:
        together.wait(30)
        try:
            return keeper.publish(package).revision.number
        finally:
            connection.close()

    with ThreadPoolExecutor(4) as pool:
        numbers = list(pool.map(publish_one, keepers, packages))
    assert sorted(numbers) == [1, 2, 3, 4]
    last = numbers.index(4)
    assert Part.objects.get(pk="SP-2").name == f"Spacer {last}"
    assert package_of(revision_info()) == packages[last]


# --- what the application's role may not --------------------------------------------------------------------


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE catalog_revision SET note = 'changed'",
        "DELETE FROM catalog_revision",
        "UPDATE catalog_storedfile SET content = ''",
        "DELETE FROM catalog_storedfile",
        "DELETE FROM catalog_part",
        "DELETE FROM catalog_winchmodel",
        "TRUNCATE catalog_maker",
    ],
)
def test_the_application_takes_nothing_back(keeper: Keeper, tmp_path: Path, statement: str) -> None:
    keeper.publish(small().package(tmp_path))
    with tenant(organization=keeper.organization.pk, person=keeper.person.pk):
        with pytest.raises(DatabaseError, match="permission denied"), transaction.atomic():
            with connection.cursor() as cursor:
                cursor.execute(statement)


def test_the_database_lets_only_keepers_add_revisions_and_files(keeper: Keeper, tmp_path: Path) -> None:
    published = keeper.publish(small().package(tmp_path))
    yard, person = OrganizationFactory.create(), PersonFactory.create()
    MembershipFactory.create(organization=yard, person=person)
    content = b"anything"
    with tenant(organization=yard.pk, person=person.pk):
        with pytest.raises(DatabaseError, match="row-level security"), transaction.atomic():
            StoredFile.objects.create(sha256=canonical_hash(content), content=content)
        with pytest.raises(DatabaseError, match="row-level security"), transaction.atomic():
            Revision.objects.create(
                number=2, description=published.revision.description, published_by=person, counts={}
            )
    with tenant(organization=keeper.organization.pk, person=keeper.person.pk):
        with pytest.raises(DatabaseError, match="row-level security"), transaction.atomic():
            Revision.objects.create(
                number=2, description=published.revision.description, published_by=person, counts={}
            )


def canonical_hash(content: bytes) -> str:
    import hashlib

    return hashlib.sha256(content).hexdigest()


def test_a_stored_file_is_what_its_hash_says(keeper: Keeper) -> None:
    with tenant(organization=keeper.organization.pk, person=keeper.person.pk):
        with pytest.raises(IntegrityError, match="stored_file_is_what_it_says"), transaction.atomic():
            StoredFile.objects.create(sha256=canonical_hash(b"one"), content=b"another")


# --- asking revisions ---------------------------------------------------------------------------------------


def test_without_a_revision_there_is_nothing_to_ask() -> None:
    with pytest.raises(NothingPublished):
        revision_info()


@pytest.mark.parametrize("number", [0, -1, 2, 2**31, 10**30])
def test_an_unknown_revision_is_a_fault(keeper: Keeper, tmp_path: Path, number: int) -> None:
    keeper.publish(small().package(tmp_path))
    with pytest.raises(UnknownRevision) as fault:
        compiled(number)
    assert fault.value.code == "unknown-revision"


def test_an_old_revision_can_still_be_asked(keeper: Keeper, tmp_path: Path) -> None:
    draft = small()
    keeper.publish(draft.package(tmp_path))
    draft.find("spacers", sku="SP-2")["thickness_mm"] = "2.5"
    keeper.publish(draft.package(tmp_path))
    (new, newest), (old, first) = compiled(), compiled(1)
    assert (new.number, old.number) == (2, 1)
    assert newest.catalog.spacers["SP-2"].thickness_um == 2_500
    assert first.catalog.spacers["SP-2"].thickness_um == 2_000
    assert compiled(1)[1] is first, "it is compiled once"


def test_a_revision_comes_back_as_it_was_published(
    keeper: Keeper, tmp_path: Path, rng: random.Random
) -> None:
    package = made_up(rng, parts=40).package(tmp_path)
    keeper.publish(package)
    check_constraints_now()
    info = revision_info()
    assert package_of(info) == package
    assert files_of(info) == canonical(package).files
