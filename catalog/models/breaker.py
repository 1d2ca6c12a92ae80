"""Delay breakers."""

from typing import ClassVar

from django.db import models

from catalog.models.checks import checks
from catalog.models.part import Part
from catalog.package.resources.electrical import BREAKER_TRIPS, BREAKERS
from shared.tenancy import SharedModel


class Breaker(SharedModel):
    """A breaker that carries a multiple of its rating for a stated time."""

    part = models.OneToOneField(
        Part, models.CASCADE, primary_key=True, db_column="sku", related_name="breaker"
    )
    rating_a = models.DecimalField(max_digits=12, decimal_places=3)
    max_volts = models.SmallIntegerField()
    interrupting_capacity_a = models.IntegerField()

    class Meta:
        constraints: ClassVar[list[models.BaseConstraint]] = [*checks(BREAKERS)]

    def __str__(self) -> str:
        return self.part_id


class BreakerTrip(SharedModel):
    """Within which times a breaker trips at a percentage of its rating."""

    pk = models.CompositePrimaryKey("breaker_id", "percent")
    breaker = models.ForeignKey(
        Breaker, models.CASCADE, db_column="sku", related_name="trips", db_index=False
    )
    percent = models.IntegerField()
    earliest_s = models.DecimalField(max_digits=12, decimal_places=3)
    latest_s = models.DecimalField(max_digits=12, decimal_places=3)

    class Meta:
        ordering: ClassVar[list[str]] = ["breaker_id", "percent"]
        constraints: ClassVar[list[models.BaseConstraint]] = [*checks(BREAKER_TRIPS)]

    def __str__(self) -> str:
        return f"{self.breaker_id} {self.percent} %"
