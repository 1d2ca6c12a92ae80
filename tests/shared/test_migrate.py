"""Migrations run as the owner, give way to what is running, and try again."""

import io
from collections.abc import Iterator
from threading import Event, Thread

import psycopg
import pytest
from django.core.management import call_command
from django.db import DatabaseError, OperationalError, connections

from shared.management.commands import migrate

pytestmark = pytest.mark.django_db(transaction=True, databases=["default", "owner"])


@pytest.fixture
def holder() -> Iterator[psycopg.Connection[tuple[object, ...]]]:
    """Somebody who has locked the table that every migration reads first."""
    connection = psycopg.connect(**connections["owner"].get_connection_params() | {"cursor_factory": None})
    connection.execute("LOCK TABLE django_migrations IN ACCESS EXCLUSIVE MODE")
    yield connection
    connection.close()


class Told(io.StringIO):
    """Standard error that says when something was written to it."""

    def __init__(self) -> None:
        super().__init__()
        self.something = Event()

    def write(self, text: str, /) -> int:
        self.something.set()
        return super().write(text)


@pytest.fixture(autouse=True)
def in_a_hurry(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(migrate, "LOCK_MILLISECONDS", 50)
    monkeypatch.setattr(migrate, "PAUSE_SECONDS", 0.05)


def test_a_table_in_use_is_waited_for_in_short_tries(holder: psycopg.Connection[tuple[object, ...]]) -> None:
    told = Told()

    def let_go() -> None:
        told.something.wait(30)
        holder.rollback()

    helper = Thread(target=let_go)
    helper.start()
    call_command("migrate", verbosity=0, stderr=told)
    helper.join()
    assert "A table is in use; trying again" in told.getvalue()


def test_the_tries_have_an_end(
    holder: psycopg.Connection[tuple[object, ...]], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(migrate, "TRIES", 3)
    told = Told()
    with pytest.raises(OperationalError, match="lock timeout"):
        call_command("migrate", verbosity=0, stderr=told)
    assert told.getvalue().count("trying again") == 2


def test_the_application_cannot_migrate() -> None:
    """It may not even write down that it has: the row would keep the owner from doing it."""
    with connections["default"].cursor() as cursor, pytest.raises(DatabaseError, match="permission denied"):
        cursor.execute("INSERT INTO django_migrations (app, name, applied) VALUES ('shared', '9999', now())")
