"""What the models cannot say: a part's figures stand in the table of its kind, check digits and hashes are
right, and the application may not take back what was published."""

from django.db import migrations

from shared.operations import ORGANIZATION, PERSON, Grant, Policy, RowPolicies

KINDS = {
    "adapter": "adapter",
    "shaft": "shaft",
    "drive": "drive",
    "handingkit": "handing-kit",
    "spacer": "spacer",
    "wedge": "wedge",
    "controller": "controller",
    "breaker": "breaker",
    "switch": "switch",
    "poweredwinch": "winch",
}
"""Tables with the figures of one kind of part, and that kind."""

# Codes that were published stay; a part that is no longer had is withdrawn.
KEPT = (
    "Maker",
    "WinchFamily",
    "WinchModel",
    "BasePattern",
    "Spindle",
    "Flange",
    "Coupling",
    "ProductionRun",
    "Part",
)

KEEPER = f"EXISTS (SELECT FROM shared_organization WHERE id = {ORGANIZATION} AND kind = 'keeper')"
EVERYBODY = Policy("read_by_everybody", "SELECT", using="true")

# GTIN-8, -12, -13 and -14 alike: filled up to 14 digits, weights 3, 1, 3, ... 1, the sum a multiple of ten.
_DIGITS = " + ".join(
    f"{3 if place % 2 else 1} * substr(lpad(gtin, 14, '0'), {place}, 1)::int" for place in range(1, 15)
)
GTIN = f"CASE WHEN gtin ~ '^[0-9]+$' THEN ({_DIGITS}) % 10 = 0 ELSE gtin IS NULL END"


def tie_to_kind(table: str, kind: str) -> migrations.RunSQL:
    """A column that is always ``kind``, and a key (sku, kind) to the part."""
    return migrations.RunSQL(
        f"ALTER TABLE catalog_{table}"
        f" ADD COLUMN part_kind varchar(20) GENERATED ALWAYS AS ('{kind}') STORED,"
        f" ADD CONSTRAINT catalog_{table}_is_of_its_kind FOREIGN KEY (sku, part_kind)"
        " REFERENCES catalog_part (sku, kind) DEFERRABLE INITIALLY DEFERRED",
        f"ALTER TABLE catalog_{table} DROP COLUMN part_kind",
    )


class Migration(migrations.Migration):
    dependencies = [("catalog", "0005_revisions"), ("shared", "0002_rights_and_policies")]

    operations = [
        *(tie_to_kind(table, kind) for table, kind in KINDS.items()),
        migrations.RunSQL(
            f"ALTER TABLE catalog_part ADD CONSTRAINT parts_gtin_check_digit CHECK ({GTIN})",
            "ALTER TABLE catalog_part DROP CONSTRAINT parts_gtin_check_digit",
        ),
        migrations.RunSQL(
            "ALTER TABLE catalog_storedfile ADD CONSTRAINT stored_file_is_what_it_says"
            " CHECK (sha256 = encode(sha256(content), 'hex'))",
            "ALTER TABLE catalog_storedfile DROP CONSTRAINT stored_file_is_what_it_says",
        ),
        *(Grant(model, "select, insert, update") for model in KEPT),
        Grant("StoredFile", "select, insert"),
        Grant("Revision", "select, insert"),
        RowPolicies("StoredFile", (EVERYBODY, Policy("stored_by_keepers", "INSERT", check=KEEPER))),
        RowPolicies(
            "Revision",
            (
                EVERYBODY,
                Policy("published_by_keepers", "INSERT", check=f"published_by_id = {PERSON} AND {KEEPER}"),
            ),
        ),
    ]
