"""How much of a limited thing each caller has used up lately."""

from typing import ClassVar

from django.db import models

from shared.tenancy import TableKind


class Allowance(models.Model):
    """One caller's use of one limit: the moment from which everything is allowed again."""

    table_kind: ClassVar[TableKind] = TableKind.INFRASTRUCTURE

    key = models.CharField(primary_key=True, max_length=80)
    rested_at = models.DateTimeField(db_index=True)

    def __str__(self) -> str:
        return self.key
