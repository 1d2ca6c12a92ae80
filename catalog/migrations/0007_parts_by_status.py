"""Find parts by whether they can be had, in the order of their keys."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("catalog", "0006_kinds_hashes_rights")]

    operations = [
        migrations.AddIndex("part", models.Index(fields=["status", "sku"], name="part_by_status")),
    ]
