"""Organizations, and who belongs to them."""

from typing import ClassVar

from django.db import models
from django.db.models.functions import UUID7, Now

from shared.tenancy import TableKind, TenantModel


class Organization(models.Model):
    """A yard, a chandlery, an owner, a fleet, or the keeper of the catalog: whom private rows belong to."""

    class Kind(models.TextChoices):
        YARD = "yard"
        CHANDLERY = "chandlery"
        OWNER = "owner"
        FLEET = "fleet"
        KEEPER = "keeper"

    table_kind: ClassVar[TableKind] = TableKind.TENANT

    id = models.UUIDField(primary_key=True, db_default=UUID7(), editable=False)
    name = models.CharField(max_length=120)
    kind = models.CharField(max_length=10, choices=Kind)
    founded_at = models.DateTimeField(db_default=Now(), editable=False)

    class Meta:
        constraints: ClassVar[list[models.BaseConstraint]] = [
            models.CheckConstraint(name="organization_is_named", condition=models.Q(name__regex=r"\S")),
            models.CheckConstraint(
                name="organization_kind_known",
                condition=models.Q(kind__in=["yard", "chandlery", "owner", "fleet", "keeper"]),
            ),
        ]

    def __str__(self) -> str:
        return self.name


class Membership(TenantModel):
    """One person in one organization."""

    class Role(models.TextChoices):
        MANAGER = "manager", "manages the organization and its members"
        MEMBER = "member", "does the organization's work"
        READER = "reader", "reads and changes nothing"

    person = models.ForeignKey("shared.Person", on_delete=models.PROTECT, related_name="memberships")
    role = models.CharField(max_length=10, choices=Role)
    since = models.DateTimeField(db_default=Now(), editable=False)

    class Meta(TenantModel.Meta):
        constraints: ClassVar[list[models.BaseConstraint]] = [
            *TenantModel.Meta.constraints,
            models.UniqueConstraint(fields=["organization", "person"], name="membership_once"),
            models.CheckConstraint(
                name="membership_role_known", condition=models.Q(role__in=["manager", "member", "reader"])
            ),
        ]

    def __str__(self) -> str:
        return f"{self.person_id} {self.role} in {self.organization_id}"
