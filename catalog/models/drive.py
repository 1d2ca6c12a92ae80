"""Drive units, with their solids, pieces, clockings and rotations."""

from typing import ClassVar

from django.db import models

from catalog.models.checks import checks
from catalog.models.interface import Coupling, Flange
from catalog.models.part import Part
from catalog.package.resources.mechanical import (
    DRIVE_CLOCKINGS,
    DRIVE_PIECES,
    DRIVE_ROTATIONS,
    DRIVE_SOLIDS,
    DRIVES,
)
from shared.tenancy import SharedModel


class Drive(SharedModel):
    """Gearbox and motor. The electrical figures are null for a hydraulic one."""

    part = models.OneToOneField(Part, models.CASCADE, primary_key=True, db_column="sku", related_name="drive")
    drive_type = models.CharField(max_length=20)
    power = models.CharField(max_length=20)
    hand = models.CharField(max_length=20)
    supplied_hand = models.CharField(max_length=20)
    flange = models.ForeignKey(
        Flange, models.PROTECT, db_column="flange", related_name="drives", db_index=False
    )
    coupling = models.ForeignKey(
        Coupling, models.PROTECT, db_column="coupling", related_name="drives", db_index=False
    )
    motor_volts = models.SmallIntegerField(null=True)
    motor_leads = models.SmallIntegerField(null=True)
    torque_nm = models.DecimalField(max_digits=12, decimal_places=3)
    no_load_current_a = models.DecimalField(max_digits=12, decimal_places=3, null=True)
    peak_current_a = models.DecimalField(max_digits=12, decimal_places=3, null=True)
    efficiency_percent = models.DecimalField(max_digits=4, decimal_places=1, null=True)
    reversible = models.BooleanField()
    override = models.BooleanField()
    max_press_seconds = models.DecimalField(max_digits=12, decimal_places=3, null=True)
    duty_class = models.CharField(max_length=30, null=True)  # noqa: DJ001 - null as in the package
    clearance_mm = models.DecimalField(max_digits=12, decimal_places=3)
    largest_breaker_a = models.DecimalField(max_digits=12, decimal_places=3, null=True)

    class Meta:
        constraints: ClassVar[list[models.BaseConstraint]] = [*checks(DRIVES)]
        indexes: ClassVar[list[models.Index]] = [
            models.Index(fields=["flange"], name="drive_by_flange"),
            models.Index(fields=["coupling"], name="drive_by_coupling"),
        ]

    def __str__(self) -> str:
        return self.part_id


class DriveSolid(SharedModel):
    """A prism of a drive's body, in its own frame, given for the right hand."""

    pk = models.CompositePrimaryKey("drive_id", "solid")
    drive = models.ForeignKey(Drive, models.CASCADE, db_column="sku", related_name="solids", db_index=False)
    solid = models.CharField(max_length=60, db_collation="C")
    shape = models.CharField(max_length=20)
    x_from_mm = models.DecimalField(max_digits=12, decimal_places=3, null=True)
    x_to_mm = models.DecimalField(max_digits=12, decimal_places=3, null=True)
    y_from_mm = models.DecimalField(max_digits=12, decimal_places=3, null=True)
    y_to_mm = models.DecimalField(max_digits=12, decimal_places=3, null=True)
    x_mm = models.DecimalField(max_digits=12, decimal_places=3, null=True)
    y_mm = models.DecimalField(max_digits=12, decimal_places=3, null=True)
    diameter_mm = models.DecimalField(max_digits=12, decimal_places=3, null=True)
    depth_from_mm = models.DecimalField(max_digits=12, decimal_places=3)
    depth_to_mm = models.DecimalField(max_digits=12, decimal_places=3)

    class Meta:
        constraints: ClassVar[list[models.BaseConstraint]] = [*checks(DRIVE_SOLIDS)]

    def __str__(self) -> str:
        return f"{self.drive_id} {self.solid}"


class DrivePiece(SharedModel):
    """A separable piece of a drive, as it goes through an opening."""

    pk = models.CompositePrimaryKey("drive_id", "piece")
    drive = models.ForeignKey(Drive, models.CASCADE, db_column="sku", related_name="pieces", db_index=False)
    piece = models.CharField(max_length=60, db_collation="C")
    length_mm = models.DecimalField(max_digits=12, decimal_places=3)
    width_mm = models.DecimalField(max_digits=12, decimal_places=3)
    height_mm = models.DecimalField(max_digits=12, decimal_places=3)
    carries_shaft = models.BooleanField()

    class Meta:
        constraints: ClassVar[list[models.BaseConstraint]] = [
            *checks(DRIVE_PIECES),
            models.UniqueConstraint(
                fields=["drive"],
                condition=models.Q(carries_shaft=True),
                name="drive_pieces_one_carries_shaft",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.drive_id} {self.piece}"


class DriveClocking(SharedModel):
    """An arc of angles from the datum at which a drive may be bolted; equal ends: one position."""

    pk = models.CompositePrimaryKey("drive_id", "from_deg", "to_deg")
    drive = models.ForeignKey(
        Drive, models.CASCADE, db_column="sku", related_name="clockings", db_index=False
    )
    from_deg = models.DecimalField(max_digits=4, decimal_places=1)
    to_deg = models.DecimalField(max_digits=4, decimal_places=1)

    class Meta:
        constraints: ClassVar[list[models.BaseConstraint]] = [*checks(DRIVE_CLOCKINGS)]

    def __str__(self) -> str:
        return f"{self.drive_id} {self.from_deg}-{self.to_deg}"


class DriveRotation(SharedModel):
    """An angle to which the motor itself may be turned in its flange."""

    pk = models.CompositePrimaryKey("drive_id", "rotation_deg")
    drive = models.ForeignKey(
        Drive, models.CASCADE, db_column="sku", related_name="rotations", db_index=False
    )
    rotation_deg = models.DecimalField(max_digits=4, decimal_places=1)

    class Meta:
        constraints: ClassVar[list[models.BaseConstraint]] = [*checks(DRIVE_ROTATIONS)]

    def __str__(self) -> str:
        return f"{self.drive_id} {self.rotation_deg}"
