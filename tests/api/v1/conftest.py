"""The demo catalog, published once for all tests of this folder."""

from collections.abc import Iterator

import pytest
from django.test import Client
from pytest_django import DjangoDbBlocker, Settings

from shared.rates import Rate
from tests.demo import published_demo


@pytest.fixture(scope="package")
def demo_number(django_db_setup: None, django_db_blocker: DjangoDbBlocker) -> Iterator[int]:
    with published_demo(django_db_blocker) as number:
        yield number


@pytest.fixture
def demo(demo_number: int, db: None) -> int:
    """The number of the demo's revision."""
    return demo_number


@pytest.fixture
def client() -> Client:
    """A visitor, as strictly treated as any: an exception is a 500, and forms need their tokens."""
    return Client(raise_request_exception=False, enforce_csrf_checks=True)


@pytest.fixture(autouse=True)
def _plenty(settings: Settings) -> None:
    """Limits that no test meets by chance; those of limits set their own."""
    settings.ANONYMOUS_RATE = settings.ANONYMOUS_READ_RATE = Rate.parse("1000000/minute")
