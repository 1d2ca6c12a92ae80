"""A keeper, and publishing as the keeper does it."""

from dataclasses import dataclass

import pytest

from catalog.actions.publish import Publication, publish
from catalog.package import Package
from shared.models import Organization, Person
from shared.tenancy import tenant
from tests.factories import MembershipFactory, OrganizationFactory, PersonFactory


@dataclass
class Keeper:
    """A person who works for an organization that keeps the catalog."""

    person: Person
    organization: Organization

    def publish(self, package: Package, note: str = "") -> Publication:
        with tenant(organization=self.organization.pk, person=self.person.pk):
            return publish(package=package, note=note)


@pytest.fixture
def keeper(db: None) -> Keeper:
    organization = OrganizationFactory.create(kind=Organization.Kind.KEEPER)
    person = PersonFactory.create()
    MembershipFactory.create(organization=organization, person=person)
    return Keeper(person, organization)
