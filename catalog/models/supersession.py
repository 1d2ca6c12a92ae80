"""Supersessions."""

from typing import ClassVar

from django.db import models

from catalog.models.checks import checks
from catalog.models.part import Part
from catalog.package.resources.articles import SUPERSESSIONS
from shared.tenancy import SharedModel


class Supersession(SharedModel):
    """``new`` takes the place of ``old``; it never makes a part mate."""

    pk = models.CompositePrimaryKey("old_id", "new_id")
    old = models.ForeignKey(
        Part, models.PROTECT, db_column="old", related_name="superseded_by", db_index=False
    )
    new = models.ForeignKey(Part, models.PROTECT, db_column="new", related_name="supersedes", db_index=False)
    direction = models.CharField(max_length=20)
    note = models.CharField(max_length=1000, null=True)  # noqa: DJ001 - null as in the package

    class Meta:
        constraints: ClassVar[list[models.BaseConstraint]] = [*checks(SUPERSESSIONS)]
        indexes: ClassVar[list[models.Index]] = [models.Index(fields=["new"], name="supersession_by_new")]

    def __str__(self) -> str:
        return f"{self.old_id} {self.new_id}"
