"""Switches."""

from typing import ClassVar

from django.db import models

from catalog.models.checks import checks
from catalog.models.part import Part
from catalog.package.resources.electrical import SWITCHES
from shared.tenancy import SharedModel


class Switch(SharedModel):
    """What is pressed on deck."""

    part = models.OneToOneField(
        Part, models.CASCADE, primary_key=True, db_column="sku", related_name="switch"
    )
    buttons = models.SmallIntegerField()
    max_volts = models.SmallIntegerField()

    class Meta:
        verbose_name_plural = "switches"
        constraints: ClassVar[list[models.BaseConstraint]] = [*checks(SWITCHES)]

    def __str__(self) -> str:
        return self.part_id
