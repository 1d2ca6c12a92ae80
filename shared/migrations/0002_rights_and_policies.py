"""Who sees which rows, and what the application's role may do with the tables that are not simply its own."""

from django.db import migrations
from django.db.backends.base.schema import BaseDatabaseSchemaEditor
from django.db.migrations.state import StateApps

from shared.operations import ORGANIZATION, OWN_ROWS, PERSON, Grant, Policy, RowPolicies, grant

# As of this migration; a table that a library adds later is granted by a migration of its own.
LIBRARY_RIGHTS = {
    "django_migrations": "select",
    "django_content_type": "select",
    "django_session": "select, insert, update, delete",
    "auth_permission": "",
    "auth_group": "",
    "auth_group_permissions": "",
}

# Sign-in must find a person's memberships, and their organizations, before it can set an organization.
ORGANIZATIONS = (
    Policy(
        "own_or_joined",
        "SELECT",
        using=f"id = {ORGANIZATION} OR id IN (SELECT organization_id FROM shared_membership"
        f" WHERE person_id = {PERSON})",
    ),
    Policy("found_own", "INSERT", check=f"id = {ORGANIZATION}"),
    Policy("change_own", "UPDATE", using=f"id = {ORGANIZATION}", check=f"id = {ORGANIZATION}"),
)
MEMBERSHIPS = (
    Policy("of_organization_or_person", "SELECT", using=f"{OWN_ROWS} OR person_id = {PERSON}"),
    Policy("admit_to_own", "INSERT", check=OWN_ROWS),
    Policy("change_in_own", "UPDATE", using=OWN_ROWS, check=OWN_ROWS),
    Policy("remove_from_own", "DELETE", using=OWN_ROWS),
)
KEEPER = f"EXISTS (SELECT FROM shared_organization WHERE id = {ORGANIZATION} AND kind = 'keeper')"
RECORD = (
    Policy("own_and_public", "SELECT", using=f"organization_id IS NULL OR {OWN_ROWS}"),
    Policy(
        "append_as_oneself",
        "INSERT",
        check=f"person_id IS NOT DISTINCT FROM {PERSON}"
        f" AND ({OWN_ROWS} OR (organization_id IS NULL AND {KEEPER}))",
    ),
)


def limit_library_tables(apps: StateApps, schema_editor: BaseDatabaseSchemaEditor) -> None:
    if schema_editor.connection.alias == "owner":
        for table, rights in LIBRARY_RIGHTS.items():
            grant(schema_editor, table, rights)


def leave_library_tables(apps: StateApps, schema_editor: BaseDatabaseSchemaEditor) -> None:
    if schema_editor.connection.alias == "owner":
        for table in LIBRARY_RIGHTS:
            grant(schema_editor, table, "select, insert, update, delete")


class Migration(migrations.Migration):
    dependencies = [
        ("shared", "0001_people_organizations_record"),
        ("auth", "0012_alter_user_first_name_max_length"),
        ("contenttypes", "0002_remove_content_type_name"),
        ("sessions", "0001_initial"),
    ]

    operations = [
        migrations.RunPython(limit_library_tables, leave_library_tables),
        Grant("Person", "select, insert, update"),
        Grant("Organization", "select, insert, update"),
        Grant("RecordEntry", "select, insert"),
        RowPolicies("Organization", ORGANIZATIONS),
        RowPolicies("Membership", MEMBERSHIPS),
        RowPolicies("RecordEntry", RECORD),
    ]
