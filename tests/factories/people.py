"""People, organizations and who belongs to which. All invented."""

from datetime import UTC, datetime
from typing import Any

import factory
from django.test import Client
from factory.django import DjangoModelFactory

from shared.models import Allowance, Membership, Organization, Person
from shared.tenancy import new_id, tenant
from tests.factories.base import TenantFactory


class PersonFactory(DjangoModelFactory[Person]):
    class Meta:
        model = Person

    email = factory.Sequence(lambda number: f"person{number}@example.org")
    name = factory.Sequence(lambda number: f"Person {number}")

    @classmethod
    def _create(cls, model_class: type[Person], *args: Any, **kwargs: Any) -> Person:  # noqa: ARG003
        """With ``password=...`` one who can sign in by it; hashing takes long, so the usual one cannot."""
        return Person.objects.create_user(kwargs.pop("email"), kwargs.pop("password", None), **kwargs)


class OrganizationFactory(DjangoModelFactory[Organization]):
    class Meta:
        model = Organization

    name = factory.Sequence(lambda number: f"Yard {number}")
    kind = Organization.Kind.YARD

    @classmethod
    def _create(cls, model_class: type[Organization], *args: Any, **kwargs: Any) -> Organization:
        kwargs.setdefault("id", new_id())
        with tenant(organization=kwargs["id"]):
            row: Organization = super()._create(model_class, *args, **kwargs)  # type: ignore[no-untyped-call]
        return row


class MembershipFactory(TenantFactory[Membership]):
    class Meta:
        model = Membership

    organization = factory.SubFactory(OrganizationFactory)
    person = factory.SubFactory(PersonFactory)
    role = Membership.Role.MEMBER


class AllowanceFactory(DjangoModelFactory[Allowance]):
    class Meta:
        model = Allowance

    key = factory.Sequence(lambda number: f"limit:caller-{number}")
    rested_at = datetime(2020, 1, 1, tzinfo=UTC)


def sign_in(client: Client, person: Person, organization: Organization | None = None) -> None:
    """Sign a person in, and choose the organization to act for where there are several."""
    client.force_login(person)
    if organization is not None:
        session = client.session
        session["organization"] = str(organization.pk)
        session.save()
