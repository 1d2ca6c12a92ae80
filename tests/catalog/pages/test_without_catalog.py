"""Before anything is published there is nothing to ask, and the pages say what to do first."""

import pytest
from django.test import Client

from tests.catalog.pages.conftest import DATABASES

pytestmark = pytest.mark.django_db(databases=DATABASES)


def test_the_first_page_says_what_to_do_first() -> None:
    page = Client().get("/")
    assert page.status_code == 200
    assert "seed_demo" in page.content.decode()


@pytest.mark.parametrize("address", ["/parts", "/winches/tansy-60", "/answers/eyJzY2hl"])
def test_the_others_say_that_there_is_nothing_yet(address: str) -> None:
    assert Client(raise_request_exception=False).get(address).status_code in (404, 409)
