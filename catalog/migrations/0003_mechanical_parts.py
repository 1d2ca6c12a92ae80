from decimal import Decimal

import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("catalog", "0002_articles"),
    ]

    operations = [
        migrations.CreateModel(
            name="HandingKit",
            fields=[
                (
                    "part",
                    models.OneToOneField(
                        db_column="sku",
                        on_delete=django.db.models.deletion.CASCADE,
                        primary_key=True,
                        related_name="handing_kit",
                        serialize=False,
                        to="catalog.part",
                    ),
                ),
                ("reverses_rotation", models.BooleanField()),
            ],
        ),
        migrations.CreateModel(
            name="Adapter",
            fields=[
                (
                    "part",
                    models.OneToOneField(
                        db_column="sku",
                        on_delete=django.db.models.deletion.CASCADE,
                        primary_key=True,
                        related_name="adapter",
                        serialize=False,
                        to="catalog.part",
                    ),
                ),
                (
                    "flange",
                    models.ForeignKey(
                        db_column="flange",
                        db_index=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="adapters",
                        to="catalog.flange",
                    ),
                ),
                ("thickness_mm", models.DecimalField(decimal_places=3, max_digits=12)),
                ("footprint_mm", models.DecimalField(decimal_places=3, max_digits=12)),
            ],
            options={
                "indexes": [models.Index(fields=["flange"], name="adapter_by_flange")],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("thickness_mm__gte", Decimal("-1000")), ("thickness_mm__lte", Decimal("1000"))
                        ),
                        name="adapters_thickness_mm",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("footprint_mm__gte", Decimal("0.001")), ("footprint_mm__lte", Decimal("10000"))
                        ),
                        name="adapters_footprint_mm",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="AdapterBase",
            fields=[
                (
                    "pk",
                    models.CompositePrimaryKey(
                        "adapter_id",
                        "base_pattern_id",
                        blank=True,
                        editable=False,
                        primary_key=True,
                        serialize=False,
                    ),
                ),
                (
                    "adapter",
                    models.ForeignKey(
                        db_column="sku",
                        db_index=False,
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="bases",
                        to="catalog.adapter",
                    ),
                ),
                (
                    "base_pattern",
                    models.ForeignKey(
                        db_column="base_pattern",
                        db_index=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="adapter_bases",
                        to="catalog.basepattern",
                    ),
                ),
            ],
            options={
                "indexes": [models.Index(fields=["base_pattern"], name="adapter_base_by_pattern")],
            },
        ),
        migrations.CreateModel(
            name="Drive",
            fields=[
                (
                    "part",
                    models.OneToOneField(
                        db_column="sku",
                        on_delete=django.db.models.deletion.CASCADE,
                        primary_key=True,
                        related_name="drive",
                        serialize=False,
                        to="catalog.part",
                    ),
                ),
                ("drive_type", models.CharField(max_length=20)),
                ("power", models.CharField(max_length=20)),
                ("hand", models.CharField(max_length=20)),
                ("supplied_hand", models.CharField(max_length=20)),
                (
                    "flange",
                    models.ForeignKey(
                        db_column="flange",
                        db_index=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="drives",
                        to="catalog.flange",
                    ),
                ),
                (
                    "coupling",
                    models.ForeignKey(
                        db_column="coupling",
                        db_index=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="drives",
                        to="catalog.coupling",
                    ),
                ),
                ("motor_volts", models.SmallIntegerField(null=True)),
                ("motor_leads", models.SmallIntegerField(null=True)),
                ("torque_nm", models.DecimalField(decimal_places=3, max_digits=12)),
                ("no_load_current_a", models.DecimalField(decimal_places=3, max_digits=12, null=True)),
                ("peak_current_a", models.DecimalField(decimal_places=3, max_digits=12, null=True)),
                ("efficiency_percent", models.DecimalField(decimal_places=1, max_digits=4, null=True)),
                ("reversible", models.BooleanField()),
                ("override", models.BooleanField()),
                ("max_press_seconds", models.DecimalField(decimal_places=3, max_digits=12, null=True)),
                ("duty_class", models.CharField(max_length=30, null=True)),
                ("clearance_mm", models.DecimalField(decimal_places=3, max_digits=12)),
                ("largest_breaker_a", models.DecimalField(decimal_places=3, max_digits=12, null=True)),
            ],
            options={
                "indexes": [
                    models.Index(fields=["flange"], name="drive_by_flange"),
                    models.Index(fields=["coupling"], name="drive_by_coupling"),
                ],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("drive_type__in", ["in-line", "right-angle"])),
                        name="drives_drive_type",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("power__in", ["electric", "hydraulic"])), name="drives_power"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("hand__in", ["none", "left", "right", "convertible"])),
                        name="drives_hand",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("supplied_hand__in", ["none", "left", "right"])),
                        name="drives_supplied_hand",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("motor_volts__in", [12, 24, 48])), name="drives_motor_volts"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("motor_leads__in", [2, 3])), name="drives_motor_leads"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("torque_nm__gte", Decimal("0.001")), ("torque_nm__lte", Decimal("100000"))
                        ),
                        name="drives_torque_nm",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("no_load_current_a__gte", Decimal("0")),
                            ("no_load_current_a__lte", Decimal("10000")),
                        ),
                        name="drives_no_load_current_a",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("peak_current_a__gte", Decimal("0.001")),
                            ("peak_current_a__lte", Decimal("10000")),
                        ),
                        name="drives_peak_current_a",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("efficiency_percent__gte", Decimal("0.1")),
                            ("efficiency_percent__lte", Decimal("100")),
                        ),
                        name="drives_efficiency_percent",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("max_press_seconds__gte", Decimal("0.001")),
                            ("max_press_seconds__lte", Decimal("1000000")),
                        ),
                        name="drives_max_press_seconds",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            (
                                "duty_class__regex",
                                "^[^[:cntrl:][:space:]]([^[:cntrl:]]*[^[:cntrl:][:space:]])?$",
                            )
                        ),
                        name="drives_duty_class",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("clearance_mm__gte", Decimal("0")), ("clearance_mm__lte", Decimal("10000"))
                        ),
                        name="drives_clearance_mm",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("largest_breaker_a__gte", Decimal("0.001")),
                            ("largest_breaker_a__lte", Decimal("10000")),
                        ),
                        name="drives_largest_breaker_a",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("hand", "convertible"), ("supplied_hand__in", ["left", "right"])),
                            models.Q(
                                models.Q(("hand", "convertible"), _negated=True),
                                ("supplied_hand", models.F("hand")),
                            ),
                            _connector="OR",
                        ),
                        name="drives_supplied_hand_agrees",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("power__in", ["electric"]), _negated=True),
                            ("motor_volts__isnull", False),
                            _connector="OR",
                        ),
                        name="drives_motor_volts_needed",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("power__in", ["electric"]), ("motor_volts__isnull", True), _connector="OR"
                        ),
                        name="drives_motor_volts_empty",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("power__in", ["electric"]), _negated=True),
                            ("motor_leads__isnull", False),
                            _connector="OR",
                        ),
                        name="drives_motor_leads_needed",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("power__in", ["electric"]), ("motor_leads__isnull", True), _connector="OR"
                        ),
                        name="drives_motor_leads_empty",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("power__in", ["electric"]), _negated=True),
                            ("no_load_current_a__isnull", False),
                            _connector="OR",
                        ),
                        name="drives_no_load_current_a_needed",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("power__in", ["electric"]), ("no_load_current_a__isnull", True), _connector="OR"
                        ),
                        name="drives_no_load_current_a_empty",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("power__in", ["electric"]), _negated=True),
                            ("peak_current_a__isnull", False),
                            _connector="OR",
                        ),
                        name="drives_peak_current_a_needed",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("power__in", ["electric"]), ("peak_current_a__isnull", True), _connector="OR"
                        ),
                        name="drives_peak_current_a_empty",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("power__in", ["electric"]), _negated=True),
                            ("efficiency_percent__isnull", False),
                            _connector="OR",
                        ),
                        name="drives_efficiency_percent_needed",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("power__in", ["electric"]), ("efficiency_percent__isnull", True), _connector="OR"
                        ),
                        name="drives_efficiency_percent_empty",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("power__in", ["electric"]), _negated=True),
                            ("largest_breaker_a__isnull", False),
                            _connector="OR",
                        ),
                        name="drives_largest_breaker_a_needed",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("power__in", ["electric"]), ("largest_breaker_a__isnull", True), _connector="OR"
                        ),
                        name="drives_largest_breaker_a_empty",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("power__in", ["electric"]), _negated=True),
                            ("max_press_seconds__isnull", False),
                            _connector="OR",
                        ),
                        name="drives_max_press_seconds_needed",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("power__in", ["electric"]), _negated=True),
                            ("duty_class__isnull", False),
                            _connector="OR",
                        ),
                        name="drives_duty_class_needed",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("no_load_current_a__lte", models.F("peak_current_a"))),
                        name="drives_no_load_current_a_peak_current_a",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="DriveClocking",
            fields=[
                (
                    "pk",
                    models.CompositePrimaryKey(
                        "drive_id",
                        "from_deg",
                        "to_deg",
                        blank=True,
                        editable=False,
                        primary_key=True,
                        serialize=False,
                    ),
                ),
                (
                    "drive",
                    models.ForeignKey(
                        db_column="sku",
                        db_index=False,
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="clockings",
                        to="catalog.drive",
                    ),
                ),
                ("from_deg", models.DecimalField(decimal_places=1, max_digits=4)),
                ("to_deg", models.DecimalField(decimal_places=1, max_digits=4)),
            ],
            options={
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("from_deg__gte", Decimal("0")), ("from_deg__lte", Decimal("359.9"))
                        ),
                        name="drive_clockings_from_deg",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("to_deg__gte", Decimal("0")), ("to_deg__lte", Decimal("360"))),
                        name="drive_clockings_to_deg",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="DrivePiece",
            fields=[
                (
                    "pk",
                    models.CompositePrimaryKey(
                        "drive_id", "piece", blank=True, editable=False, primary_key=True, serialize=False
                    ),
                ),
                (
                    "drive",
                    models.ForeignKey(
                        db_column="sku",
                        db_index=False,
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="pieces",
                        to="catalog.drive",
                    ),
                ),
                ("piece", models.CharField(db_collation="C", max_length=60)),
                ("length_mm", models.DecimalField(decimal_places=3, max_digits=12)),
                ("width_mm", models.DecimalField(decimal_places=3, max_digits=12)),
                ("height_mm", models.DecimalField(decimal_places=3, max_digits=12)),
                ("carries_shaft", models.BooleanField()),
            ],
            options={
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("piece__regex", "^[a-z0-9]+(-[a-z0-9]+)*$")),
                        name="drive_pieces_piece",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("length_mm__gte", Decimal("0.001")), ("length_mm__lte", Decimal("10000"))
                        ),
                        name="drive_pieces_length_mm",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("width_mm__gte", Decimal("0.001")), ("width_mm__lte", Decimal("10000"))
                        ),
                        name="drive_pieces_width_mm",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("height_mm__gte", Decimal("0.001")), ("height_mm__lte", Decimal("10000"))
                        ),
                        name="drive_pieces_height_mm",
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("carries_shaft", True)),
                        fields=("drive",),
                        name="drive_pieces_one_carries_shaft",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="DriveRotation",
            fields=[
                (
                    "pk",
                    models.CompositePrimaryKey(
                        "drive_id",
                        "rotation_deg",
                        blank=True,
                        editable=False,
                        primary_key=True,
                        serialize=False,
                    ),
                ),
                (
                    "drive",
                    models.ForeignKey(
                        db_column="sku",
                        db_index=False,
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="rotations",
                        to="catalog.drive",
                    ),
                ),
                ("rotation_deg", models.DecimalField(decimal_places=1, max_digits=4)),
            ],
            options={
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("rotation_deg__gte", Decimal("0")), ("rotation_deg__lte", Decimal("359.9"))
                        ),
                        name="drive_rotations_rotation_deg",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="DriveSolid",
            fields=[
                (
                    "pk",
                    models.CompositePrimaryKey(
                        "drive_id", "solid", blank=True, editable=False, primary_key=True, serialize=False
                    ),
                ),
                (
                    "drive",
                    models.ForeignKey(
                        db_column="sku",
                        db_index=False,
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="solids",
                        to="catalog.drive",
                    ),
                ),
                ("solid", models.CharField(db_collation="C", max_length=60)),
                ("shape", models.CharField(max_length=20)),
                ("x_from_mm", models.DecimalField(decimal_places=3, max_digits=12, null=True)),
                ("x_to_mm", models.DecimalField(decimal_places=3, max_digits=12, null=True)),
                ("y_from_mm", models.DecimalField(decimal_places=3, max_digits=12, null=True)),
                ("y_to_mm", models.DecimalField(decimal_places=3, max_digits=12, null=True)),
                ("x_mm", models.DecimalField(decimal_places=3, max_digits=12, null=True)),
                ("y_mm", models.DecimalField(decimal_places=3, max_digits=12, null=True)),
                ("diameter_mm", models.DecimalField(decimal_places=3, max_digits=12, null=True)),
                ("depth_from_mm", models.DecimalField(decimal_places=3, max_digits=12)),
                ("depth_to_mm", models.DecimalField(decimal_places=3, max_digits=12)),
            ],
            options={
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("solid__regex", "^[a-z0-9]+(-[a-z0-9]+)*$")),
                        name="drive_solids_solid",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("shape__in", ["box", "cylinder"])), name="drive_solids_shape"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("x_from_mm__gte", Decimal("-5000")), ("x_from_mm__lte", Decimal("5000"))
                        ),
                        name="drive_solids_x_from_mm",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("x_to_mm__gte", Decimal("-5000")), ("x_to_mm__lte", Decimal("5000"))
                        ),
                        name="drive_solids_x_to_mm",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("y_from_mm__gte", Decimal("-5000")), ("y_from_mm__lte", Decimal("5000"))
                        ),
                        name="drive_solids_y_from_mm",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("y_to_mm__gte", Decimal("-5000")), ("y_to_mm__lte", Decimal("5000"))
                        ),
                        name="drive_solids_y_to_mm",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("x_mm__gte", Decimal("-5000")), ("x_mm__lte", Decimal("5000"))),
                        name="drive_solids_x_mm",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("y_mm__gte", Decimal("-5000")), ("y_mm__lte", Decimal("5000"))),
                        name="drive_solids_y_mm",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("diameter_mm__gte", Decimal("0.001")), ("diameter_mm__lte", Decimal("10000"))
                        ),
                        name="drive_solids_diameter_mm",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("depth_from_mm__gte", Decimal("0")), ("depth_from_mm__lte", Decimal("10000"))
                        ),
                        name="drive_solids_depth_from_mm",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("depth_to_mm__gte", Decimal("0.001")), ("depth_to_mm__lte", Decimal("10000"))
                        ),
                        name="drive_solids_depth_to_mm",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("shape__in", ["box"]), _negated=True),
                            ("x_from_mm__isnull", False),
                            _connector="OR",
                        ),
                        name="drive_solids_x_from_mm_needed",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("shape__in", ["box"]), ("x_from_mm__isnull", True), _connector="OR"
                        ),
                        name="drive_solids_x_from_mm_empty",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("shape__in", ["box"]), _negated=True),
                            ("x_to_mm__isnull", False),
                            _connector="OR",
                        ),
                        name="drive_solids_x_to_mm_needed",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("shape__in", ["box"]), ("x_to_mm__isnull", True), _connector="OR"
                        ),
                        name="drive_solids_x_to_mm_empty",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("shape__in", ["box"]), _negated=True),
                            ("y_from_mm__isnull", False),
                            _connector="OR",
                        ),
                        name="drive_solids_y_from_mm_needed",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("shape__in", ["box"]), ("y_from_mm__isnull", True), _connector="OR"
                        ),
                        name="drive_solids_y_from_mm_empty",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("shape__in", ["box"]), _negated=True),
                            ("y_to_mm__isnull", False),
                            _connector="OR",
                        ),
                        name="drive_solids_y_to_mm_needed",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("shape__in", ["box"]), ("y_to_mm__isnull", True), _connector="OR"
                        ),
                        name="drive_solids_y_to_mm_empty",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("shape__in", ["cylinder"]), _negated=True),
                            ("x_mm__isnull", False),
                            _connector="OR",
                        ),
                        name="drive_solids_x_mm_needed",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("shape__in", ["cylinder"]), ("x_mm__isnull", True), _connector="OR"
                        ),
                        name="drive_solids_x_mm_empty",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("shape__in", ["cylinder"]), _negated=True),
                            ("y_mm__isnull", False),
                            _connector="OR",
                        ),
                        name="drive_solids_y_mm_needed",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("shape__in", ["cylinder"]), ("y_mm__isnull", True), _connector="OR"
                        ),
                        name="drive_solids_y_mm_empty",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("shape__in", ["cylinder"]), _negated=True),
                            ("diameter_mm__isnull", False),
                            _connector="OR",
                        ),
                        name="drive_solids_diameter_mm_needed",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("shape__in", ["cylinder"]), ("diameter_mm__isnull", True), _connector="OR"
                        ),
                        name="drive_solids_diameter_mm_empty",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("x_from_mm__lt", models.F("x_to_mm"))),
                        name="drive_solids_x_from_mm_x_to_mm",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("y_from_mm__lt", models.F("y_to_mm"))),
                        name="drive_solids_y_from_mm_y_to_mm",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("depth_from_mm__lt", models.F("depth_to_mm"))),
                        name="drive_solids_depth_from_mm_depth_to_mm",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="HandingKitDrive",
            fields=[
                (
                    "pk",
                    models.CompositePrimaryKey(
                        "handing_kit_id",
                        "drive_id",
                        blank=True,
                        editable=False,
                        primary_key=True,
                        serialize=False,
                    ),
                ),
                (
                    "handing_kit",
                    models.ForeignKey(
                        db_column="sku",
                        db_index=False,
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="drives",
                        to="catalog.handingkit",
                    ),
                ),
                (
                    "drive",
                    models.ForeignKey(
                        db_column="drive",
                        db_index=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="handing_kits",
                        to="catalog.drive",
                    ),
                ),
            ],
            options={
                "indexes": [models.Index(fields=["drive"], name="handing_kit_by_drive")],
            },
        ),
        migrations.CreateModel(
            name="Shaft",
            fields=[
                (
                    "part",
                    models.OneToOneField(
                        db_column="sku",
                        on_delete=django.db.models.deletion.CASCADE,
                        primary_key=True,
                        related_name="shaft",
                        serialize=False,
                        to="catalog.part",
                    ),
                ),
                ("mounting", models.CharField(max_length=20)),
                ("cut", models.BooleanField()),
                ("cut_min_mm", models.DecimalField(decimal_places=3, max_digits=12, null=True)),
                ("cut_max_mm", models.DecimalField(decimal_places=3, max_digits=12, null=True)),
                ("standing_height_mm", models.DecimalField(decimal_places=3, max_digits=12)),
            ],
            options={
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("mounting__in", ["captive", "from-above", "from-below"])),
                        name="shafts_mounting",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("cut_min_mm__gte", Decimal("0.001")), ("cut_min_mm__lte", Decimal("10000"))
                        ),
                        name="shafts_cut_min_mm",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("cut_max_mm__gte", Decimal("0.001")), ("cut_max_mm__lte", Decimal("10000"))
                        ),
                        name="shafts_cut_max_mm",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("standing_height_mm__gte", Decimal("0")),
                            ("standing_height_mm__lte", Decimal("10000")),
                        ),
                        name="shafts_standing_height_mm",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("cut", False), ("cut_min_mm__isnull", False), _connector="OR"),
                        name="shafts_cut_min_mm_needed",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("cut", True), ("cut_min_mm__isnull", True), _connector="OR"),
                        name="shafts_cut_min_mm_empty",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("cut", False), ("cut_max_mm__isnull", False), _connector="OR"),
                        name="shafts_cut_max_mm_needed",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("cut", True), ("cut_max_mm__isnull", True), _connector="OR"),
                        name="shafts_cut_max_mm_empty",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("cut_min_mm__lte", models.F("cut_max_mm"))),
                        name="shafts_cut_min_mm_cut_max_mm",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="ShaftWindow",
            fields=[
                (
                    "pk",
                    models.CompositePrimaryKey(
                        "shaft_id",
                        "spindle_id",
                        "coupling_id",
                        blank=True,
                        editable=False,
                        primary_key=True,
                        serialize=False,
                    ),
                ),
                (
                    "shaft",
                    models.ForeignKey(
                        db_column="sku",
                        db_index=False,
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="windows",
                        to="catalog.shaft",
                    ),
                ),
                (
                    "spindle",
                    models.ForeignKey(
                        db_column="spindle",
                        db_index=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="windows",
                        to="catalog.spindle",
                    ),
                ),
                (
                    "coupling",
                    models.ForeignKey(
                        db_column="coupling",
                        db_index=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="windows",
                        to="catalog.coupling",
                    ),
                ),
                ("from_mm", models.DecimalField(decimal_places=3, max_digits=12)),
                ("to_mm", models.DecimalField(decimal_places=3, max_digits=12)),
            ],
            options={
                "indexes": [
                    models.Index(fields=["spindle", "coupling"], name="shaft_window_by_mating"),
                    models.Index(fields=["coupling"], name="shaft_window_by_coupling"),
                ],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("from_mm__gte", Decimal("-1000")), ("from_mm__lte", Decimal("10000"))
                        ),
                        name="shaft_windows_from_mm",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("to_mm__gte", Decimal("-1000")), ("to_mm__lte", Decimal("10000"))
                        ),
                        name="shaft_windows_to_mm",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("from_mm__lte", models.F("to_mm"))),
                        name="shaft_windows_from_mm_to_mm",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Spacer",
            fields=[
                (
                    "part",
                    models.OneToOneField(
                        db_column="sku",
                        on_delete=django.db.models.deletion.CASCADE,
                        primary_key=True,
                        related_name="spacer",
                        serialize=False,
                        to="catalog.part",
                    ),
                ),
                (
                    "flange",
                    models.ForeignKey(
                        db_column="flange",
                        db_index=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="spacers",
                        to="catalog.flange",
                    ),
                ),
                ("thickness_mm", models.DecimalField(decimal_places=3, max_digits=12)),
                ("max_count", models.SmallIntegerField()),
            ],
            options={
                "indexes": [models.Index(fields=["flange"], name="spacer_by_flange")],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("thickness_mm__gte", Decimal("0.001")), ("thickness_mm__lte", Decimal("1000"))
                        ),
                        name="spacers_thickness_mm",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("max_count__gte", 1), ("max_count__lte", 20)),
                        name="spacers_max_count",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Wedge",
            fields=[
                (
                    "part",
                    models.OneToOneField(
                        db_column="sku",
                        on_delete=django.db.models.deletion.CASCADE,
                        primary_key=True,
                        related_name="wedge",
                        serialize=False,
                        to="catalog.part",
                    ),
                ),
                (
                    "flange",
                    models.ForeignKey(
                        db_column="flange",
                        db_index=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="wedges",
                        to="catalog.flange",
                    ),
                ),
                ("angle_deg", models.DecimalField(decimal_places=1, max_digits=4)),
                ("axis_thickness_mm", models.DecimalField(decimal_places=3, max_digits=12)),
            ],
            options={
                "indexes": [models.Index(fields=["flange"], name="wedge_by_flange")],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("angle_deg__gte", Decimal("0.1")), ("angle_deg__lte", Decimal("45"))
                        ),
                        name="wedges_angle_deg",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("axis_thickness_mm__gte", Decimal("0.001")),
                            ("axis_thickness_mm__lte", Decimal("1000")),
                        ),
                        name="wedges_axis_thickness_mm",
                    ),
                ],
            },
        ),
    ]
