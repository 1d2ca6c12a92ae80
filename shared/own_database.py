"""Which database this run uses: the server that `DATABASE_URL` means, or the embedded one, started for it."""

import os
from collections.abc import Mapping
from dataclasses import dataclass

import psycopg

from shared import roles
from shared.keeper import Use
from shared.places import Places, own_cluster
from shared.postgres import ADMIN, Passwords
from shared.processes import locked
from shared.roles import Database

NAME = "pawl"
ADDRESSES = ("DATABASE_URL", "PAWLBOOK_OWNER_URL", "PAWLBOOK_ADMIN_URL")


@dataclass(frozen=True, slots=True)
class Found:
    """A database that is there: its addresses, and our use of it when it is the embedded one."""

    app_url: str
    owner_url: str
    use: Use | None

    def environ(self, *, owner: bool) -> dict[str, str]:
        """Our surroundings with its addresses. Only who migrates gets the owner's."""
        kept = {name: value for name, value in os.environ.items() if name not in ADDRESSES}
        kept["DATABASE_URL"] = self.app_url
        if owner and self.owner_url:
            kept["PAWLBOOK_OWNER_URL"] = self.owner_url
        return kept

    def end(self) -> None:
        if self.use:
            self.use.end()


def find(environ: Mapping[str, str] = os.environ) -> Found:
    """The database that the environment names, or the embedded one, running and with its roles made."""
    given = environ.get("DATABASE_URL", "").strip()
    if not given:
        return _embedded(own_cluster())
    try:
        with psycopg.connect(given, connect_timeout=10) as connection:
            roles.refuse_old_server(connection.info.server_version)
    except psycopg.OperationalError as reason:
        raise roles.UnfitServer(f"The server of DATABASE_URL does not let us in: {reason}") from None
    except psycopg.ProgrammingError:
        # The driver's message would repeat the address, and with it the password.
        raise roles.UnfitServer("DATABASE_URL is not an address of PostgreSQL.") from None
    return Found(given, environ.get("PAWLBOOK_OWNER_URL", "").strip(), None)


def _embedded(places: Places) -> Found:
    use = Use(places)
    passwords = Passwords.of(places)
    database = Database.named(NAME, host=str(places.socket), owner=passwords.owner, app=passwords.app)
    with locked(places.preparing_lock):
        roles.prepare(database.as_admin(ADMIN, passwords.admin), database)
    return Found(database.app_url, database.owner_url, use)
