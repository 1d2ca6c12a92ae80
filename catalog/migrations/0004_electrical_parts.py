from decimal import Decimal

import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("catalog", "0003_mechanical_parts"),
    ]

    operations = [
        migrations.CreateModel(
            name="Breaker",
            fields=[
                (
                    "part",
                    models.OneToOneField(
                        db_column="sku",
                        on_delete=django.db.models.deletion.CASCADE,
                        primary_key=True,
                        related_name="breaker",
                        serialize=False,
                        to="catalog.part",
                    ),
                ),
                ("rating_a", models.DecimalField(decimal_places=3, max_digits=12)),
                ("max_volts", models.SmallIntegerField()),
                ("interrupting_capacity_a", models.IntegerField()),
            ],
            options={
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("rating_a__gte", Decimal("0.001")), ("rating_a__lte", Decimal("10000"))
                        ),
                        name="breakers_rating_a",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("max_volts__gte", 1), ("max_volts__lte", 1500)),
                        name="breakers_max_volts",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("interrupting_capacity_a__gte", 1), ("interrupting_capacity_a__lte", 1000000)
                        ),
                        name="breakers_interrupting_capacity_a",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Controller",
            fields=[
                (
                    "part",
                    models.OneToOneField(
                        db_column="sku",
                        on_delete=django.db.models.deletion.CASCADE,
                        primary_key=True,
                        related_name="controller",
                        serialize=False,
                        to="catalog.part",
                    ),
                ),
                ("motor_leads", models.SmallIntegerField()),
                ("max_current_a", models.DecimalField(decimal_places=3, max_digits=12)),
                ("inputs", models.SmallIntegerField()),
                ("plain_switches", models.BooleanField()),
            ],
            options={
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("motor_leads__in", [2, 3])), name="controllers_motor_leads"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("max_current_a__gte", Decimal("0.001")), ("max_current_a__lte", Decimal("10000"))
                        ),
                        name="controllers_max_current_a",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("inputs__gte", 1), ("inputs__lte", 64)), name="controllers_inputs"
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="PoweredWinch",
            fields=[
                (
                    "part",
                    models.OneToOneField(
                        db_column="sku",
                        on_delete=django.db.models.deletion.CASCADE,
                        primary_key=True,
                        related_name="powered_winch",
                        serialize=False,
                        to="catalog.part",
                    ),
                ),
                ("size", models.SmallIntegerField()),
                ("last_gear_ratio", models.DecimalField(decimal_places=3, max_digits=12)),
                ("drum_diameter_mm", models.DecimalField(decimal_places=3, max_digits=12)),
                ("base_diameter_mm", models.DecimalField(decimal_places=3, max_digits=12)),
                ("working_load_n", models.IntegerField()),
                ("self_tailing", models.BooleanField()),
                ("rope_min_mm", models.DecimalField(decimal_places=3, max_digits=12, null=True)),
                ("rope_max_mm", models.DecimalField(decimal_places=3, max_digits=12, null=True)),
                ("motor_volts", models.SmallIntegerField()),
            ],
            options={
                "verbose_name_plural": "powered winches",
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("size__gte", 1), ("size__lte", 999)), name="powered_winches_size"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("last_gear_ratio__gte", Decimal("0.001")),
                            ("last_gear_ratio__lte", Decimal("1000")),
                        ),
                        name="powered_winches_last_gear_ratio",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("drum_diameter_mm__gte", Decimal("0.001")),
                            ("drum_diameter_mm__lte", Decimal("10000")),
                        ),
                        name="powered_winches_drum_diameter_mm",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("base_diameter_mm__gte", Decimal("0.001")),
                            ("base_diameter_mm__lte", Decimal("10000")),
                        ),
                        name="powered_winches_base_diameter_mm",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("working_load_n__gte", 1), ("working_load_n__lte", 1000000)),
                        name="powered_winches_working_load_n",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("rope_min_mm__gte", Decimal("0.001")), ("rope_min_mm__lte", Decimal("10000"))
                        ),
                        name="powered_winches_rope_min_mm",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("rope_max_mm__gte", Decimal("0.001")), ("rope_max_mm__lte", Decimal("10000"))
                        ),
                        name="powered_winches_rope_max_mm",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("motor_volts__in", [12, 24, 48])),
                        name="powered_winches_motor_volts",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("self_tailing", False), ("rope_min_mm__isnull", False), _connector="OR"
                        ),
                        name="powered_winches_rope_min_mm_needed",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("self_tailing", True), ("rope_min_mm__isnull", True), _connector="OR"
                        ),
                        name="powered_winches_rope_min_mm_empty",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("self_tailing", False), ("rope_max_mm__isnull", False), _connector="OR"
                        ),
                        name="powered_winches_rope_max_mm_needed",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("self_tailing", True), ("rope_max_mm__isnull", True), _connector="OR"
                        ),
                        name="powered_winches_rope_max_mm_empty",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("rope_min_mm__lte", models.F("rope_max_mm"))),
                        name="powered_winches_rope_min_mm_rope_max_mm",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Switch",
            fields=[
                (
                    "part",
                    models.OneToOneField(
                        db_column="sku",
                        on_delete=django.db.models.deletion.CASCADE,
                        primary_key=True,
                        related_name="switch",
                        serialize=False,
                        to="catalog.part",
                    ),
                ),
                ("buttons", models.SmallIntegerField()),
                ("max_volts", models.SmallIntegerField()),
            ],
            options={
                "verbose_name_plural": "switches",
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("buttons__gte", 1), ("buttons__lte", 16)), name="switches_buttons"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("max_volts__gte", 1), ("max_volts__lte", 1500)),
                        name="switches_max_volts",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="BreakerTrip",
            fields=[
                (
                    "pk",
                    models.CompositePrimaryKey(
                        "breaker_id", "percent", blank=True, editable=False, primary_key=True, serialize=False
                    ),
                ),
                (
                    "breaker",
                    models.ForeignKey(
                        db_column="sku",
                        db_index=False,
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="trips",
                        to="catalog.breaker",
                    ),
                ),
                ("percent", models.IntegerField()),
                ("earliest_s", models.DecimalField(decimal_places=3, max_digits=12)),
                ("latest_s", models.DecimalField(decimal_places=3, max_digits=12)),
            ],
            options={
                "ordering": ["breaker_id", "percent"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("percent__gte", 1), ("percent__lte", 10000)),
                        name="breaker_trips_percent",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("earliest_s__gte", Decimal("0.001")), ("earliest_s__lte", Decimal("1000000"))
                        ),
                        name="breaker_trips_earliest_s",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("latest_s__gte", Decimal("0.001")), ("latest_s__lte", Decimal("1000000"))
                        ),
                        name="breaker_trips_latest_s",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("earliest_s__lte", models.F("latest_s"))),
                        name="breaker_trips_earliest_s_latest_s",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="ControllerControlVolts",
            fields=[
                (
                    "pk",
                    models.CompositePrimaryKey(
                        "controller_id",
                        "volts",
                        blank=True,
                        editable=False,
                        primary_key=True,
                        serialize=False,
                    ),
                ),
                (
                    "controller",
                    models.ForeignKey(
                        db_column="sku",
                        db_index=False,
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="control_volts",
                        to="catalog.controller",
                    ),
                ),
                ("volts", models.SmallIntegerField()),
            ],
            options={
                "verbose_name_plural": "controller control volts",
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("volts__in", [12, 24])), name="controller_control_volts_volts"
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="ControllerMotorVolts",
            fields=[
                (
                    "pk",
                    models.CompositePrimaryKey(
                        "controller_id",
                        "volts",
                        blank=True,
                        editable=False,
                        primary_key=True,
                        serialize=False,
                    ),
                ),
                (
                    "controller",
                    models.ForeignKey(
                        db_column="sku",
                        db_index=False,
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="motor_volts",
                        to="catalog.controller",
                    ),
                ),
                ("volts", models.SmallIntegerField()),
            ],
            options={
                "verbose_name_plural": "controller motor volts",
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("volts__in", [12, 24, 48])), name="controller_motor_volts_volts"
                    )
                ],
            },
        ),
    ]
