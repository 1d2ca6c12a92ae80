"""Winch families."""

from typing import ClassVar

from django.contrib.postgres.indexes import GinIndex
from django.db import models

from catalog.models.checks import checks
from catalog.models.maker import Maker
from catalog.package.resources.winches import FAMILIES
from shared.tenancy import SharedModel


class WinchFamily(SharedModel):
    """A maker's line of winches, convertible or replace-only."""

    code = models.CharField(primary_key=True, max_length=60, db_collation="C")
    maker = models.ForeignKey(
        Maker, models.PROTECT, db_column="maker", related_name="families", db_index=False
    )
    name = models.CharField(max_length=120)
    convertible = models.BooleanField()
    replace_only_reason = models.CharField(max_length=1000, null=True)  # noqa: DJ001 - null as in the package
    first_year = models.SmallIntegerField(null=True)
    last_year = models.SmallIntegerField(null=True)

    class Meta:
        verbose_name_plural = "winch families"
        ordering: ClassVar[list[str]] = ["code"]
        constraints: ClassVar[list[models.BaseConstraint]] = [*checks(FAMILIES)]
        indexes: ClassVar[list[models.Index]] = [
            models.Index(fields=["maker"], name="family_by_maker"),
            GinIndex(fields=["name"], name="family_name_trigrams", opclasses=["gin_trgm_ops"]),
        ]

    def __str__(self) -> str:
        return self.name
