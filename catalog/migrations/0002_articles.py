import django.contrib.postgres.constraints
import django.contrib.postgres.indexes
import django.db.models.constraints
import django.db.models.deletion
import django.db.models.functions.text
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("catalog", "0001_winches"),
    ]

    operations = [
        migrations.CreateModel(
            name="Part",
            fields=[
                ("sku", models.CharField(db_collation="C", max_length=40, primary_key=True, serialize=False)),
                ("kind", models.CharField(max_length=20)),
                (
                    "maker",
                    models.ForeignKey(
                        db_column="maker",
                        db_index=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="parts",
                        to="catalog.maker",
                    ),
                ),
                ("name", models.CharField(max_length=120)),
                ("gtin", models.CharField(max_length=14, null=True)),
                ("status", models.CharField(max_length=20)),
                ("withdrawn_on", models.DateField(null=True)),
                ("valid_from", models.DateField(null=True)),
                ("valid_to", models.DateField(null=True)),
                ("lead_time_days", models.SmallIntegerField(null=True)),
                ("mass_g", models.IntegerField(null=True)),
                ("note", models.CharField(max_length=1000, null=True)),
            ],
            options={
                "ordering": ["sku"],
                "indexes": [
                    models.Index(fields=["kind", "sku"], name="part_by_kind"),
                    models.Index(fields=["maker", "sku"], name="part_by_maker"),
                    models.Index(fields=["gtin"], name="part_by_gtin"),
                    django.contrib.postgres.indexes.GinIndex(
                        fields=["name"], name="part_name_trigrams", opclasses=["gin_trgm_ops"]
                    ),
                    django.contrib.postgres.indexes.GinIndex(
                        fields=["sku"], name="part_sku_trigrams", opclasses=["gin_trgm_ops"]
                    ),
                ],
                "constraints": [
                    models.CheckConstraint(condition=models.Q(("sku__regex", "^[!-~]+$")), name="parts_sku"),
                    models.CheckConstraint(
                        condition=models.Q(
                            (
                                "kind__in",
                                [
                                    "adapter",
                                    "shaft",
                                    "drive",
                                    "handing-kit",
                                    "spacer",
                                    "wedge",
                                    "controller",
                                    "breaker",
                                    "switch",
                                    "winch",
                                ],
                            )
                        ),
                        name="parts_kind",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("name__regex", "^[^[:cntrl:][:space:]]([^[:cntrl:]]*[^[:cntrl:][:space:]])?$")
                        ),
                        name="parts_name",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("gtin__regex", "^([0-9]{8}|[0-9]{12,14})$")), name="parts_gtin"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("status__in", ["current", "last-time-buy", "withdrawn"])),
                        name="parts_status",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("lead_time_days__gte", 0), ("lead_time_days__lte", 3650)),
                        name="parts_lead_time_days",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("mass_g__gte", 0), ("mass_g__lte", 10000000)), name="parts_mass_g"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("note__regex", "^[^[:cntrl:][:space:]]([^[:cntrl:]]*[^[:cntrl:][:space:]])?$")
                        ),
                        name="parts_note",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("status__in", ["withdrawn"]), _negated=True),
                            ("withdrawn_on__isnull", False),
                            _connector="OR",
                        ),
                        name="parts_withdrawn_on_needed",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("status__in", ["withdrawn"]), ("withdrawn_on__isnull", True), _connector="OR"
                        ),
                        name="parts_withdrawn_on_empty",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("valid_from__lte", models.F("valid_to"))),
                        name="parts_valid_from_valid_to",
                    ),
                    models.UniqueConstraint(fields=("sku", "kind"), name="parts_sku_kind"),
                    django.contrib.postgres.constraints.ExclusionConstraint(
                        deferrable=django.db.models.constraints.Deferrable["DEFERRED"],
                        expressions=[
                            (django.db.models.functions.text.LPad("gtin", 14, models.Value("0")), "=")
                        ],
                        name="parts_gtin_once",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="CatalogException",
            fields=[
                (
                    "code",
                    models.CharField(db_collation="C", max_length=60, primary_key=True, serialize=False),
                ),
                ("kind", models.CharField(max_length=20)),
                (
                    "part",
                    models.ForeignKey(
                        db_column="sku",
                        db_index=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="exceptions",
                        to="catalog.part",
                    ),
                ),
                (
                    "with_part",
                    models.ForeignKey(
                        db_column="with_sku",
                        db_index=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="catalog.part",
                    ),
                ),
                ("lifts", models.CharField(max_length=20, null=True)),
                (
                    "family",
                    models.ForeignKey(
                        db_column="family",
                        db_index=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="catalog.winchfamily",
                    ),
                ),
                (
                    "model",
                    models.ForeignKey(
                        db_column="model",
                        db_index=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="catalog.winchmodel",
                    ),
                ),
                (
                    "run",
                    models.ForeignKey(
                        db_column="run",
                        db_index=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="catalog.productionrun",
                    ),
                ),
                ("serial_from", models.CharField(max_length=30, null=True)),
                ("serial_to", models.CharField(max_length=30, null=True)),
                ("reason", models.CharField(max_length=1000)),
                ("document", models.CharField(max_length=1000, null=True)),
            ],
            options={
                "ordering": ["code"],
                "indexes": [
                    models.Index(fields=["part"], name="exception_by_part"),
                    models.Index(fields=["with_part"], name="exception_by_with_part"),
                    models.Index(fields=["family"], name="exception_by_family"),
                    models.Index(fields=["model"], name="exception_by_model"),
                    models.Index(fields=["run"], name="exception_by_run"),
                ],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("code__regex", "^[a-z0-9]+(-[a-z0-9]+)*$")),
                        name="exceptions_code",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("kind__in", ["allow", "forbid", "require"])),
                        name="exceptions_kind",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("lifts__in", ["era", "mating"])), name="exceptions_lifts"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            (
                                "serial_from__regex",
                                "^[^[:cntrl:][:space:]]([^[:cntrl:]]*[^[:cntrl:][:space:]])?$",
                            )
                        ),
                        name="exceptions_serial_from",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            (
                                "serial_to__regex",
                                "^[^[:cntrl:][:space:]]([^[:cntrl:]]*[^[:cntrl:][:space:]])?$",
                            )
                        ),
                        name="exceptions_serial_to",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("reason__regex", "^[^[:cntrl:][:space:]]([^[:cntrl:]]*[^[:cntrl:][:space:]])?$")
                        ),
                        name="exceptions_reason",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            (
                                "document__regex",
                                "^[^[:cntrl:][:space:]]([^[:cntrl:]]*[^[:cntrl:][:space:]])?$",
                            )
                        ),
                        name="exceptions_document",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(
                                ("family__isnull", False), ("model__isnull", True), ("run__isnull", True)
                            ),
                            models.Q(
                                ("family__isnull", True), ("model__isnull", False), ("run__isnull", True)
                            ),
                            models.Q(
                                ("family__isnull", True), ("model__isnull", True), ("run__isnull", False)
                            ),
                            _connector="OR",
                        ),
                        name="exceptions_one_of_family_model_run",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("kind__in", ["require"]), _negated=True),
                            ("with_part__isnull", False),
                            _connector="OR",
                        ),
                        name="exceptions_with_sku_needed",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("kind__in", ["allow"]), _negated=True),
                            ("with_part__isnull", True),
                            _connector="OR",
                        ),
                        name="exceptions_with_sku_empty",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("kind__in", ["allow"]), _negated=True),
                            ("lifts__isnull", False),
                            _connector="OR",
                        ),
                        name="exceptions_lifts_needed",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("kind__in", ["allow"]), ("lifts__isnull", True), _connector="OR"),
                        name="exceptions_lifts_empty",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("part", models.F("with_part")), _negated=True),
                        name="exceptions_sku_with_sku_differ",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Price",
            fields=[
                (
                    "pk",
                    models.CompositePrimaryKey(
                        "part_id",
                        "currency",
                        "valid_from",
                        blank=True,
                        editable=False,
                        primary_key=True,
                        serialize=False,
                    ),
                ),
                (
                    "part",
                    models.ForeignKey(
                        db_column="sku",
                        db_index=False,
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="prices",
                        to="catalog.part",
                    ),
                ),
                ("currency", models.CharField(db_collation="C", max_length=3)),
                ("valid_from", models.DateField()),
                ("amount_minor", models.BigIntegerField()),
            ],
            options={
                "ordering": ["part_id", "currency", "valid_from"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("currency__regex", "^[A-Z]{3}$")), name="prices_currency"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("amount_minor__gte", 0)), name="prices_amount"
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Supersession",
            fields=[
                (
                    "pk",
                    models.CompositePrimaryKey(
                        "old_id", "new_id", blank=True, editable=False, primary_key=True, serialize=False
                    ),
                ),
                (
                    "old",
                    models.ForeignKey(
                        db_column="old",
                        db_index=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="superseded_by",
                        to="catalog.part",
                    ),
                ),
                (
                    "new",
                    models.ForeignKey(
                        db_column="new",
                        db_index=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="supersedes",
                        to="catalog.part",
                    ),
                ),
                ("direction", models.CharField(max_length=20)),
                ("note", models.CharField(max_length=1000, null=True)),
            ],
            options={
                "indexes": [models.Index(fields=["new"], name="supersession_by_new")],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("direction__in", ["one-way", "two-way"])),
                        name="supersessions_direction",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("note__regex", "^[^[:cntrl:][:space:]]([^[:cntrl:]]*[^[:cntrl:][:space:]])?$")
                        ),
                        name="supersessions_note",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("old", models.F("new")), _negated=True),
                        name="supersessions_old_new_differ",
                    ),
                ],
            },
        ),
    ]
