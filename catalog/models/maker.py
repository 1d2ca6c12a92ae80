"""Who makes winches and parts."""

from typing import ClassVar

from django.contrib.postgres.indexes import GinIndex
from django.db import models

from catalog.models.checks import checks
from catalog.package.resources.winches import MAKERS
from shared.tenancy import SharedModel


class Maker(SharedModel):
    code = models.CharField(primary_key=True, max_length=60, db_collation="C")
    name = models.CharField(max_length=120)

    class Meta:
        ordering: ClassVar[list[str]] = ["code"]
        constraints: ClassVar[list[models.BaseConstraint]] = [*checks(MAKERS)]
        indexes: ClassVar[list[models.Index]] = [
            GinIndex(fields=["name"], name="maker_name_trigrams", opclasses=["gin_trgm_ops"]),
        ]

    def __str__(self) -> str:
        return self.name
