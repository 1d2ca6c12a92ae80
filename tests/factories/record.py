"""Entries of the record of actions."""

from typing import Any

import factory
from factory.django import DjangoModelFactory

from shared.models import RecordEntry
from shared.tenancy import tenant
from tests.factories.people import OrganizationFactory, PersonFactory


class RecordEntryFactory(DjangoModelFactory[RecordEntry]):
    class Meta:
        model = RecordEntry

    organization = factory.SubFactory(OrganizationFactory)
    person = factory.SubFactory(PersonFactory)
    action = "survey.measured"
    subject_kind = "projects.survey"
    subject_key = factory.Sequence(str)
    request_id = "-"

    @classmethod
    def _create(cls, model_class: type[RecordEntry], *args: Any, **kwargs: Any) -> RecordEntry:
        person = kwargs["person"]
        with tenant(organization=kwargs["organization"].pk, person=person.pk if person else None):
            row: RecordEntry = super()._create(model_class, *args, **kwargs)  # type: ignore[no-untyped-call]
        return row
