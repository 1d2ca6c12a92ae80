"""On a server of one's own: make the two roles, the database and its extensions, as its superuser."""

import os
from typing import Any

import psycopg
from django.core.management.base import BaseCommand, CommandError

from shared import roles


class Command(BaseCommand):
    help = (
        "Make the roles of DATABASE_URL and PAWLBOOK_OWNER_URL, with the passwords that stand there, their"
        " database and its extensions, logging in by PAWLBOOK_ADMIN_URL. Done twice it changes nothing."
    )
    requires_system_checks = ()

    def handle(self, *args: Any, **options: Any) -> None:
        missing = [name for name in ("PAWLBOOK_ADMIN_URL", "PAWLBOOK_OWNER_URL") if not os.environ.get(name)]
        if missing:
            raise CommandError(f"{' and '.join(missing)} must be set.")
        try:
            database = roles.Database.of_addresses(
                os.environ["DATABASE_URL"], os.environ["PAWLBOOK_OWNER_URL"]
            )
            roles.prepare(os.environ["PAWLBOOK_ADMIN_URL"], database)
        except (roles.UnfitServer, psycopg.OperationalError) as reason:
            raise CommandError(str(reason)) from reason
        made = f"{database.owner.user} owns the database {database.name}, {database.app.user} uses it."
        self.stdout.write(made)
