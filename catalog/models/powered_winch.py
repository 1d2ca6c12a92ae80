"""Powered winches."""

from typing import ClassVar

from django.db import models

from catalog.models.checks import checks
from catalog.models.part import Part
from catalog.package.resources.electrical import POWERED_WINCHES
from shared.tenancy import SharedModel


class PoweredWinch(SharedModel):
    """A winch with a motor of its own, which replaces a manual one whole."""

    part = models.OneToOneField(
        Part, models.CASCADE, primary_key=True, db_column="sku", related_name="powered_winch"
    )
    size = models.SmallIntegerField()
    last_gear_ratio = models.DecimalField(max_digits=12, decimal_places=3)
    drum_diameter_mm = models.DecimalField(max_digits=12, decimal_places=3)
    base_diameter_mm = models.DecimalField(max_digits=12, decimal_places=3)
    working_load_n = models.IntegerField()
    self_tailing = models.BooleanField()
    rope_min_mm = models.DecimalField(max_digits=12, decimal_places=3, null=True)
    rope_max_mm = models.DecimalField(max_digits=12, decimal_places=3, null=True)
    motor_volts = models.SmallIntegerField()

    class Meta:
        verbose_name_plural = "powered winches"
        constraints: ClassVar[list[models.BaseConstraint]] = [*checks(POWERED_WINCHES)]

    def __str__(self) -> str:
        return self.part_id
