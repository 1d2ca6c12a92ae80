"""Questions on the terminal: one from a file, or one a line."""

import io
import json
import sys
import tracemalloc
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from django.core.management import call_command
from pytest_django import DjangoDbBlocker

from catalog.asking import LONGEST_QUESTION_BYTES, ask
from shared.places import PROJECT
from tests.demo import published_demo

pytestmark = pytest.mark.django_db

EXAMPLE = PROJECT / "fixtures" / "questions" / "example.json"
SMALL: dict[str, Any] = {"schema": 1, "winch": {"model": "tansy-60", "year": 1900}, "as_of": "2026-06-01"}
"""Of a year outside every run, which is answered at once."""


@dataclass
class Ended:
    code: int
    out: str
    err: str

    @property
    def answers(self) -> list[dict[str, Any]]:
        return [json.loads(line) for line in self.out.splitlines()]


Lookup = Callable[..., Ended]


@pytest.fixture(scope="module")
def demo_number(django_db_setup: None, django_db_blocker: DjangoDbBlocker) -> Iterator[int]:
    with published_demo(django_db_blocker) as number:
        yield number


@pytest.fixture
def demo(demo_number: int, db: None) -> None: ...


@pytest.fixture
def lookup(monkeypatch: pytest.MonkeyPatch) -> Lookup:
    """Run the command in this process; ``given`` is what it finds on standard input."""

    def run(*arguments: str, given: bytes = b"") -> Ended:
        monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(given)))
        out, err = io.StringIO(), io.StringIO()
        try:
            call_command("lookup", *arguments, stdout=out, stderr=err)
        except SystemExit as end:
            assert isinstance(end.code, int)
            return Ended(end.code, out.getvalue(), err.getvalue())
        return Ended(0, out.getvalue(), err.getvalue())

    return run


def line(**changes: Any) -> bytes:
    return json.dumps({**SMALL, **changes}).encode() + b"\n"


# --- a file


def test_a_file_is_answered_as_json(demo: None, lookup: Lookup) -> None:
    ended = lookup(str(EXAMPLE))
    assert (ended.code, ended.err) == (0, "")
    question = json.loads(EXAMPLE.read_text(), parse_float=str)
    today = datetime.now(UTC).date()
    expected = ask(question, today=today).as_json()
    assert json.loads(ended.out) == json.loads(json.dumps(expected))
    assert ended.out.startswith('{\n  "schema": 1,\n')
    assert "N·m" in ended.out


@pytest.mark.parametrize("verdict", ["yes", "no", "depends"])
def test_every_verdict_ends_with_0(demo: None, lookup: Lookup, tmp_path: Path, verdict: str) -> None:
    for path in sorted((PROJECT / "fixtures" / "situations").glob("*.json")):
        situation = json.loads(path.read_text())
        if situation["expect"]["verdict"] == verdict:
            break
    file = tmp_path / "question.json"
    file.write_text(json.dumps(situation["question"]))
    ended = lookup(str(file))
    assert (ended.code, json.loads(ended.out)["verdict"]) == (0, verdict)


def test_compact_is_one_line(demo: None, lookup: Lookup) -> None:
    ended = lookup(str(EXAMPLE), "--compact")
    assert ended.out.count("\n") == 1
    assert ended.out.startswith('{"schema":1,')


def test_sentences_are_in_the_unit_asked_for(demo: None, lookup: Lookup) -> None:
    file = str(EXAMPLE.with_name("complete.json"))
    in_mm, in_inches = lookup(file, "--compact"), lookup(file, "--unit", "in", "--compact")
    kits = [json.loads(ended.out)["kits"][0] for ended in (in_mm, in_inches)]
    depths = [next(one["sentence"] for one in kit["checks"] if one["code"] == "depth") for kit in kits]
    assert " mm are left" in depths[0]
    assert " in are left" in depths[1]
    assert kits[0]["depth_needed"] == kits[1]["depth_needed"]


def test_today_is_the_day_when_none_is_named(demo: None, lookup: Lookup) -> None:
    before = datetime.now(UTC).date().isoformat()
    found = lookup("-", given=line(as_of=None)).answers[0]["as_of"]
    assert before <= found <= datetime.now(UTC).date().isoformat()


BAD_FILES: list[tuple[bytes, str]] = [
    (line(winch={"model": "nowhere-1"}), "/winch/model: The catalog has no winch model nowhere-1."),
    (line(revision=99), "The catalog has no revision 99."),
    (
        line(survey={"pad_diameter": {"at_least": 9, "at_most": 8}}),
        "/survey/pad_diameter: At least 9 and at most 8 contradict each other.",
    ),
    (
        line(survey={"pad_diameter": {"value": -3}}),
        "/survey/pad_diameter/value: -3 is below zero, and a length cannot be.",
    ),
    (
        line(survey={"pad_diameter": {"value": "wide"}, "deck_thickness": []}),
        "The question has 2 faults; the first is /survey/deck_thickness: A length is given by",
    ),
    (b'{"schema": 1, "winch": {"model": 1E+999999}}', "/winch/model: A text of at most 80 characters"),
    (b'{"schema": 1, "schema": 1}', "This is not JSON that is read here: the name schema stands twice"),
    (b"{", "This is not JSON that is read here: line 1, column 2"),
    (b"", "This is not JSON that is read here: line 1, column 1"),
    (b'"\xff"', "This is not JSON that is read here: it is not UTF-8 at byte 1."),
    (b'{"a": "\\u0000"}', "/a: A text holds the character U+0000"),
    (b"[" * 50_000, "This is not JSON that is read here: it is nested too deeply."),
    (b" " * 70_000, f"The input cannot be read: it is longer than {LONGEST_QUESTION_BYTES} bytes."),
    (line(as_of="2026-13-01"), "/as_of: 2026-13-01 is not a date."),
]


@pytest.mark.parametrize(("text", "sentence"), BAD_FILES, ids=range(len(BAD_FILES)))
def test_a_bad_question_is_one_sentence(
    demo: None, lookup: Lookup, tmp_path: Path, text: bytes, sentence: str
) -> None:
    file = tmp_path / "question.json"
    file.write_bytes(text)
    ended = lookup(str(file))
    assert (ended.code, ended.out) == (2, "")
    assert ended.err.startswith(sentence)
    assert ended.err.endswith(".\n")
    assert ended.err.count("\n") == 1


def test_a_file_that_cannot_be_read(lookup: Lookup, tmp_path: Path) -> None:
    missing = lookup(str(tmp_path / "none.json"))
    assert (missing.code, missing.err) == (
        2,
        f"{tmp_path}/none.json cannot be read: No such file or directory.\n",
    )
    assert lookup(str(tmp_path)).err == f"{tmp_path} cannot be read: Is a directory.\n"


# --- lines


def test_one_answer_a_line_in_order(demo: None, lookup: Lookup) -> None:
    years = range(1900, 1910)
    ended = lookup("-", given=b"".join(line(winch={"model": "tansy-60", "year": year}) for year in years))
    assert (ended.code, ended.err) == (0, "")
    assert [answer["question"]["winch"]["year"] for answer in ended.answers] == list(years)


def test_a_bad_line_is_answered_in_its_place(demo: None, lookup: Lookup) -> None:
    given = line() + b"\n" + line(winch={"model": "nowhere-1"}) + b"  \r\n{\n" + line(survey={"x": 1, "y": 2})
    ended = lookup("-", given=given + line().rstrip())
    assert ended.code == 2
    assert ended.err == "3 of 5 questions could not be answered; each has an error in its place.\n"
    first, unknown, broken, strange, last = ended.answers
    assert first == last
    assert first["verdict"] == "no"
    assert unknown == {
        "error": {
            "line": 3,
            "code": "unknown-model",
            "detail": "The catalog has no winch model nowhere-1.",
            "errors": [
                {
                    "pointer": "/winch/model",
                    "code": "unknown-model",
                    "message": "The catalog has no winch model nowhere-1.",
                }
            ],
        }
    }
    assert (broken["error"]["line"], broken["error"]["code"]) == (5, "body-not-json")
    assert [one["pointer"] for one in strange["error"]["errors"]] == ["/survey/x", "/survey/y"]


def test_no_lines_are_no_answers(demo: None, lookup: Lookup) -> None:
    assert lookup("-", given=b"\n\n") == Ended(0, "", "")


def test_pretty_is_for_files(lookup: Lookup) -> None:
    ended = lookup("-", "--pretty", given=line())
    assert (ended.code, ended.err) == (2, "--pretty is for a file; with - an answer is one line.\n")


def test_a_line_without_end_is_one_error(demo: None, lookup: Lookup) -> None:
    ended = lookup("-", given=b'{"schema": ' + b"1" * 5_000_000 + b"}\n" + line())
    assert [answer.get("verdict") for answer in ended.answers] == [None, "no"]
    assert "longer than" in ended.answers[0]["error"]["detail"]


def test_the_longest_question_fits_with_its_end_of_line(demo: None, lookup: Lookup) -> None:
    longest = line().rstrip().ljust(LONGEST_QUESTION_BYTES)
    ended = lookup("-", given=longest + b"\r\n" + longest + b" \n")
    assert [answer.get("verdict") for answer in ended.answers] == ["no", None]


class Watched(io.RawIOBase):
    """Standard input that notes what was printed, and kept, when each line is asked for."""

    def __init__(self, lines: Iterator[bytes], out: "Counting") -> None:
        self.lines, self.out = lines, out
        self.ahead: set[int] = set()
        self.peak = 0
        self.read_lines = 0

    def readline(self, size: int | None = -1, /) -> bytes:
        self.ahead.add(self.read_lines - self.out.flushed)
        self.read_lines += 1
        self.peak = max(self.peak, tracemalloc.get_traced_memory()[0])
        return next(self.lines, b"")


class Counting(io.StringIO):
    """Counts lines and flushes, and keeps nothing."""

    lines = flushed = 0

    def write(self, text: str, /) -> int:
        self.lines += text.count("\n")
        return len(text)

    def flush(self) -> None:
        self.flushed = self.lines


def test_ten_thousand_lines_are_answered_one_by_one(demo: None, monkeypatch: pytest.MonkeyPatch) -> None:
    """Each answer is out before the next question is read, and memory stays as it was."""
    peaks = []
    for count in (500, 2_000, 10_000):
        out = Counting()
        lines = (line() if number % 1000 == 0 else b"{%d}\n" % number for number in range(count))
        watched = Watched(lines, out)
        monkeypatch.setattr(sys, "stdin", SimpleNamespace(buffer=watched))
        tracemalloc.start()
        with pytest.raises(SystemExit):
            call_command("lookup", "-", stdout=out, stderr=io.StringIO())
        tracemalloc.stop()
        assert out.lines == count
        assert watched.ahead == {0}
        peaks.append(watched.peak)
    # The first run keeps the compiled catalog. A line has 10 bytes, an error as an object more than 1,000.
    assert peaks[2] - peaks[1] < 100 * 8_000
