"""Controllers."""

from typing import ClassVar

from django.db import models

from catalog.models.checks import checks
from catalog.models.part import Part
from catalog.package.resources.electrical import (
    CONTROLLER_CONTROL_VOLTS,
    CONTROLLER_MOTOR_VOLTS,
    CONTROLLERS,
)
from shared.tenancy import SharedModel


class Controller(SharedModel):
    """What switches a motor both ways and cuts out on overload."""

    part = models.OneToOneField(
        Part, models.CASCADE, primary_key=True, db_column="sku", related_name="controller"
    )
    motor_leads = models.SmallIntegerField()
    max_current_a = models.DecimalField(max_digits=12, decimal_places=3)
    inputs = models.SmallIntegerField()
    plain_switches = models.BooleanField()

    class Meta:
        constraints: ClassVar[list[models.BaseConstraint]] = [*checks(CONTROLLERS)]

    def __str__(self) -> str:
        return self.part_id


class ControllerMotorVolts(SharedModel):
    """A motor voltage that a controller switches."""

    pk = models.CompositePrimaryKey("controller_id", "volts")
    controller = models.ForeignKey(
        Controller, models.CASCADE, db_column="sku", related_name="motor_volts", db_index=False
    )
    volts = models.SmallIntegerField()

    class Meta:
        verbose_name_plural = "controller motor volts"
        constraints: ClassVar[list[models.BaseConstraint]] = [*checks(CONTROLLER_MOTOR_VOLTS)]

    def __str__(self) -> str:
        return f"{self.controller_id} {self.volts} V"


class ControllerControlVolts(SharedModel):
    """A control voltage that a controller runs at."""

    pk = models.CompositePrimaryKey("controller_id", "volts")
    controller = models.ForeignKey(
        Controller, models.CASCADE, db_column="sku", related_name="control_volts", db_index=False
    )
    volts = models.SmallIntegerField()

    class Meta:
        verbose_name_plural = "controller control volts"
        constraints: ClassVar[list[models.BaseConstraint]] = [*checks(CONTROLLER_CONTROL_VOLTS)]

    def __str__(self) -> str:
        return f"{self.controller_id} {self.volts} V"
