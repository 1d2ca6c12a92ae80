import django.db.models.deletion
import django.db.models.functions.datetime
import django.db.models.functions.text
import django.db.models.functions.uuid
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    initial = True

    dependencies = []

    operations = [
        migrations.CreateModel(
            name="Allowance",
            fields=[
                ("key", models.CharField(max_length=80, primary_key=True, serialize=False)),
                ("rested_at", models.DateTimeField(db_index=True)),
            ],
        ),
        migrations.CreateModel(
            name="Person",
            fields=[
                ("password", models.CharField(max_length=128, verbose_name="password")),
                ("last_login", models.DateTimeField(blank=True, null=True, verbose_name="last login")),
                (
                    "id",
                    models.UUIDField(
                        db_default=django.db.models.functions.uuid.UUID7(),
                        editable=False,
                        primary_key=True,
                        serialize=False,
                    ),
                ),
                ("email", models.EmailField(max_length=254, unique=True)),
                ("name", models.CharField(blank=True, max_length=120)),
                ("is_active", models.BooleanField(db_default=True, default=True)),
                (
                    "joined_at",
                    models.DateTimeField(
                        db_default=django.db.models.functions.datetime.Now(), editable=False
                    ),
                ),
            ],
            options={
                "verbose_name_plural": "people",
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("email", django.db.models.functions.text.Lower("email"))),
                        name="person_email_lower_case",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("email__regex", "^[^@\\s]+@[^@\\s]+$")),
                        name="person_email_has_at",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Organization",
            fields=[
                (
                    "id",
                    models.UUIDField(
                        db_default=django.db.models.functions.uuid.UUID7(),
                        editable=False,
                        primary_key=True,
                        serialize=False,
                    ),
                ),
                ("name", models.CharField(max_length=120)),
                (
                    "kind",
                    models.CharField(
                        choices=[
                            ("yard", "Yard"),
                            ("chandlery", "Chandlery"),
                            ("owner", "Owner"),
                            ("fleet", "Fleet"),
                            ("keeper", "Keeper"),
                        ],
                        max_length=10,
                    ),
                ),
                (
                    "founded_at",
                    models.DateTimeField(
                        db_default=django.db.models.functions.datetime.Now(), editable=False
                    ),
                ),
            ],
            options={
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("name__regex", "\\S")), name="organization_is_named"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("kind__in", ["yard", "chandlery", "owner", "fleet", "keeper"])),
                        name="organization_kind_known",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Membership",
            fields=[
                (
                    "id",
                    models.UUIDField(
                        db_default=django.db.models.functions.uuid.UUID7(),
                        editable=False,
                        primary_key=True,
                        serialize=False,
                    ),
                ),
                (
                    "role",
                    models.CharField(
                        choices=[
                            ("manager", "manages the organization and its members"),
                            ("member", "does the organization's work"),
                            ("reader", "reads and changes nothing"),
                        ],
                        max_length=10,
                    ),
                ),
                (
                    "since",
                    models.DateTimeField(
                        db_default=django.db.models.functions.datetime.Now(), editable=False
                    ),
                ),
                (
                    "person",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="memberships",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "organization",
                    models.ForeignKey(
                        db_index=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="shared.organization",
                    ),
                ),
            ],
            options={
                "abstract": False,
                "constraints": [
                    models.UniqueConstraint(fields=("organization", "id"), name="shared_membership_key"),
                    models.UniqueConstraint(fields=("organization", "person"), name="membership_once"),
                    models.CheckConstraint(
                        condition=models.Q(("role__in", ["manager", "member", "reader"])),
                        name="membership_role_known",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="RecordEntry",
            fields=[
                (
                    "id",
                    models.UUIDField(
                        db_default=django.db.models.functions.uuid.UUID7(),
                        editable=False,
                        primary_key=True,
                        serialize=False,
                    ),
                ),
                (
                    "at",
                    models.DateTimeField(
                        db_default=django.db.models.functions.datetime.Now(), editable=False
                    ),
                ),
                ("action", models.CharField(max_length=60)),
                ("subject_kind", models.CharField(max_length=60)),
                ("subject_key", models.CharField(max_length=120)),
                ("facts", models.JSONField(default=dict)),
                ("request_id", models.CharField(max_length=32)),
                (
                    "organization",
                    models.ForeignKey(
                        db_index=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="shared.organization",
                    ),
                ),
                (
                    "person",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "verbose_name_plural": "record entries",
                "ordering": ["id"],
                "indexes": [
                    models.Index(
                        fields=["organization", "subject_kind", "subject_key", "id"], name="record_by_subject"
                    )
                ],
                "constraints": [
                    models.UniqueConstraint(fields=("organization", "id"), name="shared_recordentry_key"),
                    models.CheckConstraint(
                        condition=models.Q(("action__regex", "^[a-z][a-z0-9-]*(\\.[a-z][a-z0-9-]*)+$")),
                        name="record_action_is_code",
                    ),
                ],
            },
        ),
    ]
