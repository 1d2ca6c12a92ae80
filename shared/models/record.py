"""The record of actions: who did what, when, to what. Rows are added and never changed."""

from typing import ClassVar

from django.db import models
from django.db.models.functions import UUID7, Now

from shared.tenancy import TableKind

ACTION = r"^[a-z][a-z0-9-]*(\.[a-z][a-z0-9-]*)+$"


class RecordEntry(models.Model):
    """One action. Without an organization it concerns the public catalog, and a keeper wrote it.

    People are named by id. Of personal fields ``facts`` holds that they changed, never the values, so that a
    person can be erased while the record stays.
    """

    table_kind: ClassVar[TableKind] = TableKind.TENANT

    id = models.UUIDField(primary_key=True, db_default=UUID7(), editable=False)
    organization = models.ForeignKey(
        "shared.Organization", null=True, on_delete=models.PROTECT, related_name="+", db_index=False
    )
    person = models.ForeignKey("shared.Person", null=True, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(db_default=Now(), editable=False)
    action = models.CharField(max_length=60)
    subject_kind = models.CharField(max_length=60)
    subject_key = models.CharField(max_length=120)
    facts = models.JSONField(default=dict)
    request_id = models.CharField(max_length=32)

    class Meta:
        verbose_name_plural = "record entries"
        ordering: ClassVar[list[str]] = ["id"]
        constraints: ClassVar[list[models.BaseConstraint]] = [
            models.UniqueConstraint(fields=["organization", "id"], name="shared_recordentry_key"),
            models.CheckConstraint(name="record_action_is_code", condition=models.Q(action__regex=ACTION)),
        ]
        indexes: ClassVar[list[models.Index]] = [
            models.Index(
                fields=["organization", "subject_kind", "subject_key", "id"], name="record_by_subject"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.action} {self.subject_kind} {self.subject_key}"
