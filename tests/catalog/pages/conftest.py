"""The demo catalog, published once for each file of tests, and pages as a visitor gets them."""

import html
import re
from collections.abc import Iterator, Mapping
from io import StringIO
from pathlib import Path
from typing import Any

import pytest
from django.core.management import call_command
from django.test import Client
from pytest_django import DjangoDbBlocker, Settings

from shared.rates import Rate
from tests.conftest import GROUND

DATABASES = ["default", "apart"]
"""Questions of strangers are counted on the second alias."""
FIXTURES = Path(__file__).parents[3] / "fixtures"
SITUATIONS = sorted((FIXTURES / "situations").glob("*.json"))


@pytest.fixture(scope="module")
def demo(django_db_setup: None, django_db_blocker: DjangoDbBlocker) -> Iterator[None]:
    """Publishing takes a second or two, and the tests only read: all of a file share it."""
    with django_db_blocker.unblock():
        call_command("seed_demo", stdout=StringIO())
    yield
    with django_db_blocker.unblock():
        GROUND.empty()


class Visitor:
    """Somebody with a browser, without script: asks for pages and reads their words."""

    def __init__(self) -> None:
        self.client = Client(raise_request_exception=False)

    def get(self, address: str, *, status: int = 200, follow: bool = False) -> "Seen":
        return self._seen(self.client.get(address, follow=follow), status)

    def post(self, address: str, typed: Mapping[str, str], *, status: int, follow: bool = False) -> "Seen":
        return self._seen(self.client.post(address, typed, follow=follow), status)

    @staticmethod
    def _seen(response: Any, status: int) -> "Seen":  # noqa: ANN401 - the test client's own response
        assert response.status_code == status, response.content.decode()[:2_000]
        return Seen(response)


class Seen:
    """A page: its source, its words without the tags, and where it led."""

    def __init__(self, response: Any) -> None:  # noqa: ANN401
        self.response = response
        self.source: str = response.content.decode()
        self.words = words_of(self.source)
        self.location: str = response.headers.get("Location", "")

    def __contains__(self, text: str) -> bool:
        return text in self.words

    def typed(self, name: str) -> str:
        """What stands in a box."""
        found = re.search(rf'<input id="field-{name}" name="{name}" value="([^"]*)"', self.source)
        assert found, name
        return html.unescape(found[1])

    def chosen(self, name: str) -> str:
        found = re.search(rf'name="{name}" value="([^"]*)" checked', self.source)
        assert found, name
        return found[1]

    def fault_at(self, name: str) -> str:
        found = re.search(rf'<p class="fault" id="(?:field-)?{name}-fault">(.*?)</p>', self.source)
        assert found, name
        return html.unescape(found[1]).strip()


def words_of(source: str) -> str:
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", source)).split())


@pytest.fixture
def visitor(db: None, demo: None, settings: Settings) -> Visitor:
    settings.ANONYMOUS_RATE = Rate.parse("100000/minute")
    return Visitor()
