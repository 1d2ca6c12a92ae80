from decimal import Decimal

import django.contrib.postgres.constraints
import django.contrib.postgres.fields.ranges
import django.contrib.postgres.indexes
import django.db.models.constraints
import django.db.models.deletion
import django.db.models.functions.comparison
from django.db import migrations, models


class Migration(migrations.Migration):
    initial = True

    dependencies = []

    operations = [
        migrations.CreateModel(
            name="BasePattern",
            fields=[
                (
                    "code",
                    models.CharField(db_collation="C", max_length=60, primary_key=True, serialize=False),
                ),
                ("name", models.CharField(max_length=120)),
                ("bolt_circle_mm", models.DecimalField(decimal_places=3, max_digits=12)),
                ("bolts", models.SmallIntegerField()),
                ("bolt_size", models.CharField(max_length=30)),
                ("centre_hole_mm", models.DecimalField(decimal_places=3, max_digits=12)),
            ],
            options={
                "ordering": ["code"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("code__regex", "^[a-z0-9]+(-[a-z0-9]+)*$")),
                        name="base_patterns_code",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("name__regex", "^[^[:cntrl:][:space:]]([^[:cntrl:]]*[^[:cntrl:][:space:]])?$")
                        ),
                        name="base_patterns_name",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("bolt_circle_mm__gte", Decimal("0.001")),
                            ("bolt_circle_mm__lte", Decimal("10000")),
                        ),
                        name="base_patterns_bolt_circle_mm",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("bolts__gte", 2), ("bolts__lte", 48)), name="base_patterns_bolts"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            (
                                "bolt_size__regex",
                                "^[^[:cntrl:][:space:]]([^[:cntrl:]]*[^[:cntrl:][:space:]])?$",
                            )
                        ),
                        name="base_patterns_bolt_size",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("centre_hole_mm__gte", Decimal("0.001")),
                            ("centre_hole_mm__lte", Decimal("10000")),
                        ),
                        name="base_patterns_centre_hole_mm",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("centre_hole_mm__lt", models.F("bolt_circle_mm"))),
                        name="base_patterns_centre_hole_mm_bolt_circle_mm",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Coupling",
            fields=[
                (
                    "code",
                    models.CharField(db_collation="C", max_length=60, primary_key=True, serialize=False),
                ),
                ("name", models.CharField(max_length=120)),
                ("note", models.CharField(max_length=1000, null=True)),
            ],
            options={
                "ordering": ["code"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("code__regex", "^[a-z0-9]+(-[a-z0-9]+)*$")), name="couplings_code"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("name__regex", "^[^[:cntrl:][:space:]]([^[:cntrl:]]*[^[:cntrl:][:space:]])?$")
                        ),
                        name="couplings_name",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("note__regex", "^[^[:cntrl:][:space:]]([^[:cntrl:]]*[^[:cntrl:][:space:]])?$")
                        ),
                        name="couplings_note",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Flange",
            fields=[
                (
                    "code",
                    models.CharField(db_collation="C", max_length=60, primary_key=True, serialize=False),
                ),
                ("name", models.CharField(max_length=120)),
                ("max_spacers", models.SmallIntegerField()),
                ("max_stack_mm", models.DecimalField(decimal_places=3, max_digits=12)),
            ],
            options={
                "ordering": ["code"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("code__regex", "^[a-z0-9]+(-[a-z0-9]+)*$")), name="flanges_code"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("name__regex", "^[^[:cntrl:][:space:]]([^[:cntrl:]]*[^[:cntrl:][:space:]])?$")
                        ),
                        name="flanges_name",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("max_spacers__gte", 0), ("max_spacers__lte", 20)),
                        name="flanges_max_spacers",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("max_stack_mm__gte", Decimal("0")), ("max_stack_mm__lte", Decimal("1000"))
                        ),
                        name="flanges_max_stack_mm",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Maker",
            fields=[
                (
                    "code",
                    models.CharField(db_collation="C", max_length=60, primary_key=True, serialize=False),
                ),
                ("name", models.CharField(max_length=120)),
            ],
            options={
                "ordering": ["code"],
                "indexes": [
                    django.contrib.postgres.indexes.GinIndex(
                        fields=["name"], name="maker_name_trigrams", opclasses=["gin_trgm_ops"]
                    )
                ],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("code__regex", "^[a-z0-9]+(-[a-z0-9]+)*$")), name="makers_code"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("name__regex", "^[^[:cntrl:][:space:]]([^[:cntrl:]]*[^[:cntrl:][:space:]])?$")
                        ),
                        name="makers_name",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Spindle",
            fields=[
                (
                    "code",
                    models.CharField(db_collation="C", max_length=60, primary_key=True, serialize=False),
                ),
                ("name", models.CharField(max_length=120)),
                ("note", models.CharField(max_length=1000, null=True)),
            ],
            options={
                "ordering": ["code"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("code__regex", "^[a-z0-9]+(-[a-z0-9]+)*$")), name="spindles_code"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("name__regex", "^[^[:cntrl:][:space:]]([^[:cntrl:]]*[^[:cntrl:][:space:]])?$")
                        ),
                        name="spindles_name",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("note__regex", "^[^[:cntrl:][:space:]]([^[:cntrl:]]*[^[:cntrl:][:space:]])?$")
                        ),
                        name="spindles_note",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="WinchFamily",
            fields=[
                (
                    "code",
                    models.CharField(db_collation="C", max_length=60, primary_key=True, serialize=False),
                ),
                (
                    "maker",
                    models.ForeignKey(
                        db_column="maker",
                        db_index=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="families",
                        to="catalog.maker",
                    ),
                ),
                ("name", models.CharField(max_length=120)),
                ("convertible", models.BooleanField()),
                ("replace_only_reason", models.CharField(max_length=1000, null=True)),
                ("first_year", models.SmallIntegerField(null=True)),
                ("last_year", models.SmallIntegerField(null=True)),
            ],
            options={
                "verbose_name_plural": "winch families",
                "ordering": ["code"],
                "indexes": [
                    models.Index(fields=["maker"], name="family_by_maker"),
                    django.contrib.postgres.indexes.GinIndex(
                        fields=["name"], name="family_name_trigrams", opclasses=["gin_trgm_ops"]
                    ),
                ],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("code__regex", "^[a-z0-9]+(-[a-z0-9]+)*$")), name="families_code"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("name__regex", "^[^[:cntrl:][:space:]]([^[:cntrl:]]*[^[:cntrl:][:space:]])?$")
                        ),
                        name="families_name",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            (
                                "replace_only_reason__regex",
                                "^[^[:cntrl:][:space:]]([^[:cntrl:]]*[^[:cntrl:][:space:]])?$",
                            )
                        ),
                        name="families_replace_only_reason",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("first_year__gte", 1900), ("first_year__lte", 2199)),
                        name="families_first_year",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("last_year__gte", 1900), ("last_year__lte", 2199)),
                        name="families_last_year",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("convertible", True), ("replace_only_reason__isnull", False), _connector="OR"
                        ),
                        name="families_replace_only_reason_needed",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("convertible", False), ("replace_only_reason__isnull", True), _connector="OR"
                        ),
                        name="families_replace_only_reason_empty",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("first_year__lte", models.F("last_year"))),
                        name="families_first_year_last_year",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="WinchModel",
            fields=[
                (
                    "code",
                    models.CharField(db_collation="C", max_length=60, primary_key=True, serialize=False),
                ),
                (
                    "family",
                    models.ForeignKey(
                        db_column="family",
                        db_index=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="models",
                        to="catalog.winchfamily",
                    ),
                ),
                ("name", models.CharField(max_length=120)),
                ("size", models.SmallIntegerField()),
                ("drum_diameter_mm", models.DecimalField(decimal_places=3, max_digits=12)),
                ("base_diameter_mm", models.DecimalField(decimal_places=3, max_digits=12)),
                ("height_mm", models.DecimalField(decimal_places=3, max_digits=12)),
                ("working_load_n", models.IntegerField()),
                ("spindle_torque_max_nm", models.DecimalField(decimal_places=3, max_digits=12)),
                ("self_tailing", models.BooleanField()),
                ("rope_min_mm", models.DecimalField(decimal_places=3, max_digits=12, null=True)),
                ("rope_max_mm", models.DecimalField(decimal_places=3, max_digits=12, null=True)),
                ("pad_diameter_mm", models.DecimalField(decimal_places=3, max_digits=12)),
            ],
            options={
                "ordering": ["code"],
                "indexes": [
                    models.Index(fields=["family"], name="model_by_family"),
                    models.Index(fields=["size", "code"], name="model_by_size"),
                    django.contrib.postgres.indexes.GinIndex(
                        fields=["name"], name="model_name_trigrams", opclasses=["gin_trgm_ops"]
                    ),
                    django.contrib.postgres.indexes.GinIndex(
                        fields=["code"], name="model_code_trigrams", opclasses=["gin_trgm_ops"]
                    ),
                ],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("code__regex", "^[a-z0-9]+(-[a-z0-9]+)*$")), name="models_code"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("name__regex", "^[^[:cntrl:][:space:]]([^[:cntrl:]]*[^[:cntrl:][:space:]])?$")
                        ),
                        name="models_name",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("size__gte", 1), ("size__lte", 999)), name="models_size"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("drum_diameter_mm__gte", Decimal("0.001")),
                            ("drum_diameter_mm__lte", Decimal("10000")),
                        ),
                        name="models_drum_diameter_mm",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("base_diameter_mm__gte", Decimal("0.001")),
                            ("base_diameter_mm__lte", Decimal("10000")),
                        ),
                        name="models_base_diameter_mm",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("height_mm__gte", Decimal("0.001")), ("height_mm__lte", Decimal("10000"))
                        ),
                        name="models_height_mm",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("working_load_n__gte", 1), ("working_load_n__lte", 1000000)),
                        name="models_working_load_n",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("spindle_torque_max_nm__gte", Decimal("0.001")),
                            ("spindle_torque_max_nm__lte", Decimal("100000")),
                        ),
                        name="models_spindle_torque_max_nm",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("rope_min_mm__gte", Decimal("0.001")), ("rope_min_mm__lte", Decimal("10000"))
                        ),
                        name="models_rope_min_mm",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("rope_max_mm__gte", Decimal("0.001")), ("rope_max_mm__lte", Decimal("10000"))
                        ),
                        name="models_rope_max_mm",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("pad_diameter_mm__gte", Decimal("0.001")),
                            ("pad_diameter_mm__lte", Decimal("10000")),
                        ),
                        name="models_pad_diameter_mm",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("self_tailing", False), ("rope_min_mm__isnull", False), _connector="OR"
                        ),
                        name="models_rope_min_mm_needed",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("self_tailing", True), ("rope_min_mm__isnull", True), _connector="OR"
                        ),
                        name="models_rope_min_mm_empty",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("self_tailing", False), ("rope_max_mm__isnull", False), _connector="OR"
                        ),
                        name="models_rope_max_mm_needed",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("self_tailing", True), ("rope_max_mm__isnull", True), _connector="OR"
                        ),
                        name="models_rope_max_mm_empty",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("rope_min_mm__lte", models.F("rope_max_mm"))),
                        name="models_rope_min_mm_rope_max_mm",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="ProductionRun",
            fields=[
                (
                    "code",
                    models.CharField(db_collation="C", max_length=60, primary_key=True, serialize=False),
                ),
                (
                    "model",
                    models.ForeignKey(
                        db_column="model",
                        db_index=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="runs",
                        to="catalog.winchmodel",
                    ),
                ),
                ("year_from", models.SmallIntegerField()),
                ("year_to", models.SmallIntegerField(null=True)),
                ("serial_rule", models.CharField(max_length=20)),
                ("serial_from", models.CharField(max_length=30, null=True)),
                ("serial_to", models.CharField(max_length=30, null=True)),
                (
                    "base_pattern",
                    models.ForeignKey(
                        db_column="base_pattern",
                        db_index=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="runs",
                        to="catalog.basepattern",
                    ),
                ),
                (
                    "spindle",
                    models.ForeignKey(
                        db_column="spindle",
                        db_index=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="runs",
                        to="catalog.spindle",
                    ),
                ),
                ("plug", models.CharField(max_length=20)),
                ("plug_removable", models.BooleanField(null=True)),
                ("plug_note", models.CharField(max_length=1000, null=True)),
            ],
            options={
                "ordering": ["code"],
                "indexes": [
                    models.Index(fields=["model", "year_from"], name="run_by_model"),
                    models.Index(fields=["base_pattern"], name="run_by_base_pattern"),
                    models.Index(fields=["spindle"], name="run_by_spindle"),
                ],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("code__regex", "^[a-z0-9]+(-[a-z0-9]+)*$")), name="runs_code"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("year_from__gte", 1900), ("year_from__lte", 2199)),
                        name="runs_year_from",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("year_to__gte", 1900), ("year_to__lte", 2199)),
                        name="runs_year_to",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("serial_rule__in", ["number", "prefix-number", "none"])),
                        name="runs_serial_rule",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            (
                                "serial_from__regex",
                                "^[^[:cntrl:][:space:]]([^[:cntrl:]]*[^[:cntrl:][:space:]])?$",
                            )
                        ),
                        name="runs_serial_from",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            (
                                "serial_to__regex",
                                "^[^[:cntrl:][:space:]]([^[:cntrl:]]*[^[:cntrl:][:space:]])?$",
                            )
                        ),
                        name="runs_serial_to",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("plug__in", ["none", "threaded", "pressed", "bonded"])),
                        name="runs_plug",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            (
                                "plug_note__regex",
                                "^[^[:cntrl:][:space:]]([^[:cntrl:]]*[^[:cntrl:][:space:]])?$",
                            )
                        ),
                        name="runs_plug_note",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("year_from__lte", models.F("year_to"))),
                        name="runs_year_from_year_to",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("serial_rule__in", ["none"]), _negated=True),
                            ("serial_from__isnull", True),
                            _connector="OR",
                        ),
                        name="runs_serial_from_empty",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("serial_rule__in", ["none"]), _negated=True),
                            ("serial_to__isnull", True),
                            _connector="OR",
                        ),
                        name="runs_serial_to_empty",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("serial_rule__in", ["number", "prefix-number"]), _negated=True),
                            models.Q(
                                ("serial_rule", "number"),
                                models.Q(
                                    ("serial_from__isnull", True),
                                    ("serial_from__regex", "^[0-9]{1,12}$"),
                                    _connector="OR",
                                ),
                                models.Q(
                                    ("serial_to__isnull", True),
                                    ("serial_to__regex", "^[0-9]{1,12}$"),
                                    _connector="OR",
                                ),
                            ),
                            models.Q(
                                ("serial_rule", "prefix-number"),
                                models.Q(
                                    ("serial_from__isnull", True),
                                    ("serial_from__regex", "^[A-Za-z]*[ -]?[0-9]{1,12}$"),
                                    _connector="OR",
                                ),
                                models.Q(
                                    ("serial_to__isnull", True),
                                    ("serial_to__regex", "^[A-Za-z]*[ -]?[0-9]{1,12}$"),
                                    _connector="OR",
                                ),
                            ),
                            _connector="OR",
                        ),
                        name="runs_serial_rule_reads",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("plug__in", ["none"]), ("plug_removable__isnull", False), _connector="OR"
                        ),
                        name="runs_plug_removable_needed",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("plug__in", ["none"]), _negated=True),
                            ("plug_note__isnull", True),
                            _connector="OR",
                        ),
                        name="runs_plug_note_empty",
                    ),
                    django.contrib.postgres.constraints.ExclusionConstraint(
                        condition=models.Q(
                            ("serial_rule", "number"),
                            models.Q(
                                ("serial_from__isnull", False), ("serial_to__isnull", False), _connector="OR"
                            ),
                        ),
                        deferrable=django.db.models.constraints.Deferrable["DEFERRED"],
                        expressions=[
                            ("model", "="),
                            (
                                models.Func(
                                    django.db.models.functions.comparison.Cast(
                                        "serial_from", models.BigIntegerField()
                                    ),
                                    django.db.models.functions.comparison.Cast(
                                        "serial_to", models.BigIntegerField()
                                    ),
                                    models.Value("[]"),
                                    function="int8range",
                                    output_field=django.contrib.postgres.fields.ranges.BigIntegerRangeField(),
                                ),
                                "&&",
                            ),
                        ],
                        name="runs_serials_apart",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Gear",
            fields=[
                (
                    "pk",
                    models.CompositePrimaryKey(
                        "model_id", "gear", blank=True, editable=False, primary_key=True, serialize=False
                    ),
                ),
                (
                    "model",
                    models.ForeignKey(
                        db_column="model",
                        db_index=False,
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="gears",
                        to="catalog.winchmodel",
                    ),
                ),
                ("gear", models.SmallIntegerField()),
                ("ratio", models.DecimalField(decimal_places=3, max_digits=12)),
            ],
            options={
                "ordering": ["model_id", "gear"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("gear__gte", 1), ("gear__lte", 9)), name="model_gears_gear"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("ratio__gte", Decimal("0.001")), ("ratio__lte", Decimal("1000"))),
                        name="model_gears_ratio",
                    ),
                ],
            },
        ),
    ]
