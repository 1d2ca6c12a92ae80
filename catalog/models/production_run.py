"""Production runs."""

from typing import ClassVar

from django.contrib.postgres.constraints import ExclusionConstraint
from django.contrib.postgres.fields import BigIntegerRangeField, RangeOperators
from django.db import models
from django.db.models import Func, Q, Value
from django.db.models.functions import Cast

from catalog.models.checks import checks
from catalog.models.interface import BasePattern, Spindle
from catalog.models.winch_model import WinchModel
from catalog.package.resources.winches import RUNS
from shared.tenancy import SharedModel


class ProductionRun(SharedModel):
    """A stretch of years and serials in which a model was built one way. Ends are inclusive."""

    code = models.CharField(primary_key=True, max_length=60, db_collation="C")
    model = models.ForeignKey(
        WinchModel, models.PROTECT, db_column="model", related_name="runs", db_index=False
    )
    year_from = models.SmallIntegerField()
    year_to = models.SmallIntegerField(null=True)
    serial_rule = models.CharField(max_length=20)
    serial_from = models.CharField(max_length=30, null=True)  # noqa: DJ001 - null as in the package
    serial_to = models.CharField(max_length=30, null=True)  # noqa: DJ001
    base_pattern = models.ForeignKey(
        BasePattern, models.PROTECT, db_column="base_pattern", related_name="runs", db_index=False
    )
    spindle = models.ForeignKey(
        Spindle, models.PROTECT, db_column="spindle", related_name="runs", db_index=False
    )
    plug = models.CharField(max_length=20)
    plug_removable = models.BooleanField(null=True)
    plug_note = models.CharField(max_length=1000, null=True)  # noqa: DJ001

    class Meta:
        ordering: ClassVar[list[str]] = ["code"]
        constraints: ClassVar[list[models.BaseConstraint]] = [
            *checks(RUNS),
            # A serial number says which run a winch is of. Making the range also refuses from above to.
            ExclusionConstraint(
                name="runs_serials_apart",
                expressions=[
                    ("model", RangeOperators.EQUAL),
                    (
                        Func(
                            Cast("serial_from", models.BigIntegerField()),
                            Cast("serial_to", models.BigIntegerField()),
                            Value("[]"),
                            function="int8range",
                            output_field=BigIntegerRangeField(),
                        ),
                        RangeOperators.OVERLAPS,
                    ),
                ],
                condition=Q(serial_rule="number")
                & (Q(serial_from__isnull=False) | Q(serial_to__isnull=False)),
                deferrable=models.Deferrable.DEFERRED,
            ),
        ]
        indexes: ClassVar[list[models.Index]] = [
            models.Index(fields=["model", "year_from"], name="run_by_model"),
            models.Index(fields=["base_pattern"], name="run_by_base_pattern"),
            models.Index(fields=["spindle"], name="run_by_spindle"),
        ]

    def __str__(self) -> str:
        return self.code
