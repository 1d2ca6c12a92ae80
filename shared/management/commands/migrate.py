"""Django's migrate, as the owner, giving way to running queries and trying again."""

import time
from typing import Any

from django.core.management.base import CommandParser
from django.core.management.commands import migrate
from django.db import OperationalError, connections
from psycopg.errors import DeadlockDetected, LockNotAvailable

TRIES = 20
LOCK_MILLISECONDS = 2_000
PAUSE_SECONDS = 1.0


class Command(migrate.Command):
    help = "Brings the tables to the state of the code, as the owner of the database."

    def add_arguments(self, parser: CommandParser) -> None:
        super().add_arguments(parser)
        parser.set_defaults(database="owner")

    def handle(self, *args: Any, **options: Any) -> None:
        """A migration that waits for a lock makes everybody behind it wait: it gives up soon and tries again.

        Each migration is a transaction, so a further try goes on with the one that was given up.
        """
        connection = connections[options["database"]]
        with connection.cursor() as cursor:
            cursor.execute("SELECT set_config('lock_timeout', %s, false)", [f"{LOCK_MILLISECONDS}ms"])
        for left in reversed(range(TRIES)):
            try:
                super().handle(*args, **options)
            except OperationalError as failed:
                if not left or not isinstance(failed.__cause__, (LockNotAvailable, DeadlockDetected)):
                    raise
                self.stderr.write(f"A table is in use; trying again ({left} tries left).")
                time.sleep(PAUSE_SECONDS)
            else:
                return
