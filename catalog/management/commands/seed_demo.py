"""``seed_demo`` publishes the invented demo catalog, by an invented keeper. Done twice it changes nothing."""

import hashlib
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.db import transaction

from catalog.actions.publish import NotPublishable, PublishedBefore
from catalog.management.commands.import_catalog import publish_as, sentence_of
from catalog.models import Revision
from catalog.package import DESCRIPTION, FaultyPackage, read_folder
from shared.models import Membership, Organization, Person
from shared.places import PROJECT
from shared.tenancy import new_id, tenant

FOLDER = PROJECT / "fixtures" / "catalog"
EMAIL = "keeper@pawlbook.example"
ORGANIZATION = "Demo keeper of the catalog"
NOTE = "The invented demo catalog."


class Command(BaseCommand):
    help = (
        "Publish the demo catalog, unless the newest revision is it already, or somebody else's catalog. Its "
        f"keeper, {EMAIL}, cannot sign in with a password."
    )

    def handle(self, *args: Any, **options: Any) -> None:
        newest = Revision.objects.select_related("published_by").order_by("-number").first()
        if newest is not None and newest.published_by.email != EMAIL:
            self.stdout.write(f"Revision {newest.number} is another catalog; the demo was left out.")
        elif (same := Revision.objects.filter(description_id=_hash_of(FOLDER)).first()) is not None:
            self.stdout.write(f"The demo catalog is revision {same.number} already.")
        else:
            self._publish()

    def _publish(self) -> None:
        try:
            package = read_folder(FOLDER).require()
            with transaction.atomic():
                published = publish_as(demo_keeper(), package, NOTE)
        except PublishedBefore as fault:
            self.stdout.write(f"The demo was left out. {fault}")
            return
        except (FaultyPackage, NotPublishable) as fault:
            raise CommandError(f"The demo catalog was not published. {fault}") from None
        self.stdout.write(sentence_of(published))


def demo_keeper() -> Person:
    """The invented keeper, made with an organization of their own if not there yet."""
    found = Person.objects.filter(email=EMAIL).first()
    if found is not None:
        return found
    person = Person.objects.create_user(EMAIL, name="Demo keeper")
    organization = new_id()
    with tenant(organization=organization, person=person.pk):
        Organization.objects.create(id=organization, name=ORGANIZATION, kind=Organization.Kind.KEEPER)
        Membership.objects.create(organization_id=organization, person=person, role=Membership.Role.MANAGER)
    return person


def _hash_of(folder: Path) -> str:
    """The revision's hash, when the folder holds the canonical form: that of its description."""
    description = folder / DESCRIPTION
    return hashlib.sha256(description.read_bytes()).hexdigest() if description.is_file() else ""
