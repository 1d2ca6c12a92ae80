"""Migration operations, run as the owner on tables of this test's own and then tried as the application."""

from collections.abc import Iterator
from typing import Any

import pytest
from django.db import DatabaseError, IntegrityError, connection, connections, migrations, models, transaction
from django.db.migrations.state import ProjectState
from django.db.models.functions import UUID7

from shared.models import Organization
from shared.operations import CompositeForeignKey, FillRows, Grant, RowPolicies, TableOperation, WrongCount
from shared.tenancy import tenant
from tests.factories import OrganizationFactory

pytestmark = pytest.mark.django_db(transaction=True, databases=["default", "owner"])

APP = "trial"


def tenant_table(name: str, *fields: "tuple[str, models.Field[Any, Any]]") -> migrations.CreateModel:
    return migrations.CreateModel(
        name=name,
        fields=[
            ("id", models.UUIDField(primary_key=True, db_default=UUID7(), editable=False)),
            (
                "organization",
                models.ForeignKey("shared.Organization", on_delete=models.PROTECT, related_name="+"),
            ),
            *fields,
        ],
        options={
            "constraints": [
                models.UniqueConstraint(fields=["organization", "id"], name=f"trial_{name.lower()}_key")
            ]
        },
    )


BOAT = tenant_table("Boat", ("name", models.TextField()), ("berth", models.TextField(null=True)))
SURVEY = tenant_table(
    "Survey", ("boat", models.ForeignKey("trial.Boat", db_constraint=False, on_delete=models.PROTECT))
)


class Trial:
    """A line of migrations, run on the real database."""

    def __init__(self) -> None:
        self.state = ProjectState.from_apps(_apps())
        self.done: list[tuple[migrations.operations.base.Operation, ProjectState, ProjectState]] = []

    def run(self, *operations: migrations.operations.base.Operation) -> None:
        for operation in operations:
            before = self.state.clone()
            operation.state_forwards(APP, self.state)
            with connections["owner"].schema_editor() as editor:
                operation.database_forwards(APP, editor, before, self.state)
            self.done.append((operation, before, self.state.clone()))

    def undo(self) -> None:
        while self.done:
            operation, before, after = self.done.pop()
            with connections["owner"].schema_editor() as editor:
                operation.database_backwards(APP, editor, after, before)
            self.state = before


def _apps() -> Any:  # noqa: ANN401 - Django's registry
    from django.apps import apps

    return apps


@pytest.fixture
def trial() -> Iterator[Trial]:
    made = Trial()
    yield made
    made.undo()
    left = sql("SELECT relname FROM pg_class WHERE relname LIKE 'trial%%'")
    assert left == []


@pytest.fixture
def two() -> tuple[Organization, Organization]:
    return OrganizationFactory.create(), OrganizationFactory.create()


def sql(statement: str, *given: Any, alias: str = "default") -> list[tuple[Any, ...]]:
    with connections[alias].cursor() as cursor:
        cursor.execute(statement, given)
        return cursor.fetchall() if cursor.description else []


def moor(organization: Organization, name: str) -> object:
    with tenant(organization=organization.pk):
        return sql(
            "INSERT INTO trial_boat (organization_id, name) VALUES (%s, %s) RETURNING id",
            organization.pk,
            name,
        )[0][0]


def test_row_policies_keep_organizations_apart(trial: Trial, two: tuple[Organization, Organization]) -> None:
    trial.run(BOAT, RowPolicies("Boat"))
    for organization in two:
        moor(organization, f"of {organization.name}")
    for organization in two:
        with tenant(organization=organization.pk):
            assert sql("SELECT name FROM trial_boat") == [(f"of {organization.name}",)]
            assert sql("UPDATE trial_boat SET name = name RETURNING organization_id") == [(organization.pk,)]
    assert sql("SELECT name FROM trial_boat") == []
    assert sql("SELECT name FROM trial_boat", alias="owner") == []


def test_without_policies_the_trial_would_see_everything(
    trial: Trial, two: tuple[Organization, Organization]
) -> None:
    """What the test above relies on: the same rows, no policies, and both are there."""
    trial.run(BOAT)
    for organization in two:
        moor(organization, "seen")
    assert len(sql("SELECT name FROM trial_boat")) == 2


def test_a_row_cannot_be_put_into_another_organization(
    trial: Trial, two: tuple[Organization, Organization]
) -> None:
    trial.run(BOAT, RowPolicies("Boat"))
    here, there = two
    boat = moor(here, "Here")
    for statement in (
        "INSERT INTO trial_boat (organization_id, name) VALUES (%s, 'New')",
        "UPDATE trial_boat SET organization_id = %s",
    ):
        with pytest.raises(DatabaseError, match="row-level security"), tenant(organization=here.pk):
            sql(statement, there.pk)
    with tenant(organization=there.pk):
        assert sql("DELETE FROM trial_boat WHERE id = %s RETURNING id", boat) == []


def test_a_composite_key_refuses_another_organizations_row(
    trial: Trial, two: tuple[Organization, Organization]
) -> None:
    trial.run(BOAT, RowPolicies("Boat"), SURVEY, RowPolicies("Survey"), CompositeForeignKey("Survey", "boat"))
    here, there = two
    mine, theirs = moor(here, "Mine"), moor(there, "Theirs")
    insert = "INSERT INTO trial_survey (organization_id, boat_id) VALUES (%s, %s)"
    with tenant(organization=here.pk):
        sql(insert, here.pk, mine)
        with pytest.raises(IntegrityError, match="trial_survey_boat_same_organization"), transaction.atomic():
            sql(insert, here.pk, theirs)
        with pytest.raises(IntegrityError, match="trial_survey_boat_same_organization"), transaction.atomic():
            sql("DELETE FROM trial_boat")


def test_a_plain_key_would_accept_it(trial: Trial, two: tuple[Organization, Organization]) -> None:
    """Why the composite key exists: the same rows, an ordinary constraint, and nothing is refused."""
    plain = tenant_table("Survey", ("boat", models.ForeignKey("trial.Boat", on_delete=models.PROTECT)))
    trial.run(BOAT, RowPolicies("Boat"), plain, RowPolicies("Survey"))
    here, there = two
    theirs = moor(there, "Theirs")
    with tenant(organization=here.pk):
        sql("INSERT INTO trial_survey (organization_id, boat_id) VALUES (%s, %s)", here.pk, theirs)


def test_a_composite_key_is_for_foreign_keys(trial: Trial) -> None:
    with pytest.raises(TypeError, match="name of Boat is no ForeignKey"):
        trial.run(BOAT, CompositeForeignKey("Boat", "name"))


def test_a_grant_leaves_what_it_says(trial: Trial, two: tuple[Organization, Organization]) -> None:
    trial.run(BOAT, RowPolicies("Boat"), Grant("Boat", "select, insert"))
    moor(two[0], "Kept")
    for statement in ("UPDATE trial_boat SET name = ''", "DELETE FROM trial_boat", "TRUNCATE trial_boat"):
        with pytest.raises(DatabaseError, match="permission denied"), tenant(organization=two[0].pk):
            sql(statement)


FILL = "UPDATE trial_boat SET berth = 'A1' WHERE berth IS NULL"
EXPECTED = "SELECT count(*) FROM trial_boat WHERE berth IS NULL"


def test_an_ordinary_fill_touches_nothing_and_says_nothing(
    trial: Trial, two: tuple[Organization, Organization]
) -> None:
    """Why ``FillRows`` exists: forced row security hides every row from the owner too."""
    trial.run(BOAT, RowPolicies("Boat"))
    moor(two[0], "Hidden")
    trial.run(migrations.RunSQL(FILL, migrations.RunSQL.noop))
    with tenant(organization=two[0].pk):
        assert sql("SELECT berth FROM trial_boat") == [(None,)]


def test_a_fill_touches_every_organizations_rows(
    trial: Trial, two: tuple[Organization, Organization]
) -> None:
    trial.run(BOAT, RowPolicies("Boat"))
    for organization in two:
        moor(organization, "To fill")
    trial.run(FillRows("Boat", sql=FILL, expected=EXPECTED))
    for organization in two:
        with tenant(organization=organization.pk):
            assert sql("SELECT berth FROM trial_boat") == [("A1",)]
    assert sql("SELECT relforcerowsecurity FROM pg_class WHERE relname = 'trial_boat'") == [(True,)]


@pytest.mark.parametrize("expected", ["SELECT 1", "SELECT 3"])
def test_a_fill_of_another_number_of_rows_keeps_nothing(
    trial: Trial, two: tuple[Organization, Organization], expected: str
) -> None:
    trial.run(BOAT, RowPolicies("Boat"))
    for organization in two:
        moor(organization, "To fill")
    with pytest.raises(WrongCount, match="2 rows filled"):
        trial.run(FillRows("Boat", sql=FILL, expected=expected))
    with tenant(organization=two[0].pk):
        assert sql("SELECT berth FROM trial_boat") == [(None,)]
    assert sql("SELECT relforcerowsecurity FROM pg_class WHERE relname = 'trial_boat'") == [(True,)]


def test_a_fill_reads_other_forced_tables_only_when_told(
    trial: Trial, two: tuple[Organization, Organization]
) -> None:
    trial.run(BOAT, RowPolicies("Boat"), SURVEY, RowPolicies("Survey"), CompositeForeignKey("Survey", "boat"))
    boat = moor(two[0], "Surveyed")
    with tenant(organization=two[0].pk):
        sql("INSERT INTO trial_survey (organization_id, boat_id) VALUES (%s, %s)", two[0].pk, boat)
    fill = "UPDATE trial_boat SET berth = 'A1' WHERE id IN (SELECT boat_id FROM trial_survey)"
    with pytest.raises(WrongCount, match="0 rows filled, 1 expected"):
        trial.run(FillRows("Boat", sql=fill, expected=EXPECTED))
    trial.run(FillRows("Boat", sql=fill, expected=EXPECTED, also=["trial_survey"]))
    with tenant(organization=two[0].pk):
        assert sql("SELECT berth FROM trial_boat") == [("A1",)]


def test_operations_do_nothing_on_another_alias(trial: Trial) -> None:
    trial.run(BOAT)
    operation: TableOperation = RowPolicies("Boat")
    with connection.schema_editor() as editor:
        operation.database_forwards(APP, editor, trial.state, trial.state)
    assert sql("SELECT relrowsecurity FROM pg_class WHERE relname = 'trial_boat'") == [(False,)]


def test_each_operation_says_what_it_does() -> None:
    said = [
        operation.describe()
        for operation in (
            RowPolicies("Boat"),
            Grant("Boat", "select"),
            CompositeForeignKey("Survey", "boat"),
            FillRows("Boat", sql="", expected=""),
        )
    ]
    assert len(set(said)) == 4
    assert all("Boat" in text or "boat" in text for text in said)
