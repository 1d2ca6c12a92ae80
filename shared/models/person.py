"""A person who signs in. The e-mail address is the name."""

from typing import ClassVar

from django.contrib.auth.base_user import AbstractBaseUser, BaseUserManager
from django.db import models
from django.db.models.functions import UUID7, Lower, Now

from shared.tenancy import TableKind


class People(BaseUserManager["Person"]):
    def create_user(self, email: str, password: str | None = None, *, name: str = "") -> "Person":
        """Make a person; without a password, one who cannot sign in with any."""
        person = self.model(email=tidy_email(email), name=name)
        person.set_password(password)
        person.save(using=self._db)
        return person

    def get_by_natural_key(self, username: str | None) -> "Person":
        return self.get(email=tidy_email(username or ""))


def tidy_email(email: str) -> str:
    """An address as it is kept: without spaces around, in lower case, so that one person is not two."""
    return email.strip().lower()


class Person(AbstractBaseUser):
    """Read by sign-in before anybody is known, so without row policies: queries must ask narrowly."""

    table_kind: ClassVar[TableKind] = TableKind.INFRASTRUCTURE

    id = models.UUIDField(primary_key=True, db_default=UUID7(), editable=False)
    email = models.EmailField(max_length=254, unique=True)
    name = models.CharField(max_length=120, blank=True)
    is_active = models.BooleanField(default=True, db_default=True)
    joined_at = models.DateTimeField(db_default=Now(), editable=False)

    objects = People()

    USERNAME_FIELD = "email"
    EMAIL_FIELD = "email"

    class Meta:
        verbose_name_plural = "people"
        constraints: ClassVar[list[models.BaseConstraint]] = [
            models.CheckConstraint(name="person_email_lower_case", condition=models.Q(email=Lower("email"))),
            models.CheckConstraint(
                name="person_email_has_at", condition=models.Q(email__regex=r"^[^@\s]+@[^@\s]+$")
            ),
        ]

    def __str__(self) -> str:
        return self.email
