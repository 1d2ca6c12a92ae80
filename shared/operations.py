"""Migration operations for what Django's own do not know: row policies, grants, composite keys, fills.

Each runs on the owner's connection, can be reversed, and leaves Django's state of the models alone. For a new
tenant table:

    migrations.CreateModel(name="Survey", ...),
    RowPolicies("Survey"),
    CompositeForeignKey("Survey", "boat"),

The app's role may select, insert, update and delete in every new table (the owner's default privileges);
``Grant`` leaves it less.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from django.core.exceptions import ImproperlyConfigured
from django.db import connections, transaction
from django.db.backends.base.schema import BaseDatabaseSchemaEditor
from django.db.migrations.operations.base import Operation, OperationCategory
from django.db.migrations.state import ProjectState
from django.db.models import ForeignKey
from django.db.models.options import Options

PERSON = "(select nullif(current_setting('app.person', true), '')::uuid)"
"""The person set for the transaction. In a sub-select it is read once, not once a row."""
ORGANIZATION = "(select nullif(current_setting('app.organization', true), '')::uuid)"
"""The organization set for the transaction; null when none is."""
OWN_ROWS = f"organization_id = {ORGANIZATION}"


class WrongCount(Exception):
    """A fill touched another number of rows than was to be filled; nothing is kept."""


@dataclass(frozen=True, slots=True)
class Policy:
    """One row policy: for which command, rows seen (``using``), rows that may be written (``check``)."""

    name: str
    command: str
    using: str = ""
    check: str = ""

    def sql(self, table: str) -> str:
        using = f" USING ({self.using})" if self.using else ""
        check = f" WITH CHECK ({self.check})" if self.check else ""
        return f'CREATE POLICY "{self.name}" ON {table} FOR {self.command}{using}{check}'


OWN_ORGANIZATION = (Policy("own_organization", "ALL", using=OWN_ROWS, check=OWN_ROWS),)
"""The policy of most tenant tables: the rows of the organization that is set, to see and to write."""


class TableOperation(Operation):
    """Base: statements on one model's table, forwards and backwards."""

    reduces_to_sql = True
    reversible = True
    category = OperationCategory.SQL

    def __init__(self, model_name: str) -> None:
        self.model_name = model_name

    def state_forwards(self, app_label: str, state: ProjectState) -> None:
        """The models stay as they are."""

    def database_forwards(
        self,
        app_label: str,
        schema_editor: BaseDatabaseSchemaEditor,
        from_state: ProjectState,
        to_state: ProjectState,
    ) -> None:
        meta = self._meta(app_label, to_state)
        if self.allow_migrate_model(schema_editor.connection.alias, meta.model):
            self.forwards(schema_editor, meta)

    def database_backwards(
        self,
        app_label: str,
        schema_editor: BaseDatabaseSchemaEditor,
        from_state: ProjectState,
        to_state: ProjectState,
    ) -> None:
        # Backwards, the model as it was is in the state that is left.
        meta = self._meta(app_label, from_state)
        if self.allow_migrate_model(schema_editor.connection.alias, meta.model):
            self.backwards(schema_editor, meta)

    def forwards(self, editor: BaseDatabaseSchemaEditor, meta: "Options[Any]") -> None:
        raise NotImplementedError

    def backwards(self, editor: BaseDatabaseSchemaEditor, meta: "Options[Any]") -> None:
        raise NotImplementedError

    def _meta(self, app_label: str, state: ProjectState) -> "Options[Any]":
        meta: Options[Any] = state.apps.get_model(app_label, self.model_name)._meta
        return meta


class RowPolicies(TableOperation):
    """Row security on a table, enabled and forced (the owner is bound by it too), with these policies."""

    def __init__(self, model_name: str, policies: Sequence[Policy] = OWN_ORGANIZATION) -> None:
        super().__init__(model_name)
        self.policies = policies

    def forwards(self, editor: BaseDatabaseSchemaEditor, meta: "Options[Any]") -> None:
        table = editor.quote_name(meta.db_table)
        editor.execute(f"ALTER TABLE {table} ENABLE ROW LEVEL SECURITY, FORCE ROW LEVEL SECURITY")
        for policy in self.policies:
            editor.execute(policy.sql(table))

    def backwards(self, editor: BaseDatabaseSchemaEditor, meta: "Options[Any]") -> None:
        table = editor.quote_name(meta.db_table)
        for policy in self.policies:
            editor.execute(f'DROP POLICY "{policy.name}" ON {table}')
        editor.execute(f"ALTER TABLE {table} NO FORCE ROW LEVEL SECURITY, DISABLE ROW LEVEL SECURITY")

    def describe(self) -> str:
        return f"Keep the rows of {self.model_name} apart by row policies"


class Grant(TableOperation):
    """What the app's role may do with a table, no more: ``Grant("RecordEntry", "select, insert")``."""

    def __init__(self, model_name: str, rights: str) -> None:
        super().__init__(model_name)
        self.rights = rights

    def forwards(self, editor: BaseDatabaseSchemaEditor, meta: "Options[Any]") -> None:
        grant(editor, meta.db_table, self.rights)

    def backwards(self, editor: BaseDatabaseSchemaEditor, meta: "Options[Any]") -> None:
        grant(editor, meta.db_table, "select, insert, update, delete")

    def describe(self) -> str:
        return f"Let the application {self.rights or 'do nothing'} in {self.model_name}"


class CompositeForeignKey(TableOperation):
    """A key (organization, field) to another tenant table's (organization, id).

    Foreign keys ignore row security: with the plain key one organization could attach its row to another's.
    The field is a ``ForeignKey(db_constraint=False)``. Checked at once, so that the faulty statement is the
    one that fails.
    """

    def __init__(self, model_name: str, field_name: str) -> None:
        super().__init__(model_name)
        self.field_name = field_name

    def forwards(self, editor: BaseDatabaseSchemaEditor, meta: "Options[Any]") -> None:
        quote = editor.quote_name
        field = meta.get_field(self.field_name)
        if not isinstance(field, ForeignKey):
            raise TypeError(f"{self.field_name} of {self.model_name} is no ForeignKey.")
        to = field.remote_field.model._meta.db_table
        editor.execute(
            f"ALTER TABLE {quote(meta.db_table)} ADD CONSTRAINT {quote(self._name(meta))}"
            f" FOREIGN KEY (organization_id, {quote(field.column)})"
            f" REFERENCES {quote(to)} (organization_id, id)"
            " DEFERRABLE INITIALLY IMMEDIATE"
        )

    def backwards(self, editor: BaseDatabaseSchemaEditor, meta: "Options[Any]") -> None:
        table, name = editor.quote_name(meta.db_table), editor.quote_name(self._name(meta))
        editor.execute(f"ALTER TABLE {table} DROP CONSTRAINT {name}")

    def _name(self, meta: "Options[Any]") -> str:
        return f"{meta.db_table}_{self.field_name}_same_organization"[:63]

    def describe(self) -> str:
        return f"Tie {self.field_name} of {self.model_name} to rows of the same organization"


class FillRows(TableOperation):
    """Fill data with the force of row security lifted, and fail unless exactly the expected rows were
    touched.

    Under forced row security a migration sees no rows, touches none and reports no error. ``sql`` is one
    UPDATE or INSERT; ``expected`` is a query for the number of rows that it must touch, asked before;
    ``also`` names further tables that either reads. Not undone backwards: filled columns are dropped by the
    operations before.
    """

    def __init__(self, model_name: str, *, sql: str, expected: str, also: Sequence[str] = ()) -> None:
        super().__init__(model_name)
        self.sql, self.expected, self.also = sql, expected, also

    def forwards(self, editor: BaseDatabaseSchemaEditor, meta: "Options[Any]") -> None:
        tables = [editor.quote_name(name) for name in (meta.db_table, *self.also)]
        with transaction.atomic(using=editor.connection.alias), editor.connection.cursor() as cursor:
            forced = [table for table in tables if _is_forced(cursor, table)]
            for table in forced:
                cursor.execute(f"ALTER TABLE {table} NO FORCE ROW LEVEL SECURITY")
            cursor.execute(self.expected)
            expected = cursor.fetchone()[0]
            cursor.execute(self.sql)
            if cursor.rowcount != expected:
                raise WrongCount(
                    f"{meta.db_table}: {cursor.rowcount} rows filled, {expected} expected; nothing is kept."
                )
            for table in forced:
                cursor.execute(f"ALTER TABLE {table} FORCE ROW LEVEL SECURITY")

    def backwards(self, editor: BaseDatabaseSchemaEditor, meta: "Options[Any]") -> None:
        """Nothing to undo."""

    def describe(self) -> str:
        return f"Fill rows of {self.model_name}"


def _is_forced(cursor: Any, table: str) -> bool:  # noqa: ANN401 - a cursor of Django's, wrapped or not
    cursor.execute("SELECT relforcerowsecurity FROM pg_class WHERE oid = %s::regclass", [table])
    return bool(cursor.fetchone()[0])


def app_role() -> str:
    """The role that the web and the workers log in as."""
    role = str(connections["default"].settings_dict["USER"])
    if not role or role == connections["owner"].settings_dict["USER"]:
        raise ImproperlyConfigured("Migrations must run as the owner, not as the role of the application.")
    return role


def grant(editor: BaseDatabaseSchemaEditor, table: str, rights: str) -> None:
    """Leave the app's role exactly ``rights`` ("select, insert", or "" for none) on a table."""
    table, role = editor.quote_name(table), editor.quote_name(app_role())
    editor.execute(f"REVOKE ALL ON {table} FROM {role}")
    if rights:
        editor.execute(f"GRANT {rights} ON {table} TO {role}")
