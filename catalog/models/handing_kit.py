"""Handing kits."""

from typing import ClassVar

from django.db import models

from catalog.models.checks import checks
from catalog.models.drive import Drive
from catalog.models.part import Part
from catalog.package.resources.mechanical import HANDING_KIT_DRIVES, HANDING_KITS
from shared.tenancy import SharedModel


class HandingKit(SharedModel):
    """What changes a convertible drive over to its other hand."""

    part = models.OneToOneField(
        Part, models.CASCADE, primary_key=True, db_column="sku", related_name="handing_kit"
    )
    reverses_rotation = models.BooleanField()

    class Meta:
        constraints: ClassVar[list[models.BaseConstraint]] = [*checks(HANDING_KITS)]

    def __str__(self) -> str:
        return self.part_id


class HandingKitDrive(SharedModel):
    """A convertible drive that a handing kit changes over."""

    pk = models.CompositePrimaryKey("handing_kit_id", "drive_id")
    handing_kit = models.ForeignKey(
        HandingKit, models.CASCADE, db_column="sku", related_name="drives", db_index=False
    )
    drive = models.ForeignKey(
        Drive, models.PROTECT, db_column="drive", related_name="handing_kits", db_index=False
    )

    class Meta:
        constraints: ClassVar[list[models.BaseConstraint]] = [*checks(HANDING_KIT_DRIVES)]
        indexes: ClassVar[list[models.Index]] = [models.Index(fields=["drive"], name="handing_kit_by_drive")]

    def __str__(self) -> str:
        return f"{self.handing_kit_id} {self.drive_id}"
