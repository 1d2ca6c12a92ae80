"""The demo catalog, published once for many tests."""

import io
from collections.abc import Iterator
from contextlib import contextmanager

from django.core.management import call_command
from django.db import transaction
from pytest_django import DjangoDbBlocker

from catalog.models import Revision


@contextmanager
def published_demo(blocker: DjangoDbBlocker) -> Iterator[int]:
    """Publish it in a transaction round those of the tests, which is never kept; gives its number.

    For a fixture of a module or package that needs ``django_db_setup``. Tests in it that need an empty
    catalog, or rows that another connection sees, have to stand elsewhere.
    """
    with blocker.unblock():
        around = transaction.atomic()
        around.__enter__()
        call_command("seed_demo", stdout=io.StringIO())
        number = Revision.objects.get().number
    yield number
    with blocker.unblock():
        transaction.set_rollback(True)
        around.__exit__(None, None, None)
