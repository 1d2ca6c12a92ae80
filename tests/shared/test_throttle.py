"""Limits hold, however many ask at once, and whatever becomes of their requests."""

from concurrent.futures import ThreadPoolExecutor

import pytest
from django.db import connections, transaction
from django.test import RequestFactory
from pytest_django import Settings

from shared.models import Allowance
from shared.rates import Rate
from shared.throttle import client_address, client_key, forget_rested, take
from tests.factories import AllowanceFactory

pytestmark = pytest.mark.django_db(transaction=True, databases=["default", "apart"])

SLOW = Rate.parse("5/day")
"""One comes back in nearly five hours: none does within a test."""


def test_a_caller_has_so_many_and_no_more() -> None:
    assert [take("test", "a", SLOW) is None for _ in range(7)] == [True] * 5 + [False] * 2


def test_callers_and_limits_are_counted_apart() -> None:
    for _ in range(5):
        assert take("test", "a", SLOW) is None
    assert take("test", "a", SLOW) is not None
    assert take("test", "b", SLOW) is None
    assert take("other", "a", SLOW) is None


def test_the_wait_is_what_the_next_one_takes_to_come_back() -> None:
    for _ in range(5):
        take("test", "a", SLOW)
    wait = take("test", "a", SLOW)
    assert wait is not None
    assert 0 < wait <= 86_400 / 5


def test_what_has_rested_is_there_again() -> None:
    AllowanceFactory.create(key="test:a")
    assert [take("test", "a", SLOW) is None for _ in range(6)] == [True] * 5 + [False]


def test_forty_at_once_do_not_pass_five() -> None:
    """Reading the count and then writing it would let more pass."""

    def ask(_: int) -> bool:
        try:
            return take("test", "crowd", SLOW) is None
        finally:
            connections.close_all()

    with ThreadPoolExecutor(8) as crowd:
        assert sum(crowd.map(ask, range(40))) == 5


def test_what_was_taken_stays_taken_when_the_request_is_rolled_back() -> None:
    for _ in range(5):
        with transaction.atomic():
            assert take("test", "a", SLOW) is None
            transaction.set_rollback(True)
    assert take("test", "a", SLOW) is not None


def test_rested_allowances_are_forgotten() -> None:
    AllowanceFactory.create(key="test:old")
    take("test", "new", SLOW)
    assert forget_rested() == 1
    assert [allowance.key for allowance in Allowance.objects.all()] == ["test:new"]


@pytest.mark.parametrize("text", ["", "5", "5/week", "0/day", "-1/day", "5/day/", "five/day", "5 / day"])
def test_a_rate_is_a_number_per_time(text: str) -> None:
    with pytest.raises(ValueError, match="A rate is written"):
        Rate.parse(text)


# --- whose
# ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("proxies", "forwarded", "address"),
    [
        (0, "198.51.100.7", "192.0.2.1"),
        (1, "198.51.100.7", "198.51.100.7"),
        (1, "203.0.113.9, 198.51.100.7", "198.51.100.7"),
        (2, "203.0.113.9, 198.51.100.7, 192.0.2.9", "198.51.100.7"),
        (2, "198.51.100.7", "192.0.2.1"),
        (1, "", ""),
    ],
)
def test_a_forwarded_address_counts_only_behind_stated_proxies(
    settings: Settings, proxies: int, forwarded: str, address: str
) -> None:
    settings.PROXIES = proxies
    request = RequestFactory().get("/", headers={"X-Forwarded-For": forwarded}, REMOTE_ADDR="192.0.2.1")
    assert client_address(request) == address


def test_one_network_of_ipv6_is_one_caller() -> None:
    keys = [
        client_key(RequestFactory().get("/", REMOTE_ADDR=address))
        for address in (
            "2001:db8:1:2::1",
            "2001:db8:1:2:ffff::9",
            "2001:db8:1:3::1",
            "192.0.2.1",
            "192.0.2.2",
        )
    ]
    assert keys[0] == keys[1]
    assert len(set(keys)) == 4
    assert not any("192" in key and "." in key for key in keys)
