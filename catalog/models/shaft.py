"""Drive shafts."""

from typing import ClassVar

from django.db import models

from catalog.models.checks import checks
from catalog.models.interface import Coupling, Spindle
from catalog.models.part import Part
from catalog.package.resources.mechanical import SHAFT_WINDOWS, SHAFTS
from shared.tenancy import SharedModel


class Shaft(SharedModel):
    """A shaft through the deck: fixed or cut to length; captive, from above or from below."""

    part = models.OneToOneField(Part, models.CASCADE, primary_key=True, db_column="sku", related_name="shaft")
    mounting = models.CharField(max_length=20)
    cut = models.BooleanField()
    cut_min_mm = models.DecimalField(max_digits=12, decimal_places=3, null=True)
    cut_max_mm = models.DecimalField(max_digits=12, decimal_places=3, null=True)
    standing_height_mm = models.DecimalField(max_digits=12, decimal_places=3)

    class Meta:
        constraints: ClassVar[list[models.BaseConstraint]] = [*checks(SHAFTS)]

    def __str__(self) -> str:
        return self.part_id


class ShaftWindow(SharedModel):
    """Between which lengths a shaft engages on one spindle and one coupling."""

    pk = models.CompositePrimaryKey("shaft_id", "spindle_id", "coupling_id")
    shaft = models.ForeignKey(Shaft, models.CASCADE, db_column="sku", related_name="windows", db_index=False)
    spindle = models.ForeignKey(
        Spindle, models.PROTECT, db_column="spindle", related_name="windows", db_index=False
    )
    coupling = models.ForeignKey(
        Coupling, models.PROTECT, db_column="coupling", related_name="windows", db_index=False
    )
    from_mm = models.DecimalField(max_digits=12, decimal_places=3)
    to_mm = models.DecimalField(max_digits=12, decimal_places=3)

    class Meta:
        constraints: ClassVar[list[models.BaseConstraint]] = [*checks(SHAFT_WINDOWS)]
        indexes: ClassVar[list[models.Index]] = [
            models.Index(fields=["spindle", "coupling"], name="shaft_window_by_mating"),
            models.Index(fields=["coupling"], name="shaft_window_by_coupling"),
        ]

    def __str__(self) -> str:
        return f"{self.shaft_id} {self.spindle_id} {self.coupling_id}"
