"""A package is taken whole or not at all: 5,000 rows with 37 mistakes of 9 kinds at known lines."""

import json
import random
from io import StringIO
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command
from django.db.models import Model, QuerySet

from catalog.models import Revision, StoredFile
from catalog.package import Mistake
from catalog.tables import TABLES
from shared.models import RecordEntry
from tests.catalog.conftest import Keeper
from tests.catalog.packages import Draft, made_up

PARTS = 2_400

Place = tuple[str, int, str | None, str]
"""File, line, column, code."""


SPOILED = [
    # resource, column, value, code, how many
    ("parts", "lead_time_days", "soon", "not-a-decimal", 5),
    ("parts", "gtin", "6291041500214", "gtin-check-digit", 5),
    ("parts", "status", "sold", "not-a-choice", 5),
    ("parts", "valid_from", "2001-02-30", "not-a-date", 5),
    ("parts", "maker", "nobody", "missing-reference", 4),
    ("spacers", "thickness_mm", "-1", "too-small", 4),
    ("spacers", "max_count", "2.5", "finer-than-kept", 4),
    ("shaft_windows", "to_mm", "1", "out-of-order", 3),
]


def spoil(draft: Draft, luck: random.Random) -> set[Place]:
    """Make 37 mistakes of nine kinds, each in a row of its own, and say where."""
    told: set[Place] = set()
    fresh = {name: luck.sample(range(20, len(draft.rows[name])), 24) for name in ("parts", "spacers")}
    fresh["shaft_windows"] = luck.sample(range(2, len(draft.rows["shaft_windows"])), 3)
    for resource, column, value, code, count in SPOILED:
        for _ in range(count):
            place = fresh[resource].pop()
            draft.rows[resource][place][column] = value
            told.add((f"{resource}.csv", place + 2, column, code))
    for copied in luck.sample(draft.rows["switches"], 2):
        draft.rows["switches"].append(dict(copied))
        told.add(("switches.csv", len(draft.rows["switches"]) + 1, "sku", "duplicate-key"))
    return told


def filled_tables() -> list[type[Model]]:
    models: list[type[Model]] = [*TABLES.values(), Revision, StoredFile]
    return [model for model in models if QuerySet(model).exists()]


def place_of(mistake: Mistake) -> Place:
    assert mistake.line is not None
    return mistake.file, mistake.line, mistake.column, mistake.code


@pytest.mark.django_db(transaction=True)
def test_every_mistake_is_told_and_nothing_is_written(
    keeper: Keeper, tmp_path: Path, rng: random.Random
) -> None:
    draft = made_up(rng, parts=PARTS)
    told = spoil(draft, rng)
    assert (len(told), len({code for *_, code in told})) == (37, 9)
    assert sum(map(len, draft.rows.values())) >= 5_000
    folder = draft.write(tmp_path)
    for arguments in (["--check"], ["--publish", "--by", keeper.person.email]):
        said = StringIO()
        with pytest.raises(CommandError, match="37 mistakes") as stopped:
            call_command("import_catalog", str(folder), *arguments, "--json", stdout=said)
        assert stopped.value.returncode == 1
        found = json.loads(said.getvalue())
        assert found["count"] == 37
        assert {place_of(Mistake(**one)) for one in found["mistakes"]} == told
        assert len(found["mistakes"]) == 37
    assert filled_tables() == []
    assert not RecordEntry.objects.exists()


@pytest.mark.django_db(transaction=True)
def test_publishing_that_fails_at_the_last_step_leaves_nothing(
    keeper: Keeper, tmp_path: Path, rng: random.Random, monkeypatch: pytest.MonkeyPatch
) -> None:
    package = made_up(rng, parts=10).package(tmp_path)

    def fail(*_args: object, **_kwargs: object) -> None:
        raise RuntimeError("the record cannot be written")

    monkeypatch.setattr("shared.record.append", fail)
    with pytest.raises(RuntimeError):
        keeper.publish(package)
    assert filled_tables() == []
