"""Questions on the terminal as a process of its own, and without a catalog."""

import io
import json
import os
import subprocess
import sys

import pytest
from django.core.management import call_command

from catalog.models import Revision
from shared.places import PROJECT

EXAMPLE = PROJECT / "fixtures" / "questions" / "example.json"
COMMAND = [sys.executable, "manage.py", "lookup", "-"]


def line(model: str = "tansy-60") -> bytes:
    """Of a year outside every run, which is answered at once."""
    question = {"schema": 1, "winch": {"model": model, "year": 1900}, "as_of": "2026-06-01"}
    return json.dumps(question).encode() + b"\n"


@pytest.mark.django_db
@pytest.mark.parametrize("file", [str(EXAMPLE), "-"])
def test_without_a_catalog_it_is_not_the_questions_fault(file: str, monkeypatch: pytest.MonkeyPatch) -> None:
    assert not Revision.objects.exists()
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(line())))
    out, err = io.StringIO(), io.StringIO()
    with pytest.raises(SystemExit) as end:
        call_command("lookup", file, stdout=out, stderr=err)
    assert (end.value.code, out.getvalue()) == (1, "")
    assert err.getvalue() == "No revision of the catalog has been published yet.\n"


@pytest.fixture
def environ(transactional_db: None) -> dict[str, str]:
    """With the demo where another process sees it, on a terminal that knows ASCII only."""
    call_command("seed_demo", stdout=io.StringIO())
    return {**os.environ, "PYTHONIOENCODING": "ascii", "DJANGO_SETTINGS_MODULE": "api.settings"}


def test_bad_lines_end_with_2_and_one_sentence(environ: dict[str, str]) -> None:
    given = line() + line("nowhere-1")
    ended = subprocess.run(COMMAND, input=given, capture_output=True, cwd=PROJECT, env=environ, check=False)
    assert ended.returncode == 2
    assert ended.stderr == b"1 of 2 questions could not be answered; each has an error in its place.\n"
    assert [set(json.loads(answer)) >= {"verdict"} for answer in ended.stdout.splitlines()] == [True, False]


def test_answers_come_as_questions_do_and_end_when_nobody_reads(environ: dict[str, str]) -> None:
    pipe = subprocess.PIPE
    with subprocess.Popen(COMMAND, stdin=pipe, stdout=pipe, stderr=pipe, cwd=PROJECT, env=environ) as asked:
        assert asked.stdin
        assert asked.stdout
        assert asked.stderr
        asked.stdin.write(line())
        asked.stdin.flush()
        assert json.loads(asked.stdout.readline())["verdict"] == "no"
        asked.stdout.close()
        asked.stdin.write(line() * 3)
        asked.stdin.close()
        assert asked.stderr.read() == b""
        assert asked.wait() == 1


@pytest.mark.soak
def test_memory_stays_as_it_was_for_ten_thousand_answers(environ: dict[str, str]) -> None:
    peaks = []
    for count in (300, 10_000):
        program = "import resource, runpy, sys\nsys.argv = ['manage.py', 'lookup', '-']\n"
        program += "runpy.run_path('manage.py', run_name='__main__')\n"
        program += "print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss, file=sys.stderr)"
        ended = subprocess.run(
            [sys.executable, "-c", program],
            input=line() * count,
            capture_output=True,
            cwd=PROJECT,
            env=environ,
            check=True,
        )
        assert ended.stdout.count(b"\n") == count
        peaks.append(int(ended.stderr))
    assert peaks[1] < peaks[0] * 1.1
