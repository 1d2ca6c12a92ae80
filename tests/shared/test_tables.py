"""The tables as the database has them: declared, guarded, granted, and in step with the models."""

from pathlib import Path

import pytest
from django.apps import apps
from django.conf import settings
from django.core.management import call_command
from django.db import connection
from django.db.migrations.loader import MigrationLoader

from shared.operations import app_role
from shared.tenancy import LIBRARY_TABLES, TableKind, TenantModel, table_kinds

pytestmark = pytest.mark.django_db(databases=["default", "owner"])

TENANT_TABLES = sorted(table for table, kind in table_kinds().items() if kind is TableKind.TENANT)


def column(sql: str, *given: str) -> list[object]:
    with connection.cursor() as cursor:
        cursor.execute(sql, given)
        return [row[0] for row in cursor.fetchall()]


def test_no_migration_is_missing() -> None:
    call_command("makemigrations", check=True, dry_run=True, verbosity=0)


def test_every_migration_of_ours_is_named() -> None:
    ours = [
        name
        for app, name in MigrationLoader(None).disk_migrations
        if Path(apps.get_app_config(app).path).is_relative_to(settings.BASE_DIR)
        and ".venv" not in apps.get_app_config(app).path
    ]
    assert ours
    assert not [name for name in ours if name.endswith("_initial") or "_auto_" in name]


def test_every_table_is_declared() -> None:
    there = column(
        "SELECT relname FROM pg_class WHERE relkind IN ('r', 'p') AND relnamespace = 'public'::regnamespace"
    )
    assert set(there) == set(table_kinds())


def test_a_model_that_declares_nothing_is_found_out(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delattr("shared.models.Person.table_kind")
    with pytest.raises(LookupError, match=r"shared\.Person must declare its table_kind"):
        table_kinds()


@pytest.mark.parametrize("table", TENANT_TABLES)
def test_row_security_is_enabled_and_forced_on_tenant_tables(table: str) -> None:
    with connection.cursor() as cursor:
        cursor.execute("SELECT relrowsecurity, relforcerowsecurity FROM pg_class WHERE relname = %s", [table])
        assert cursor.fetchone() == (True, True)


def test_no_table_has_policies_that_are_not_in_force() -> None:
    guarded = column("SELECT DISTINCT tablename FROM pg_policies")
    forced = column("SELECT relname FROM pg_class WHERE relrowsecurity AND relforcerowsecurity")
    assert set(TENANT_TABLES) <= set(guarded)
    assert set(guarded) == set(forced)


@pytest.mark.parametrize("table", TENANT_TABLES)
def test_every_right_on_a_tenant_table_is_bound_by_a_policy(table: str) -> None:
    """What is read or changed is bound by USING, what is written by WITH CHECK, each by the context."""
    with connection.cursor() as cursor:
        cursor.execute("SELECT cmd, qual, with_check FROM pg_policies WHERE tablename = %s", [table])
        policies = cursor.fetchall()
    for command, using, check in policies:
        for bound in (using, check):
            assert bound is None or "current_setting('app." in bound
            # In a sub-select the setting is read once for a statement, not once for a row.
            assert bound is None or "SELECT (NULLIF(current_setting" in bound
        assert command == "INSERT" or using is not None
        assert command in {"SELECT", "DELETE"} or check is not None
    bound_commands = {command for command, _, _ in policies}
    for right in rights(table):
        assert {right.upper(), "ALL"} & bound_commands, right


def test_unique_keys_of_tenant_tables_contain_the_organization() -> None:
    """A unique key without it would tell that another organization's row exists."""
    allowed = {("shared_organization", "id")}
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT c.relname, string_agg(a.attname, ',' ORDER BY a.attname), i.indisprimary FROM pg_index i"
            " JOIN pg_class c ON c.oid = i.indrelid"
            " JOIN pg_attribute a ON a.attrelid = c.oid AND a.attnum = ANY (i.indkey)"
            " WHERE i.indisunique AND c.relname = ANY (%s) GROUP BY c.relname, i.indexrelid, i.indisprimary",
            [TENANT_TABLES],
        )
        keys = cursor.fetchall()
    assert len(keys) > len(TENANT_TABLES)
    for table, columns, primary in keys:
        surrogate = primary and columns == "id"
        assert surrogate or (table, columns) in allowed or "organization_id" in columns.split(","), (
            table,
            columns,
        )


def test_tenant_tables_have_the_key_that_others_refer_to() -> None:
    for model in apps.get_models():
        if issubclass(model, TenantModel):
            names = [constraint.name for constraint in model._meta.constraints]
            assert f"{model._meta.app_label}_{model._meta.model_name}_key" in names


def test_references_between_tenant_tables_carry_the_organization() -> None:
    """Foreign keys ignore row security: the plain key would let one tenant attach its row to another's."""
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT conrelid::regclass::text, confrelid::regclass::text, array_length(conkey, 1)"
            " FROM pg_constraint WHERE contype = 'f'"
        )
        constrained = {(table, to): columns for table, to, columns in cursor.fetchall()}
    for pair, columns in constrained.items():
        if set(pair) <= set(TENANT_TABLES) and pair[1] != "shared_organization":
            assert columns == 2, pair
    for pair in _references_of_models():
        assert pair in constrained, "the database does not know of this reference"


def _references_of_models() -> set[tuple[str, str]]:
    """Pairs (table, tenant table it refers to), as the models have them."""
    return {
        (model._meta.db_table, field.related_model._meta.db_table)
        for model in apps.get_models()
        for field in model._meta.fields
        if field.related_model and field.related_model._meta.db_table in TENANT_TABLES
    }


def rights(table: str) -> set[str]:
    granted = "SELECT privilege_type FROM information_schema.role_table_grants"
    found = column(granted + " WHERE table_name = %s AND grantee = %s", table, app_role())
    return {str(right).lower() for right in found}


@pytest.mark.parametrize("table", sorted(LIBRARY_TABLES))
def test_libraries_tables_grant_what_is_declared(table: str) -> None:
    declared = {right.strip() for right in LIBRARY_TABLES[table].split(",")} - {""}
    assert rights(table) == declared


def test_the_record_grants_reading_and_adding_only() -> None:
    assert rights("shared_recordentry") == {"select", "insert"}


def test_nothing_grants_more_than_rows() -> None:
    """No truncating, no triggers, no references, and nothing to everybody."""
    for table in table_kinds():
        assert rights(table) <= {"select", "insert", "update", "delete"}
    to_everybody = "SELECT table_name FROM information_schema.role_table_grants WHERE grantee = 'PUBLIC'"
    assert not column(to_everybody + " AND table_schema = 'public'")
