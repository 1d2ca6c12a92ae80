"""The benchmarks run on a real PostgreSQL, and the rivals say what the resolver says; no figure is judged."""

import re

import pytest

from benchmarks.__main__ import QUICK, main


def test_the_quick_run(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("DATABASE_URL", raising=False)
    main(["--quick"])
    said = capsys.readouterr().out
    assert "bounded fan-out" in said
    assert "growing fan-out" in said
    assert re.search(r"PostgreSQL 1[89]\.\d+", said)
    asked = sum(int(count) for count in re.findall(r"(?:depends|yes|no|gave up) (\d+)", said))
    assert asked == 2 * len(QUICK.sizes) * QUICK.questions
    assert f"of {QUICK.race_questions}; disagreements: 0" in said
