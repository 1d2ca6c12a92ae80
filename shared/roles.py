"""The two roles of a database, the database itself and its extensions.

`…_owner` owns the database and all in it, and migrates. `…_app` is what the web and the workers log in as: it
owns nothing, cannot bypass row security, and gets what it may do with each table from the owner's default
privileges. The names carry the database's. Only a superuser can make all this, so it is a step of its own:
the launcher takes it on the embedded server, `./run manage prepare_database` on any other.
"""

import secrets
from dataclasses import dataclass
from typing import LiteralString
from urllib.parse import quote, urlencode

import psycopg
from psycopg import Connection, sql
from psycopg.conninfo import conninfo_to_dict, make_conninfo

OLDEST_VERSION = 180_000
EXTENSIONS: tuple[LiteralString, ...] = ("btree_gist", "pg_trgm", "unaccent")


class UnfitServer(Exception):
    """The server cannot carry this application; the sentence says why."""


@dataclass(frozen=True, slots=True)
class Login:
    """What a role logs in with."""

    user: str
    password: str


@dataclass(frozen=True, slots=True)
class Database:
    """A database with its two roles, on a server given by its address (folder of the socket, or host)."""

    host: str
    name: str
    owner: Login
    app: Login
    port: str = "5432"

    @classmethod
    def named(cls, name: str, *, host: str, port: str = "5432", owner: str = "", app: str = "") -> "Database":
        """The usual roles of a database, with these passwords or new ones."""
        return cls(
            host=host,
            port=port,
            name=name,
            owner=Login(f"{name}_owner", owner or secrets.token_urlsafe(24)),
            app=Login(f"{name}_app", app or secrets.token_urlsafe(24)),
        )

    @classmethod
    def of_addresses(cls, app_url: str, owner_url: str) -> "Database":
        """The database that two addresses mean; they must mean the same one."""
        app, owner = parts_of(app_url), parts_of(owner_url)
        if (app["dbname"], app["host"], app["port"]) != (owner["dbname"], owner["host"], owner["port"]):
            raise UnfitServer("DATABASE_URL and PAWLBOOK_OWNER_URL mean different databases.")
        if app["user"] == owner["user"]:
            raise UnfitServer("DATABASE_URL and PAWLBOOK_OWNER_URL must log in as different roles.")
        return cls(
            host=app["host"],
            port=app["port"],
            name=app["dbname"],
            owner=Login(owner["user"], owner["password"]),
            app=Login(app["user"], app["password"]),
        )

    def address(self, login: Login) -> str:
        """The address of this database for a role, as `DATABASE_URL` holds it."""
        who = f"{quote(login.user, safe='')}:{quote(login.password, safe='')}"
        where = urlencode({"host": self.host, "port": self.port})
        return f"postgresql://{who}@/{quote(self.name, safe='')}?{where}"

    def as_admin(self, user: str, password: str) -> str:
        """The address of the same server for its superuser."""
        return make_conninfo(host=self.host, port=self.port, user=user, password=password, dbname="postgres")

    @property
    def app_url(self) -> str:
        return self.address(self.app)

    @property
    def owner_url(self) -> str:
        return self.address(self.owner)


def parts_of(url: str) -> dict[str, str]:
    """The parts of an address: dbname, host, port, user, password, each '' or the usual one when absent."""
    usual = {"dbname": "", "host": "localhost", "port": "5432", "user": "", "password": ""}
    return usual | {key: str(value) for key, value in conninfo_to_dict(url).items() if value is not None}


def refuse_old_server(version: int) -> None:
    """UUIDv7 is made by the database, which an older one cannot. `version` as the server numbers it."""
    if version < OLDEST_VERSION:
        found = f"{version // 10_000}.{version % 10_000}"
        raise UnfitServer(f"PostgreSQL 18 or newer is needed, and the server is {found}.")


def prepare(admin_url: str, database: Database) -> None:
    """Make roles, database and extensions, or bring those that are there into the wanted state."""
    with psycopg.connect(admin_url, autocommit=True) as admin:
        refuse_old_server(admin.info.server_version)
        _make_role(admin, database.owner)
        _make_role(admin, database.app)
        _make_database(admin, database)
    with psycopg.connect(admin_url, dbname=database.name) as inside:
        _equip(inside, database)


def drop(admin_url: str, database: Database) -> None:
    """Remove database and roles, with whoever is connected to it."""
    with psycopg.connect(admin_url, autocommit=True) as admin:
        name = sql.Identifier(database.name)
        admin.execute(sql.SQL("DROP DATABASE IF EXISTS {} WITH (FORCE)").format(name))
        for login in (database.app, database.owner):
            admin.execute(sql.SQL("DROP ROLE IF EXISTS {}").format(sql.Identifier(login.user)))


def _make_role(admin: Connection[tuple[object, ...]], login: Login) -> None:
    """Only the encrypted password is sent, so that none stands in a log of the server."""
    found = admin.execute("SELECT 1 FROM pg_roles WHERE rolname = %s", [login.user]).fetchone()
    verb = sql.SQL("ALTER" if found else "CREATE")
    hidden = admin.pgconn.encrypt_password(login.password.encode(), login.user.encode(), b"scram-sha-256")
    admin.execute(
        sql.SQL(
            "{verb} ROLE {role} LOGIN NOSUPERUSER NOCREATEDB NOCREATEROLE NOREPLICATION NOBYPASSRLS INHERIT"
            " PASSWORD {password}"
        ).format(verb=verb, role=sql.Identifier(login.user), password=sql.Literal(hidden.decode()))
    )


def _make_database(admin: Connection[tuple[object, ...]], database: Database) -> None:
    name, owner = sql.Identifier(database.name), sql.Identifier(database.owner.user)
    found = admin.execute("SELECT 1 FROM pg_database WHERE datname = %s", [database.name]).fetchone()
    if not found:
        admin.execute(sql.SQL("CREATE DATABASE {} OWNER {} TEMPLATE template0").format(name, owner))
    for statement in (
        "ALTER DATABASE {name} OWNER TO {owner}",
        "REVOKE ALL ON DATABASE {name} FROM PUBLIC",
        "GRANT CONNECT ON DATABASE {name} TO {app}",
    ):
        app = sql.Identifier(database.app.user)
        admin.execute(sql.SQL(statement).format(name=name, owner=owner, app=app))


def _equip(inside: Connection[tuple[object, ...]], database: Database) -> None:
    """Extensions are the superuser's; what the owner makes from now on, the app may read and write."""
    for extension in EXTENSIONS:
        inside.execute(sql.SQL("CREATE EXTENSION IF NOT EXISTS {}").format(sql.Identifier(extension)))
    for statement in (
        "GRANT USAGE ON SCHEMA public TO {app}",
        "ALTER DEFAULT PRIVILEGES FOR ROLE {owner} GRANT SELECT, INSERT, UPDATE, DELETE ON TABLES TO {app}",
        "ALTER DEFAULT PRIVILEGES FOR ROLE {owner} GRANT USAGE, SELECT ON SEQUENCES TO {app}",
    ):
        app, owner = sql.Identifier(database.app.user), sql.Identifier(database.owner.user)
        inside.execute(sql.SQL(statement).format(app=app, owner=owner))
