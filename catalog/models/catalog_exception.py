"""The keeper's rulings."""

from typing import ClassVar

from django.db import models

from catalog.models.checks import checks
from catalog.models.family import WinchFamily
from catalog.models.part import Part
from catalog.models.production_run import ProductionRun
from catalog.models.winch_model import WinchModel
from catalog.package.resources.articles import EXCEPTIONS
from shared.tenancy import SharedModel


class CatalogException(SharedModel):
    """A ruling about a part for a family, a model or a production run, and a stretch of its serials."""

    code = models.CharField(primary_key=True, max_length=60, db_collation="C")
    kind = models.CharField(max_length=20)
    part = models.ForeignKey(Part, models.PROTECT, db_column="sku", related_name="exceptions", db_index=False)
    with_part = models.ForeignKey(
        Part, models.PROTECT, db_column="with_sku", null=True, related_name="+", db_index=False
    )
    lifts = models.CharField(max_length=20, null=True)  # noqa: DJ001 - null as in the package
    family = models.ForeignKey(
        WinchFamily, models.PROTECT, db_column="family", null=True, related_name="+", db_index=False
    )
    model = models.ForeignKey(
        WinchModel, models.PROTECT, db_column="model", null=True, related_name="+", db_index=False
    )
    run = models.ForeignKey(
        ProductionRun, models.PROTECT, db_column="run", null=True, related_name="+", db_index=False
    )
    serial_from = models.CharField(max_length=30, null=True)  # noqa: DJ001
    serial_to = models.CharField(max_length=30, null=True)  # noqa: DJ001
    reason = models.CharField(max_length=1000)
    document = models.CharField(max_length=1000, null=True)  # noqa: DJ001

    class Meta:
        ordering: ClassVar[list[str]] = ["code"]
        constraints: ClassVar[list[models.BaseConstraint]] = [
            *checks(EXCEPTIONS, sku="part", with_sku="with_part")
        ]
        indexes: ClassVar[list[models.Index]] = [
            models.Index(fields=["part"], name="exception_by_part"),
            models.Index(fields=["with_part"], name="exception_by_with_part"),
            models.Index(fields=["family"], name="exception_by_family"),
            models.Index(fields=["model"], name="exception_by_model"),
            models.Index(fields=["run"], name="exception_by_run"),
        ]

    def __str__(self) -> str:
        return self.code
