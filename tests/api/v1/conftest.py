"""The demo catalog, published once for all tests of this folder."""

from collections.abc import Iterator

import pytest
from django.core.management import call_command
from django.db import transaction
from django.test import Client
from pytest_django import DjangoDbBlocker, Settings

from catalog.models import Revision
from shared.rates import Rate


@pytest.fixture(scope="package")
def published_demo(django_db_setup: None, django_db_blocker: DjangoDbBlocker) -> Iterator[int]:
    """The number of the demo's revision, in a transaction round those of the tests that is never kept."""
    with django_db_blocker.unblock():
        around = transaction.atomic()
        around.__enter__()
        call_command("seed_demo", verbosity=0)
        number = Revision.objects.get().number
    yield number
    with django_db_blocker.unblock():
        transaction.set_rollback(True)
        around.__exit__(None, None, None)


@pytest.fixture
def demo(published_demo: int, db: None) -> int:
    return published_demo


@pytest.fixture
def client() -> Client:
    """A visitor, as strictly treated as any: an exception is a 500, and forms need their tokens."""
    return Client(raise_request_exception=False, enforce_csrf_checks=True)


@pytest.fixture(autouse=True)
def _plenty(settings: Settings) -> None:
    """Limits that no test meets by chance; those of limits set their own."""
    settings.ANONYMOUS_RATE = settings.ANONYMOUS_READ_RATE = Rate.parse("1000000/minute")
