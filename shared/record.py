"""Appending to the record of actions. Every action ends with this, inside its own transaction."""

from collections.abc import Mapping

from django.db.models import Model

from shared.models import RecordEntry
from shared.tenancy import current_context, require_transaction
from shared.tracing import current_request_id


def append(
    action: str, *, subject: Model, facts: Mapping[str, object] | None = None, public: bool = False
) -> RecordEntry:
    """Record that the person set for the transaction has done ``action`` to ``subject``.

    ``action`` is a code such as ``catalog.published``. ``facts`` are JSON values; of personal fields only
    that they changed. ``public`` records it for the catalog, which the database lets only keepers do. Raises
    ``NoTransaction`` outside a transaction, since the action and its entry must stand or fall together.
    """
    require_transaction()
    context = current_context()
    return RecordEntry.objects.create(
        organization_id=None if public else context.organization,
        person_id=context.person,
        action=action,
        subject_kind=subject._meta.label_lower,
        subject_key=str(subject.pk),
        facts=dict(facts or {}),
        request_id=current_request_id(),
    )
