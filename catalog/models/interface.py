"""The interfaces by which winches, adapters, shafts and drives mate."""

from typing import ClassVar

from django.db import models

from catalog.models.checks import checks
from catalog.package.resources.winches import BASE_PATTERNS, COUPLINGS, FLANGES, SPINDLES
from shared.tenancy import SharedModel


class BasePattern(SharedModel):
    """How winches are bolted down."""

    code = models.CharField(primary_key=True, max_length=60, db_collation="C")
    name = models.CharField(max_length=120)
    bolt_circle_mm = models.DecimalField(max_digits=12, decimal_places=3)
    bolts = models.SmallIntegerField()
    bolt_size = models.CharField(max_length=30)
    centre_hole_mm = models.DecimalField(max_digits=12, decimal_places=3)

    class Meta:
        ordering: ClassVar[list[str]] = ["code"]
        constraints: ClassVar[list[models.BaseConstraint]] = [*checks(BASE_PATTERNS)]

    def __str__(self) -> str:
        return self.name


class Spindle(SharedModel):
    """How centre shafts are driven from below."""

    code = models.CharField(primary_key=True, max_length=60, db_collation="C")
    name = models.CharField(max_length=120)
    note = models.CharField(max_length=1000, null=True)  # noqa: DJ001 - null as in the package

    class Meta:
        ordering: ClassVar[list[str]] = ["code"]
        constraints: ClassVar[list[models.BaseConstraint]] = [*checks(SPINDLES)]

    def __str__(self) -> str:
        return self.name


class Flange(SharedModel):
    """The bolted face of drive units, and what may be stacked under it."""

    code = models.CharField(primary_key=True, max_length=60, db_collation="C")
    name = models.CharField(max_length=120)
    max_spacers = models.SmallIntegerField()
    max_stack_mm = models.DecimalField(max_digits=12, decimal_places=3)

    class Meta:
        ordering: ClassVar[list[str]] = ["code"]
        constraints: ClassVar[list[models.BaseConstraint]] = [*checks(FLANGES)]

    def __str__(self) -> str:
        return self.name


class Coupling(SharedModel):
    """How shafts and drives meet."""

    code = models.CharField(primary_key=True, max_length=60, db_collation="C")
    name = models.CharField(max_length=120)
    note = models.CharField(max_length=1000, null=True)  # noqa: DJ001 - null as in the package

    class Meta:
        ordering: ClassVar[list[str]] = ["code"]
        constraints: ClassVar[list[models.BaseConstraint]] = [*checks(COUPLINGS)]

    def __str__(self) -> str:
        return self.name
