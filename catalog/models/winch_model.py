"""Winch models and their gears."""

from typing import ClassVar

from django.contrib.postgres.indexes import GinIndex
from django.db import models

from catalog.models.checks import checks
from catalog.models.family import WinchFamily
from catalog.package.resources.winches import MODEL_GEARS, MODELS
from shared.tenancy import SharedModel


class WinchModel(SharedModel):
    """One size of a family."""

    code = models.CharField(primary_key=True, max_length=60, db_collation="C")
    family = models.ForeignKey(
        WinchFamily, models.PROTECT, db_column="family", related_name="models", db_index=False
    )
    name = models.CharField(max_length=120)
    size = models.SmallIntegerField()
    drum_diameter_mm = models.DecimalField(max_digits=12, decimal_places=3)
    base_diameter_mm = models.DecimalField(max_digits=12, decimal_places=3)
    height_mm = models.DecimalField(max_digits=12, decimal_places=3)
    working_load_n = models.IntegerField()
    spindle_torque_max_nm = models.DecimalField(max_digits=12, decimal_places=3)
    self_tailing = models.BooleanField()
    rope_min_mm = models.DecimalField(max_digits=12, decimal_places=3, null=True)
    rope_max_mm = models.DecimalField(max_digits=12, decimal_places=3, null=True)
    pad_diameter_mm = models.DecimalField(max_digits=12, decimal_places=3)

    class Meta:
        ordering: ClassVar[list[str]] = ["code"]
        constraints: ClassVar[list[models.BaseConstraint]] = [*checks(MODELS)]
        indexes: ClassVar[list[models.Index]] = [
            models.Index(fields=["family"], name="model_by_family"),
            models.Index(fields=["size", "code"], name="model_by_size"),
            GinIndex(fields=["name"], name="model_name_trigrams", opclasses=["gin_trgm_ops"]),
            GinIndex(fields=["code"], name="model_code_trigrams", opclasses=["gin_trgm_ops"]),
        ]

    def __str__(self) -> str:
        return self.name


class Gear(SharedModel):
    """One gear of a model: 1 is the fast one, the last the strongest."""

    pk = models.CompositePrimaryKey("model_id", "gear")
    model = models.ForeignKey(
        WinchModel, models.CASCADE, db_column="model", related_name="gears", db_index=False
    )
    gear = models.SmallIntegerField()
    ratio = models.DecimalField(max_digits=12, decimal_places=3)

    class Meta:
        ordering: ClassVar[list[str]] = ["model_id", "gear"]
        constraints: ClassVar[list[models.BaseConstraint]] = [*checks(MODEL_GEARS)]

    def __str__(self) -> str:
        return f"{self.model_id} {self.gear}"
