"""Whose rows are seen: the tenant's context in the database, and what kind each table is.

Two settings of the transaction decide, ``app.person`` and ``app.organization``; the row policies of the
tables read them (``shared/operations.py`` makes the policies). They are set with ``set_config(..., true)``,
so that they end with the transaction: a setting of the session would be there for whoever gets the pooled
connection next.

    with tenant(organization=yard.id, person=lead.id):
        survey = plan_survey(...)      # an action: it needs the transaction, and opens none itself
"""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from enum import StrEnum
from typing import ClassVar
from uuid import UUID

from django.apps import apps
from django.db import connections, models, transaction
from django.db.models.functions import UUID7


@dataclass(frozen=True, slots=True)
class Context:
    """Who acts, and for which organization; ``None`` is nobody and none."""

    person: UUID | None = None
    organization: UUID | None = None


NOBODY = Context()


class NoTransaction(RuntimeError):
    """A bug: something that must happen inside the caller's transaction was called outside any."""


def require_transaction(using: str = "default") -> None:
    """Raise ``NoTransaction`` unless a transaction is open. Actions begin with this."""
    if not connections[using].in_atomic_block:
        raise NoTransaction("Call this inside tenant(...) or a request: it must share a transaction.")


def set_context(context: Context, *, using: str = "default") -> None:
    """Set person and organization, both, until the end of the transaction that is open."""
    require_transaction(using)
    with connections[using].cursor() as cursor:
        cursor.execute(
            "SELECT set_config('app.person', %s, true), set_config('app.organization', %s, true)",
            [_setting(context.person), _setting(context.organization)],
        )


def current_context(*, using: str = "default") -> Context:
    """Read back what is set; ``NOBODY`` where nothing is."""
    with connections[using].cursor() as cursor:
        cursor.execute(
            "SELECT nullif(current_setting('app.person', true), '')::uuid,"
            " nullif(current_setting('app.organization', true), '')::uuid"
        )
        person, organization = cursor.fetchone()
    return Context(person=person, organization=organization)


def _setting(value: UUID | None) -> str:
    # Anything but a UUID would make every policy fail with a cast error, or worse, be somebody's text.
    if value is not None and not isinstance(value, UUID):
        raise TypeError(f"A tenant's context is made of UUIDs, not {type(value).__name__}.")
    return "" if value is None else str(value)


@contextmanager
def tenant(
    *, organization: UUID | None, person: UUID | None = None, using: str = "default"
) -> Iterator[None]:
    """Work for an organization inside one transaction; what was set before is set again at the end.

    Opens a transaction, or a savepoint in the one that is open. An exception rolls back what the block did;
    the settings go back with it, since PostgreSQL rolls them back too.
    """
    with transaction.atomic(using=using):
        before = current_context(using=using)
        set_context(Context(person=person, organization=organization), using=using)
        yield
        set_context(before, using=using)


def new_id(*, using: str = "default") -> UUID:
    """A UUIDv7 from the database, for a row that must be named before it is written."""
    with connections[using].cursor() as cursor:
        cursor.execute("SELECT uuidv7()")
        made: UUID = cursor.fetchone()[0]
    return made


# --- what kind each table is
# ---------------------------------------------------------------------------------


class TableKind(StrEnum):
    """Every table is declared one of these, or a test fails."""

    TENANT = "tenant"
    """Rows belong to organizations: row policies, forced, and unique keys with the organization."""
    SHARED = "shared"
    """The same rows for everybody: the catalog."""
    INFRASTRUCTURE = "infrastructure"
    """What the program and its libraries need before anybody is known."""


class TenantModel(models.Model):
    """Base of every model whose rows belong to an organization.

    The primary key is a UUIDv7 made by PostgreSQL. (organization, id) is unique too, so that other tenant
    tables can refer to both and never to another organization's row: give such a field
    ``ForeignKey(db_constraint=False)`` and its migration ``CompositeForeignKey``. A Meta of one's own extends
    the constraints:

        class Meta(TenantModel.Meta):
            constraints = [*TenantModel.Meta.constraints, ...]
    """

    table_kind: ClassVar[TableKind] = TableKind.TENANT

    id = models.UUIDField(primary_key=True, db_default=UUID7(), editable=False)
    # The unique key below begins with the organization, so an index of its own would be a second one.
    organization = models.ForeignKey(
        "shared.Organization", on_delete=models.PROTECT, related_name="+", db_index=False
    )

    class Meta:
        abstract = True
        constraints: ClassVar[list[models.BaseConstraint]] = [
            models.UniqueConstraint(fields=["organization", "id"], name="%(app_label)s_%(class)s_key")
        ]


class SharedModel(models.Model):
    """Base of every model whose rows are the same for everybody."""

    table_kind: ClassVar[TableKind] = TableKind.SHARED

    class Meta:
        abstract = True


LIBRARY_TABLES: Mapping[str, str] = {
    "django_migrations": "select",
    "django_content_type": "select",
    "django_session": "select, insert, update, delete",
    "auth_permission": "",
    "auth_group": "",
    "auth_group_permissions": "",
}
"""Tables of libraries, all infrastructure, and what the app's role may do with them."""


def table_kinds() -> dict[str, TableKind]:
    """The kind of every table that our models and the libraries make, by table name.

    A model that declares none raises ``LookupError``.
    """
    kinds = dict.fromkeys(LIBRARY_TABLES, TableKind.INFRASTRUCTURE)
    for model in apps.get_models(include_auto_created=True):
        table = model._meta.db_table
        if table not in kinds:
            kinds[table] = _declared_kind(model)
    return kinds


def _declared_kind(model: type[models.Model]) -> TableKind:
    kind = getattr(model, "table_kind", None)
    if isinstance(kind, TableKind):
        return kind
    raise LookupError(f"{model._meta.label} must declare its table_kind.")
