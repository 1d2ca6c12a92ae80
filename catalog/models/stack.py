"""What a stack is made of: spacers and wedges."""

from typing import ClassVar

from django.db import models

from catalog.models.checks import checks
from catalog.models.interface import Flange
from catalog.models.part import Part
from catalog.package.resources.mechanical import SPACERS, WEDGES
from shared.tenancy import SharedModel


class Spacer(SharedModel):
    """What shims a drive down so that its shaft engages."""

    part = models.OneToOneField(
        Part, models.CASCADE, primary_key=True, db_column="sku", related_name="spacer"
    )
    flange = models.ForeignKey(
        Flange, models.PROTECT, db_column="flange", related_name="spacers", db_index=False
    )
    thickness_mm = models.DecimalField(max_digits=12, decimal_places=3)
    max_count = models.SmallIntegerField()

    class Meta:
        constraints: ClassVar[list[models.BaseConstraint]] = [*checks(SPACERS)]
        indexes: ClassVar[list[models.Index]] = [models.Index(fields=["flange"], name="spacer_by_flange")]

    def __str__(self) -> str:
        return self.part_id


class Wedge(SharedModel):
    """What makes up an underside that is not square to the shaft."""

    part = models.OneToOneField(Part, models.CASCADE, primary_key=True, db_column="sku", related_name="wedge")
    flange = models.ForeignKey(
        Flange, models.PROTECT, db_column="flange", related_name="wedges", db_index=False
    )
    angle_deg = models.DecimalField(max_digits=4, decimal_places=1)
    axis_thickness_mm = models.DecimalField(max_digits=12, decimal_places=3)

    class Meta:
        constraints: ClassVar[list[models.BaseConstraint]] = [*checks(WEDGES)]
        indexes: ClassVar[list[models.Index]] = [models.Index(fields=["flange"], name="wedge_by_flange")]

    def __str__(self) -> str:
        return self.part_id
