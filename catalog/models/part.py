"""Parts and their prices."""

from typing import ClassVar

from django.contrib.postgres.constraints import ExclusionConstraint
from django.contrib.postgres.fields import RangeOperators
from django.contrib.postgres.indexes import GinIndex
from django.db import models
from django.db.models import Value
from django.db.models.functions import LPad

from catalog.models.checks import checks
from catalog.models.maker import Maker
from catalog.package.resources.articles import PARTS, PRICES
from shared.tenancy import SharedModel


class Part(SharedModel):
    """Every article, whatever it does. The table of its kind has its figures."""

    sku = models.CharField(primary_key=True, max_length=40, db_collation="C")
    kind = models.CharField(max_length=20)
    maker = models.ForeignKey(Maker, models.PROTECT, db_column="maker", related_name="parts", db_index=False)
    name = models.CharField(max_length=120)
    gtin = models.CharField(max_length=14, null=True)  # noqa: DJ001 - null as in the package
    status = models.CharField(max_length=20)
    withdrawn_on = models.DateField(null=True)
    valid_from = models.DateField(null=True)
    valid_to = models.DateField(null=True)
    lead_time_days = models.SmallIntegerField(null=True)
    mass_g = models.IntegerField(null=True)
    note = models.CharField(max_length=1000, null=True)  # noqa: DJ001

    class Meta:
        ordering: ClassVar[list[str]] = ["sku"]
        constraints: ClassVar[list[models.BaseConstraint]] = [
            *checks(PARTS),
            # What the tables of the kinds refer to, so that an adapter's figures stand by an adapter.
            models.UniqueConstraint(fields=["sku", "kind"], name="parts_sku_kind"),
            # One article has one GTIN, however many zeros it is written with.
            ExclusionConstraint(
                name="parts_gtin_once",
                expressions=[(LPad("gtin", 14, Value("0")), RangeOperators.EQUAL)],
                deferrable=models.Deferrable.DEFERRED,
            ),
        ]
        indexes: ClassVar[list[models.Index]] = [
            models.Index(fields=["kind", "sku"], name="part_by_kind"),
            models.Index(fields=["maker", "sku"], name="part_by_maker"),
            models.Index(fields=["status", "sku"], name="part_by_status"),
            models.Index(fields=["gtin"], name="part_by_gtin"),
            GinIndex(fields=["name"], name="part_name_trigrams", opclasses=["gin_trgm_ops"]),
            GinIndex(fields=["sku"], name="part_sku_trigrams", opclasses=["gin_trgm_ops"]),
        ]

    def __str__(self) -> str:
        return self.sku


class Price(SharedModel):
    """What a part costs in a currency from a day on."""

    pk = models.CompositePrimaryKey("part_id", "currency", "valid_from")
    part = models.ForeignKey(Part, models.CASCADE, db_column="sku", related_name="prices", db_index=False)
    currency = models.CharField(max_length=3, db_collation="C")
    valid_from = models.DateField()
    amount_minor = models.BigIntegerField()

    class Meta:
        ordering: ClassVar[list[str]] = ["part_id", "currency", "valid_from"]
        constraints: ClassVar[list[models.BaseConstraint]] = [*checks(PRICES, amount="amount_minor")]

    def __str__(self) -> str:
        return f"{self.part_id} {self.currency} {self.valid_from}"
