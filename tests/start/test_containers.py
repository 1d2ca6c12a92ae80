"""The containers, as far as they can be judged without an engine that runs them."""

import re
from typing import Any

import yaml

from shared.places import PROJECT
from shared.roles import Database, parts_of

COMPOSED: dict[str, Any] = yaml.safe_load((PROJECT / "docker-compose.yml").read_text())
SERVICES: dict[str, Any] = COMPOSED["services"]


def test_the_database_is_of_the_version_that_comes_along() -> None:
    assert SERVICES["db"]["image"] == "postgres:18"
    assert "healthcheck" in SERVICES["db"]


def test_web_waits_for_what_it_needs_and_never_sees_the_superuser() -> None:
    assert SERVICES["prepare"]["depends_on"] == {"db": {"condition": "service_healthy"}}
    assert SERVICES["web"]["depends_on"] == {"prepare": {"condition": "service_completed_successfully"}}
    assert SERVICES["web"]["environment"]["PAWLBOOK_ADMIN_URL"] == ""
    assert "HEALTHCHECK" in (PROJECT / "Dockerfile").read_text()


def test_every_secret_is_asked_for_and_none_is_committed() -> None:
    for service in SERVICES.values():
        for name, value in service.get("environment", {}).items():
            if re.search("PASSWORD|SECRET", name):
                assert re.fullmatch(r"\$\{\w+:\?[^}]+\}", value), name
            if name.endswith("_URL") and value:
                assert re.search(r"://\w+:\$\{\w+:\?[^}]+\}@", value), name
    assert "/.env" in (PROJECT / ".gitignore").read_text().split()
    assert ".env" in (PROJECT / ".dockerignore").read_text().split()


def test_the_addresses_name_two_roles_of_one_database() -> None:
    web = SERVICES["web"]["environment"]
    app, owner = (re.sub(r"\$\{[^}]+\}", "x", web[name]) for name in ("DATABASE_URL", "PAWLBOOK_OWNER_URL"))
    database = Database.of_addresses(app, owner)
    assert (database.host, database.name) == ("db", "pawl")
    assert (database.owner.user, database.app.user) == ("pawl_owner", "pawl_app")
    prepare = SERVICES["prepare"]["environment"]["PAWLBOOK_ADMIN_URL"]
    admin = parts_of(re.sub(r"\$\{[^}]+\}", "x", prepare))
    assert admin["user"] == SERVICES["db"]["environment"]["POSTGRES_USER"]
