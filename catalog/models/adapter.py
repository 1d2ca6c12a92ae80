"""Base adapters."""

from typing import ClassVar

from django.db import models

from catalog.models.checks import checks
from catalog.models.interface import BasePattern, Flange
from catalog.models.part import Part
from catalog.package.resources.mechanical import ADAPTER_BASES, ADAPTERS
from shared.tenancy import SharedModel


class Adapter(SharedModel):
    """What lets a manual winch take a drive; its thickness is signed."""

    part = models.OneToOneField(
        Part, models.CASCADE, primary_key=True, db_column="sku", related_name="adapter"
    )
    flange = models.ForeignKey(
        Flange, models.PROTECT, db_column="flange", related_name="adapters", db_index=False
    )
    thickness_mm = models.DecimalField(max_digits=12, decimal_places=3)
    footprint_mm = models.DecimalField(max_digits=12, decimal_places=3)

    class Meta:
        constraints: ClassVar[list[models.BaseConstraint]] = [*checks(ADAPTERS)]
        indexes: ClassVar[list[models.Index]] = [models.Index(fields=["flange"], name="adapter_by_flange")]

    def __str__(self) -> str:
        return self.part_id


class AdapterBase(SharedModel):
    """A base pattern that an adapter takes."""

    pk = models.CompositePrimaryKey("adapter_id", "base_pattern_id")
    adapter = models.ForeignKey(
        Adapter, models.CASCADE, db_column="sku", related_name="bases", db_index=False
    )
    base_pattern = models.ForeignKey(
        BasePattern, models.PROTECT, db_column="base_pattern", related_name="adapter_bases", db_index=False
    )

    class Meta:
        constraints: ClassVar[list[models.BaseConstraint]] = [*checks(ADAPTER_BASES)]
        indexes: ClassVar[list[models.Index]] = [
            models.Index(fields=["base_pattern"], name="adapter_base_by_pattern")
        ]

    def __str__(self) -> str:
        return f"{self.adapter_id} {self.base_pattern_id}"
