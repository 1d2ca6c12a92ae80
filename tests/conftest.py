"""What all tests share: where they run, what they print, how often properties are tried."""

import random
import secrets
from collections.abc import Iterator

import factory.random
import pytest
from django.core.management import call_command
from django.db import connections
from django.test import TransactionTestCase
from hypothesis import HealthCheck, settings
from pytest_django import DjangoDbBlocker

from tests.cluster import Ground, find_ground, load_settings, point_settings_at

pytest_plugins = ["tests.browsing"]

GROUND = find_ground()
point_settings_at(GROUND)
load_settings()

# No property is judged by the clock: this machine may be busy.
_UNHURRIED = [HealthCheck.too_slow, HealthCheck.filter_too_much]
for _name, _examples in (("test", 100), ("soak", 10_000)):
    settings.register_profile(
        _name,
        max_examples=_examples,
        deadline=None,
        derandomize=False,
        print_blob=True,
        suppress_health_check=_UNHURRIED,
    )
settings.load_profile("test")


# --- seeds --------------------------------------------------------------------------------------------------


def pytest_configure(config: pytest.Config) -> None:
    """One seed for the whole run: Hypothesis, factories and `rng`."""
    if config.getoption("hypothesis_seed") is None:
        config.option.hypothesis_seed = str(secrets.randbelow(10**9))
    factory.random.reseed_random(str(_seed(config)))


def pytest_report_header(config: pytest.Config) -> list[str]:
    profile = config.getoption("hypothesis_profile") or "test"
    where = str(GROUND.places.folder) if GROUND.places else GROUND.database.host
    return [
        f"seed: {_seed(config)} (again: --hypothesis-seed={_seed(config)}), profile: {profile}",
        f"database: {GROUND.database.name} on {where}",
    ]


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter, config: pytest.Config) -> None:
    """The seed again at the end, where somebody who reads of a failure looks."""
    terminalreporter.write_line(f"seed: {_seed(config)}")


def _seed(config: pytest.Config) -> int:
    return int(config.getoption("hypothesis_seed"))


@pytest.fixture
def rng(request: pytest.FixtureRequest) -> random.Random:
    """Randomness of this test: the same for the same seed, whatever else runs."""
    return random.Random(f"{_seed(request.config)} {request.node.nodeid}")


# --- the database -------------------------------------------------------------------------------------------


@pytest.fixture(scope="session")
def django_db_setup(django_test_environment: None, django_db_blocker: DjangoDbBlocker) -> Iterator[None]:
    """Make the database as superuser, migrate as owner; the tests then run as the application.

    Django's own way would make it as the application's role, which may not, and once for each alias.
    """
    with GROUND.prepared(), pytest.MonkeyPatch.context() as patch:
        with django_db_blocker.unblock():
            call_command("migrate", database="owner", verbosity=0, interactive=False)
            connections.close_all()
        GROUND.remember_what_migrations_filled()
        patch.setattr(TransactionTestCase, "_fixture_teardown", lambda _case: GROUND.empty())
        yield
        with django_db_blocker.unblock():
            connections.close_all()


@pytest.fixture
def ground(django_db_setup: None) -> Ground:
    """The database of this process, for tests of the roles and of the database itself."""
    return GROUND
