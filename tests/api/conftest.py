"""Clients of the tests of the doors, and the shape that every problem has."""

import json
import re
from typing import Any, Protocol

import pytest
from django.http import HttpResponse
from django.test import Client

from api.problems import published


class Problem(Protocol):
    def __call__(self, response: Any, status: int, code: str) -> dict[str, Any]: ...  # noqa: ANN401


@pytest.fixture
def client() -> Client:
    """Answers as a visitor sees them: an exception is a 500, not an exception of the test."""
    return Client(raise_request_exception=False)


@pytest.fixture
def problem() -> Problem:
    """Check that an answer is a whole problem of a published type, and return it."""

    codes = {cls.code for cls in published()}

    def check(response: HttpResponse, status: int, code: str) -> dict[str, Any]:
        assert response.status_code == status, response.content
        assert response.headers["Content-Type"] == "application/problem+json"
        found: dict[str, Any] = json.loads(response.content)
        assert found["type"] == f"urn:pawlbook:problem:{code}"
        assert code in codes
        assert found["status"] == status
        assert found["request_id"] == response.headers["X-Request-Id"]
        assert found["help"] == f"/problems/{code}"
        assert found["title"]
        assert found["detail"]
        assert not re.search(r"SELECT|Traceback|\.py|/srv", response.content.decode())
        for entry in found.get("errors", []):
            assert set(entry) == {"pointer", "code", "message"}
            assert entry["code"] in codes
        return found

    return check
