"""Published revisions, and the files that they are made of. Rows are added and never changed."""

from typing import ClassVar

from django.db import models
from django.db.models.functions import Now

from shared.tenancy import SharedModel

SHA_256 = "^[0-9a-f]{64}$"


class StoredFile(SharedModel):
    """A file of one or more revisions, once, under its SHA-256 in hex. The database compares the two."""

    sha256 = models.CharField(primary_key=True, max_length=64, db_collation="C")
    content = models.BinaryField()

    class Meta:
        constraints: ClassVar[list[models.BaseConstraint]] = [
            models.CheckConstraint(name="stored_file_sha256", condition=models.Q(sha256__regex=SHA_256)),
        ]

    def __str__(self) -> str:
        return self.sha256


class Revision(SharedModel):
    """A published, immutable state of the catalog. Its hash is that of its ``datapackage.json``."""

    number = models.IntegerField(primary_key=True)
    description = models.OneToOneField(
        StoredFile, models.PROTECT, db_column="sha256", related_name="revision"
    )
    published_at = models.DateTimeField(db_default=Now(), editable=False)
    published_by = models.ForeignKey("shared.Person", models.PROTECT, related_name="+")
    note = models.CharField(max_length=1000, blank=True)
    counts = models.JSONField()
    """Rows by resource, to be shown; nothing reads it to decide."""

    class Meta:
        ordering: ClassVar[list[str]] = ["number"]
        constraints: ClassVar[list[models.BaseConstraint]] = [
            models.CheckConstraint(name="revision_number_from_1", condition=models.Q(number__gte=1)),
        ]

    def __str__(self) -> str:
        return str(self.number)

    @property
    def sha256(self) -> str:
        """The revision's hash, in hex."""
        return self.description_id
