"""The database that the tests run on.

Usually a throw-away cluster of the embedded PostgreSQL, started when the first test asks for a database and
deleted when the last process of the run has ended. With `DATABASE_URL` and `PAWLBOOK_ADMIN_URL` set, it is
the server that they mean. Either way each process gets a database of its own with its own two roles, so that
workers running side by side never meet, and the tests run as the application's role.
"""

import os
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

import django
import psycopg
from psycopg import sql

from shared import roles
from shared.keeper import Use
from shared.places import Places, scratch_cluster
from shared.postgres import ADMIN, Passwords
from shared.roles import Database, parts_of

CLUSTER = "PAWLBOOK_TEST_CLUSTER"
SERVER = "PAWLBOOK_TEST_SERVER"
# What Django's own migrations fill and the tests never change.
NEVER_EMPTIED = ("django_migrations", "django_content_type", "auth_permission")


class NoServer(Exception):
    """The tests were pointed at a server but may not make a database there."""


@dataclass(slots=True)
class Ground:
    """One process's database, known by name before any server runs."""

    database: Database
    admin_url: str = ""
    places: Places | None = None
    filled_by_migrations: set[str] = field(default_factory=set)

    @contextmanager
    def prepared(self) -> Iterator[None]:
        """The database exists, with roles and extensions and no tables, until the end."""
        use = Use(self.places, scratch=True) if self.places else None
        if self.places:
            self.admin_url = self.database.as_admin(ADMIN, Passwords.of(self.places).admin)
        roles.prepare(self.admin_url, self.database)
        yield
        roles.drop(self.admin_url, self.database)
        if use:
            use.end()

    def remember_what_migrations_filled(self) -> None:
        with psycopg.connect(self.database.owner_url) as owner:
            self.filled_by_migrations = {*NEVER_EMPTIED, *_tables_with_rows(owner)}

    def empty(self) -> None:
        """Empty every table that has rows, as the owner: the application may not.

        The size of the file tells that there are rows, since row security hides them from the owner too.
        """
        with psycopg.connect(self.database.owner_url) as owner:
            owner.execute("SET LOCAL lock_timeout = '10s'")
            found = [name for name in _tables_with_rows(owner) if name not in self.filled_by_migrations]
            if found:
                names = sql.SQL(", ").join(map(sql.Identifier, found))
                owner.execute(sql.SQL("TRUNCATE {} RESTART IDENTITY CASCADE").format(names))


def _tables_with_rows(owner: psycopg.Connection[tuple[object, ...]]) -> list[str]:
    rows = owner.execute(
        "SELECT relname FROM pg_class"
        " WHERE relkind = 'r' AND relnamespace = 'public'::regnamespace AND pg_relation_size(oid) > 0"
    ).fetchall()
    return [str(name) for (name,) in rows]


def find_ground() -> Ground:
    """Choose where the tests of this process run; processes started from here choose the same server."""
    worker = os.environ.get("PYTEST_XDIST_WORKER", "main")
    name = f"test_pawl_{os.getpid()}_{worker}"
    if "DATABASE_URL" in os.environ and CLUSTER not in os.environ:
        os.environ.setdefault(SERVER, os.environ.get("PAWLBOOK_ADMIN_URL", ""))
    if SERVER in os.environ:
        return _ground_on_server(name, os.environ[SERVER])
    places = Places(Path(os.environ.setdefault(CLUSTER, str(scratch_cluster().folder))))
    return Ground(Database.named(name, host=str(places.socket)), places=places)


def _ground_on_server(name: str, admin_url: str) -> Ground:
    if not admin_url:
        raise NoServer(
            "DATABASE_URL is set: to make a test database there, PAWLBOOK_ADMIN_URL must be set too."
        )
    parts = parts_of(admin_url)
    return Ground(Database.named(name, host=parts["host"], port=parts["port"]), admin_url=admin_url)


def point_settings_at(ground: Ground) -> None:
    """Set what `api.settings` reads, before it is read."""
    os.environ["DATABASE_URL"] = ground.database.app_url
    os.environ["PAWLBOOK_OWNER_URL"] = ground.database.owner_url
    os.environ["PAWLBOOK_SECRET_KEY"] = "only-for-tests-" * 4
    for unwanted in ("PAWLBOOK_ADMIN_URL", "PAWLBOOK_DEBUG", "PAWLBOOK_ALLOWED_HOSTS", "PAWLBOOK_POOL_SIZE"):
        os.environ.pop(unwanted, None)


def load_settings() -> None:
    """Set Django up, and leave no name of its settings behind.

    The plugin of pytest would load them by that name in each worker before that could choose a database.
    """
    os.environ["DJANGO_SETTINGS_MODULE"] = "api.settings"
    django.setup()
    del os.environ["DJANGO_SETTINGS_MODULE"]
