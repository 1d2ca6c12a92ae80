"""What HTTP costs a lookup: its CPU beside that of an empty view with the same middleware, throttle and
renderer.

Both are called in one process through Django's whole handler, in turn, on the demo catalog and a PostgreSQL
of their own. What the resolver itself takes (reading, answering and shaping the same question) is measured
beside and taken off; what is left, divided by the empty view, is the ratio.
"""

import io
import os
import time
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from functools import partial
from pathlib import Path
from statistics import median

QUESTIONS = Path(__file__).parents[1] / "fixtures" / "questions"
LOOKUPS, EMPTY = "/api/v1/lookups", "/api/v1/empty"
TODAY = date(2026, 6, 1)


@dataclass(frozen=True, slots=True)
class Cost:
    """CPU milliseconds of a call, each the median."""

    empty_ms: float
    lookup_ms: float
    resolver_ms: float
    calls: int

    @property
    def ratio(self) -> float:
        return (self.lookup_ms - self.resolver_ms) / self.empty_ms


def cost(calls: int) -> Cost:
    """Measure on a throw-away cluster. To be called in a process of its own: it settles Django's settings."""
    from tests.cluster import find_ground, load_settings, point_settings_at  # noqa: PLC0415

    os.environ["PAWLBOOK_ANONYMOUS_RATE"] = "1000000/minute"
    ground = find_ground()
    point_settings_at(ground)
    load_settings()
    from django.core.management import call_command  # noqa: PLC0415 - here and below: after the settings
    from django.db import connections  # noqa: PLC0415
    from django.test import override_settings  # noqa: PLC0415

    with ground.prepared():
        call_command("migrate", database="owner", verbosity=0, interactive=False)
        call_command("seed_demo", verbosity=0, stdout=io.StringIO())
        with override_settings(ALLOWED_HOSTS=["testserver"], ROOT_URLCONF="benchmarks.http_urls"):
            found = _measured(calls)
        connections.close_all()
    return found


def _measured(calls: int) -> Cost:
    from django.test import Client  # noqa: PLC0415

    from catalog.queries import compiled  # noqa: PLC0415
    from shared.tenancy import tenant  # noqa: PLC0415

    client = Client()
    bodies = [path.read_bytes() for path in sorted(QUESTIONS.glob("*.json"))]
    with tenant(organization=None):
        _, state = compiled(None)

    def post(path: str, body: bytes) -> None:
        answer = client.post(path, body, content_type="application/json")
        if answer.status_code != 200:
            raise RuntimeError(f"{path} answered {answer.status_code}.")

    def resolve(body: bytes) -> None:
        from catalog.asking import read_json  # noqa: PLC0415
        from catalog.resolver.answer_json import as_json  # noqa: PLC0415
        from catalog.resolver.question import read_question  # noqa: PLC0415
        from catalog.resolver.search import answer  # noqa: PLC0415

        as_json(answer(state, read_question(read_json(body), today=TODAY)), state.catalog)

    calling: tuple[Callable[[bytes], None], ...] = (partial(post, EMPTY), partial(post, LOOKUPS), resolve)
    times: tuple[list[float], ...] = ([], [], [])
    for number in range(calls + len(bodies)):
        for call, taken in zip(calling, times, strict=True):
            taken.append(_cpu(partial(call, bodies[number % len(bodies)])))
    # The first round warms up.
    empty, lookup, resolver = (1_000 * median(one[len(bodies) :]) for one in times)
    return Cost(empty, lookup, resolver, calls)


def _cpu(call: Callable[[], None]) -> float:
    start = time.process_time()
    call()
    return time.process_time() - start
