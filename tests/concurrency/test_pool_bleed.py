"""A pooled connection carries nothing from one request to the next, however the first one ended.

Django's pool does not reset the settings of a session. Four threads share two connections and mix requests of
two organizations, of nobody, and of every kind of failure; each answer must show its own caller's rows and no
other's.
"""

import random
import threading
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from typing import Any, cast

import pytest
from django.db import close_old_connections, connections
from django.db.backends.postgresql.base import DatabaseWrapper
from django.test import Client
from psycopg.pq import TransactionStatus
from psycopg_pool import ConnectionPool

from shared.models import Membership
from tests.factories import MembershipFactory, sign_in

pytestmark = [pytest.mark.urls("tests.api.routes"), pytest.mark.django_db(transaction=True)]

THREADS, POOL = 4, 2
FAILING = (
    "/page/400",
    "/page/500",
    "/page/raises/bug",
    "/page/raises/refused",
    "/page/hides-a-failed-statement",
    "/page/fails-at-commit",
    "/page/breaks-while-rendering",
    "/api/test/ends/bug",
    "/api/test/ends/409",
)


@pytest.fixture
def pool() -> Iterator[ConnectionPool[Any]]:
    """Let the application's connections of new threads come from a small pool."""
    options = connections.settings["default"]["OPTIONS"]
    options["pool"] = {"min_size": POOL, "max_size": POOL, "timeout": 30}
    wrapper = cast(DatabaseWrapper, connections.create_connection("default"))
    made = wrapper.pool
    yield made
    wrapper.close_pool()
    del options["pool"]


@pytest.mark.parametrize("requests", [150, pytest.param(3_000, marks=pytest.mark.soak)])
def test_nobody_gets_what_another_left(pool: ConnectionPool[Any], rng: random.Random, requests: int) -> None:
    members = [MembershipFactory.create(role="manager") for _ in range(2)]
    work = [rng.choice([*members, None]) for _ in range(requests)]
    failing = [rng.choice(FAILING) for _ in range(requests)]
    local = threading.local()
    connections.close_all()  # this thread's own may have come from the pool

    def ask(caller: Membership | None, failure: str) -> tuple[str, str, int]:
        """One request that fails and one that looks, as the same caller; what the second one saw."""
        clients = local.__dict__.setdefault("clients", {})
        if caller not in clients:
            clients[caller] = Client(raise_request_exception=False)
            if caller:
                sign_in(clients[caller], caller.person)
        clients[caller].post(failure)
        close_old_connections()  # as at the end of each request to a server; the test's client leaves it out
        seen = clients[caller].get("/page/who").json()
        close_old_connections()
        return str(caller.organization_id) if caller else "", seen["organization"], seen["seen"]

    with ThreadPoolExecutor(THREADS) as threads:
        for own, organization, rows in threads.map(ask, work, failing):
            assert organization == own
            assert rows == (1 if own else 0)

    assert pool.get_stats()["pool_size"] == POOL
    idle = [pool.getconn() for _ in range(POOL)]
    for connection in idle:
        assert connection.info.transaction_status == TransactionStatus.IDLE
        left = connection.execute(
            "SELECT current_setting('app.person', true), current_setting('app.organization', true)"
        )
        assert set(left.fetchone() or ("missing",)) <= {"", None}
        pool.putconn(connection)
