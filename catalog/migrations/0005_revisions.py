import django.db.models.deletion
import django.db.models.functions.datetime
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("catalog", "0004_electrical_parts"),
        ("shared", "__first__"),
    ]

    operations = [
        migrations.CreateModel(
            name="StoredFile",
            fields=[
                (
                    "sha256",
                    models.CharField(db_collation="C", max_length=64, primary_key=True, serialize=False),
                ),
                ("content", models.BinaryField()),
            ],
            options={
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("sha256__regex", "^[0-9a-f]{64}$")), name="stored_file_sha256"
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="Revision",
            fields=[
                ("number", models.IntegerField(primary_key=True, serialize=False)),
                (
                    "description",
                    models.OneToOneField(
                        db_column="sha256",
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="revision",
                        to="catalog.storedfile",
                    ),
                ),
                (
                    "published_at",
                    models.DateTimeField(
                        db_default=django.db.models.functions.datetime.Now(), editable=False
                    ),
                ),
                (
                    "published_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                ("note", models.CharField(blank=True, max_length=1000)),
                ("counts", models.JSONField()),
            ],
            options={
                "ordering": ["number"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("number__gte", 1)), name="revision_number_from_1"
                    )
                ],
            },
        ),
    ]
