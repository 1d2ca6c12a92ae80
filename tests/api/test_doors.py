"""What is refused at the door: forbidden characters, bodies that are too large, ambiguous JSON."""

import io
import json
from collections.abc import Callable
from typing import Any

import pytest
from django.test import Client
from hypothesis import given
from hypothesis import strategies as st

from api.parsers import read_json
from api.wsgi import application
from shared.errors import FaultyInput
from tests.api.conftest import Problem

pytestmark = [pytest.mark.urls("tests.api.routes"), pytest.mark.django_db]

JSON = "application/json"
FORM = "application/x-www-form-urlencoded"


# --- control characters
# ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("escape", ["%00", "%01", "%0A", "%1b", "%7F"])
def test_a_path_has_no_control_characters(client: Client, problem: Problem, escape: str) -> None:
    problem(client.get(f"/api/test/ends/a{escape}b"), 400, "forbidden-character")
    assert client.get(f"/page/raises/a{escape}b").status_code == 400


@pytest.mark.parametrize("query", ["name=a%00b", "na%00me=a", "name=%1F", "name=a&name=b%00"])
def test_a_query_has_no_control_characters(client: Client, problem: Problem, query: str) -> None:
    problem(client.get(f"/api/test/people?{query}"), 400, "forbidden-character")
    assert client.get(f"/page/who?{query}").status_code == 400


@pytest.mark.parametrize("body", ["name=a%00b", "na%01me=a", "name=ok&note=%7f"])
def test_a_form_has_no_control_characters(client: Client, body: str) -> None:
    response = client.post("/page/form", body, content_type=FORM)
    assert response.status_code == 400
    assert "which no text here may hold" in response.content.decode()


def test_a_form_with_files_is_looked_through_too(client: Client) -> None:
    assert client.post("/page/form", {"note": "a\x00b", "paper": io.BytesIO(b"\x00")}).status_code == 400


def test_tabs_and_line_ends_are_text(client: Client) -> None:
    note = "port side\r\n\tunder the locker"
    assert client.post("/page/form", {"note": note}).json() == {"posted": {"note": note}}


@pytest.mark.parametrize(
    ("body", "pointer"),
    [
        (r'{"survey": {"note": "a\u0000b"}}', "/survey/note"),
        (r'{"survey": [1, "\u001F"]}', "/survey/1"),
        (r'{"survey": "\uD800"}', "/survey"),
        (r'{"sur\u0000vey": 1}', ""),
        (r'{"survey": "\u007f"}', "/survey"),
        ('{"survey": {"hull": "\x7f"}}', "/survey/hull"),
    ],
)
def test_json_has_no_control_characters(client: Client, problem: Problem, body: str, pointer: str) -> None:
    found = problem(client.post("/api/test/echo", body, content_type=JSON), 400, "forbidden-character")
    assert [entry["pointer"] for entry in found["errors"]] == [pointer]


def test_an_escaped_backslash_is_not_a_control_character() -> None:
    assert read_json(rb'{"a": "\\u0000", "b": "\ud83d\ude00", "c": "\u00e9"}') == {
        "a": r"\u0000",
        "b": "\N{GRINNING FACE}",
        "c": "é",
    }


# --- JSON
# -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("body", "code"),
    [
        (b"", "body-not-json"),
        (b"{", "body-not-json"),
        (b'{"a": 1} {"b": 2}', "body-not-json"),
        (b'{"a": NaN}', "body-not-json"),
        (b'{"a": -Infinity}', "body-not-json"),
        (b'{"a": 1, "a": 2}', "body-not-json"),
        (b'{"a": "\xff"}', "body-not-json"),
        (b'\xef\xbb\xbf{"a": 1}', "body-not-json"),
        (b'{"a": "line\nend"}', "body-not-json"),
        (b"[" * 100_000, "body-not-json"),
        (b'{"a": 1' + b"0" * 5_000 + b"}", "number-too-long"),
        (b'{"a": 1E+' + b"9" * 39 + b"}", "number-too-long"),
        (b'{"a": 1E+99999999999999999999999}', "number-too-long"),
    ],
)
def test_json_that_is_ambiguous_or_endless_is_refused(body: bytes, code: str) -> None:
    with pytest.raises(FaultyInput) as caught:
        read_json(body)
    assert caught.value.code == code


def test_numbers_are_what_was_written(client: Client) -> None:
    body = '{"length": 41.5, "count": 3, "huge": 1E+999999}'
    kinds = client.post("/api/test/echo", body, content_type=JSON).json()["kinds"]
    assert kinds == {"length": "Decimal", "count": "int", "huge": "Decimal"}


def test_a_number_beyond_reason_is_a_fault_of_the_input(client: Client, problem: Problem) -> None:
    body = '{"survey": {"deck_thickness": 1E+999999, "depth": 240}}'
    found = problem(client.post("/api/test/measures", body, content_type=JSON), 422, "number-too-long")
    assert found["errors"][0]["pointer"] == "/survey/deck_thickness"


json_values = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-(10**15), 10**15)
    | st.text(st.characters(codec="utf-8"), max_size=12),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=6), inner, max_size=4),
    max_leaves=12,
)


@pytest.mark.parametrize("body", [rb'"\b"', rb'"\f"', rb'"\u000c"', rb'{"\f": 1}'])
def test_a_control_character_in_a_short_escape_is_refused(body: bytes) -> None:
    with pytest.raises(FaultyInput):
        read_json(body)


@given(json_values, st.booleans())
def test_any_json_is_read_whole_or_refused_for_its_characters(value: object, escaped: bool) -> None:
    body = json.dumps(value, ensure_ascii=escaped)
    clean = all(letter in "\t\n\r" or (letter >= " " and letter != "\x7f") for letter in _letters(value))
    if clean:
        assert read_json(body.encode()) == value
    else:
        with pytest.raises(FaultyInput):
            read_json(body.encode(errors="surrogatepass"))


def _letters(value: object) -> str:
    if isinstance(value, str):
        return value
    if isinstance(value, dict):
        return "".join(name + _letters(inner) for name, inner in value.items())
    return "".join(_letters(inner) for inner in value) if isinstance(value, list) else ""


# --- bodies that are too large
# --------------------------------------------------------------------------------


class Counting(io.RawIOBase):
    """A body without end, that counts how much of it was taken."""

    def __init__(self) -> None:
        self.taken = 0

    def readable(self) -> bool:
        return True

    def read(self, size: int = -1) -> bytes:
        assert size >= 0, "somebody asks for all of an endless body"
        self.taken += size
        return b"x" * size


# Django closes connections when a request begins, also one with a test's transaction.
as_from_a_server = pytest.mark.django_db(transaction=True)


def call(stream: object, **environ: str) -> tuple[int, bytes]:
    """The web server's side, as it would call us, headers as they came."""
    started: list[str] = []
    asked: dict[str, Any] = {
        "REQUEST_METHOD": "POST",
        "PATH_INFO": "/page/small",
        "SERVER_NAME": "localhost",
        "SERVER_PORT": "80",
        "HTTP_HOST": "localhost",
        "CONTENT_TYPE": "text/plain",
        "wsgi.input": stream,
        "wsgi.url_scheme": "http",
        "wsgi.errors": io.StringIO(),
        **environ,
    }

    def start(status: str, headers: object, failed: object = None, /) -> Callable[[bytes], object]:
        started.append(status)
        return lambda _: None

    body = b"".join(application(asked, start))
    return int(started[0].split()[0]), body


@as_from_a_server
def test_a_declared_length_above_the_limit_is_not_read() -> None:
    endless = Counting()
    assert call(endless, CONTENT_LENGTH="10000000000")[0] == 413
    assert endless.taken == 0


@as_from_a_server
def test_a_body_in_chunks_is_read_no_further_than_the_limit() -> None:
    endless = Counting()
    assert call(endless, HTTP_TRANSFER_ENCODING="chunked")[0] == 413
    assert endless.taken == 11


@as_from_a_server
def test_a_body_in_chunks_below_the_limit_arrives_whole() -> None:
    assert call(io.BytesIO(b"0123456789"), HTTP_TRANSFER_ENCODING="chunked") == (200, b"10")


@as_from_a_server
def test_more_than_was_declared_is_not_read() -> None:
    assert call(io.BytesIO(b"x" * 100_000), CONTENT_LENGTH="5") == (200, b"5")


def test_a_view_may_have_a_limit_of_its_own(client: Client) -> None:
    assert client.post("/page/small", "0123456789", content_type="text/plain").content == b"10"
    assert client.post("/page/small", "0123456789A", content_type="text/plain").status_code == 413


def test_a_form_that_is_too_large_is_refused(client: Client) -> None:
    assert client.post("/page/form", "note=" + "x" * 1_000_001, content_type=FORM).status_code == 413
    many = "&".join(f"field{number}=1" for number in range(2_000))
    assert client.post("/page/form", many, content_type=FORM).status_code == 400
