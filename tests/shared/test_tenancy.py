"""Whose rows are seen: row policies, tried as the application's role with rows of two organizations."""

import uuid
from dataclasses import dataclass

import pytest
from django.db import DatabaseError, IntegrityError, connection, transaction

from shared import record
from shared.models import Membership, Organization, Person, RecordEntry
from shared.tenancy import (
    NOBODY,
    Context,
    NoTransaction,
    current_context,
    new_id,
    require_transaction,
    tenant,
)
from tests.factories import MembershipFactory, OrganizationFactory, PersonFactory, RecordEntryFactory

pytestmark = pytest.mark.django_db


@dataclass
class Cast:
    """An owner, a colleague in the same organization, and a stranger in another."""

    here: Organization
    there: Organization
    owner: Person
    colleague: Person
    stranger: Person


@pytest.fixture
def cast() -> Cast:
    here, there = OrganizationFactory.create(name="Here"), OrganizationFactory.create(name="There")
    owner, colleague, stranger = PersonFactory.create(), PersonFactory.create(), PersonFactory.create()
    MembershipFactory.create(organization=here, person=owner, role="manager")
    MembershipFactory.create(organization=here, person=colleague)
    MembershipFactory.create(organization=there, person=stranger, role="manager")
    return Cast(here=here, there=there, owner=owner, colleague=colleague, stranger=stranger)


def test_the_tests_run_as_a_role_that_owns_nothing_and_bypasses_nothing() -> None:
    with connection.cursor() as cursor:
        cursor.execute("SELECT rolsuper, rolbypassrls FROM pg_roles WHERE rolname = current_user")
        assert cursor.fetchone() == (False, False)
        cursor.execute("SELECT count(*) FROM pg_class WHERE pg_get_userbyid(relowner) = current_user")
        assert cursor.fetchone() == (0,)


def test_without_a_context_nobody_sees_anything(cast: Cast) -> None:
    assert current_context() == NOBODY
    assert not Membership.objects.exists()
    assert not Organization.objects.exists()


def test_an_organization_sees_its_own_rows_only(cast: Cast) -> None:
    with tenant(organization=cast.here.pk):
        assert set(Membership.objects.values_list("person_id", flat=True)) == {
            cast.owner.pk,
            cast.colleague.pk,
        }
        assert list(Organization.objects.all()) == [cast.here]
    with tenant(organization=cast.there.pk):
        assert set(Membership.objects.values_list("person_id", flat=True)) == {cast.stranger.pk}


def test_sign_in_finds_a_persons_memberships_before_any_organization_is_set(cast: Cast) -> None:
    MembershipFactory.create(organization=cast.there, person=cast.owner)
    with tenant(organization=None, person=cast.owner.pk):
        assert set(Membership.objects.values_list("organization_id", flat=True)) == {
            cast.here.pk,
            cast.there.pk,
        }
        assert set(Organization.objects.all()) == {cast.here, cast.there}


def test_a_row_cannot_be_written_into_another_organization(cast: Cast) -> None:
    with tenant(organization=cast.here.pk), pytest.raises(DatabaseError, match="row-level security"):
        with transaction.atomic():
            Membership.objects.create(organization=cast.there, person=cast.owner, role="manager")
    with tenant(organization=cast.here.pk), pytest.raises(DatabaseError, match="row-level security"):
        with transaction.atomic():
            Membership.objects.filter(person=cast.owner).update(organization=cast.there)


def test_rows_of_another_organization_are_neither_changed_nor_removed(cast: Cast) -> None:
    with tenant(organization=cast.here.pk, person=cast.owner.pk):
        assert Membership.objects.filter(person=cast.stranger).update(role="reader") == 0
        assert Membership.objects.filter(person=cast.stranger).delete()[0] == 0
        assert Organization.objects.filter(pk=cast.there.pk).update(name="Taken") == 0
    with tenant(organization=cast.there.pk):
        assert Membership.objects.get().role == "manager"


def test_seeing_ones_memberships_is_not_changing_them(cast: Cast) -> None:
    with tenant(organization=None, person=cast.colleague.pk):
        assert Membership.objects.update(role="manager") == 0
        assert Membership.objects.all().delete()[0] == 0


def test_another_organization_cannot_be_founded_in_ones_own_name(cast: Cast) -> None:
    with tenant(organization=cast.here.pk), pytest.raises(DatabaseError, match="row-level security"):
        with transaction.atomic():
            Organization.objects.create(id=new_id(), name="False", kind="yard")


def test_organizations_are_never_deleted_by_the_application(cast: Cast) -> None:
    with tenant(organization=cast.here.pk), pytest.raises(DatabaseError, match="permission denied"):
        with transaction.atomic(), connection.cursor() as cursor:
            cursor.execute("DELETE FROM shared_organization")


def test_one_person_is_a_member_once(cast: Cast) -> None:
    with pytest.raises(IntegrityError, match="membership_once"), transaction.atomic():
        MembershipFactory.create(organization=cast.here, person=cast.owner)


def test_an_address_in_two_spellings_is_one_person() -> None:
    Person.objects.create_user(" Ada@Example.org ")
    assert Person.objects.get_by_natural_key("ADA@example.org").email == "ada@example.org"
    with pytest.raises(IntegrityError, match="shared_person_email"), transaction.atomic():
        Person.objects.create_user("ADA@EXAMPLE.ORG")
    with pytest.raises(IntegrityError, match="person_email_lower_case"), transaction.atomic():
        Person.objects.create(email="Bea@example.org")


def test_passwords_are_hashed_with_argon2() -> None:
    person = PersonFactory.create(password="winch handle out first")
    assert person.password.startswith("argon2")
    assert person.check_password("winch handle out first")
    assert not PersonFactory.create().has_usable_password()


# --- the context itself
# ---------------------------------------------------------------------------------------


def test_the_context_is_restored_at_the_end(cast: Cast) -> None:
    with tenant(organization=cast.here.pk, person=cast.owner.pk):
        with tenant(organization=cast.there.pk):
            assert current_context() == Context(organization=cast.there.pk)
        assert current_context() == Context(person=cast.owner.pk, organization=cast.here.pk)
        with pytest.raises(ZeroDivisionError), tenant(organization=cast.there.pk):
            1 / 0  # noqa: B018
        assert current_context() == Context(person=cast.owner.pk, organization=cast.here.pk)
        with pytest.raises(DatabaseError), tenant(organization=cast.there.pk), connection.cursor() as cursor:
            cursor.execute("SELECT 1 / 0")
        assert current_context() == Context(person=cast.owner.pk, organization=cast.here.pk)
    assert current_context() == NOBODY


def test_only_uuids_make_a_context() -> None:
    with pytest.raises(TypeError, match="not str"), tenant(organization="' OR true --"):  # type: ignore[arg-type]
        pass


@pytest.mark.django_db(transaction=True)
def test_nothing_is_left_on_the_connection(cast: Cast) -> None:
    with tenant(organization=cast.here.pk, person=cast.owner.pk):
        assert Membership.objects.count() == 2
    assert current_context() == NOBODY
    assert not Membership.objects.exists()


@pytest.mark.django_db(transaction=True)
def test_what_needs_a_transaction_refuses_to_go_without() -> None:
    with pytest.raises(NoTransaction):
        require_transaction()
    with pytest.raises(NoTransaction):
        record.append("catalog.published", subject=Person(id=uuid.uuid4()))


# --- the record
# -----------------------------------------------------------------------------------------------


def test_an_entry_says_who_what_and_to_what(cast: Cast) -> None:
    with tenant(organization=cast.here.pk, person=cast.owner.pk):
        record.append("membership.ended", subject=cast.colleague, facts={"role": "member"})
        entry = RecordEntry.objects.get()
    assert (entry.organization_id, entry.person_id) == (cast.here.pk, cast.owner.pk)
    assert (entry.action, entry.subject_kind) == ("membership.ended", "shared.person")
    assert (entry.subject_key, entry.facts) == (str(cast.colleague.pk), {"role": "member"})
    assert entry.id.version == 7


def test_entries_are_seen_by_their_organization_only(cast: Cast) -> None:
    RecordEntryFactory.create(organization=cast.here, person=cast.owner)
    RecordEntryFactory.create(organization=cast.there, person=cast.stranger)
    with tenant(organization=cast.here.pk):
        assert [entry.organization_id for entry in RecordEntry.objects.all()] == [cast.here.pk]
    assert not RecordEntry.objects.exists()


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE shared_recordentry SET action = 'a.b'",
        "DELETE FROM shared_recordentry",
        "TRUNCATE shared_recordentry",
    ],
)
def test_the_record_is_only_added_to(cast: Cast, statement: str) -> None:
    RecordEntryFactory.create(organization=cast.here, person=cast.owner)
    with tenant(organization=cast.here.pk), pytest.raises(DatabaseError, match="permission denied"):
        with transaction.atomic(), connection.cursor() as cursor:
            cursor.execute(statement)


def test_nobody_writes_in_anothers_name(cast: Cast) -> None:
    with (
        tenant(organization=cast.here.pk, person=cast.owner.pk),
        pytest.raises(DatabaseError, match="row-level"),
    ):
        with transaction.atomic():
            RecordEntry.objects.create(
                organization=cast.here, person=cast.colleague, action="a.b", subject_kind="x", subject_key="1"
            )


def test_only_a_keeper_writes_to_the_public_record(cast: Cast) -> None:
    keeper = OrganizationFactory.create(kind=Organization.Kind.KEEPER)
    with (
        tenant(organization=cast.here.pk, person=cast.owner.pk),
        pytest.raises(DatabaseError, match="row-level"),
    ):
        with transaction.atomic():
            record.append("catalog.published", subject=cast.owner, public=True)
    with tenant(organization=keeper.pk, person=cast.owner.pk):
        record.append("catalog.published", subject=cast.owner, public=True)
    assert [entry.action for entry in RecordEntry.objects.all()] == ["catalog.published"]


def test_an_action_is_a_code(cast: Cast) -> None:
    with pytest.raises(IntegrityError, match="record_action_is_code"), transaction.atomic():
        RecordEntryFactory.create(organization=cast.here, person=cast.owner, action="Published it")
