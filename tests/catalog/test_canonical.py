"""The one canonical form: its bytes, and that importing what was exported gives it again."""

import hashlib
import json
import random
import subprocess
import sys
from pathlib import Path

import pytest
from django.core.management import call_command
from hypothesis import given
from hypothesis import strategies as st

from catalog.package import RESOURCES, Package, build, canonical, read_folder, write_folder
from catalog.package.resources.articles import PRICES, PriceRow, settle_price
from catalog.package.resources.mechanical import DRIVE_CLOCKINGS, DriveClockingRow
from catalog.package.writer import table_bytes
from shared.places import PROJECT
from tests.catalog.conftest import Keeper
from tests.catalog.packages import made_up, seeds, small
from tests.catalog.strategies import rows_of

LINES = {
    "adapters.csv": ["sku,flange,thickness_mm,footprint_mm", "AD-1,wide,-3.5,170"],
    "model_gears.csv": ["model,gear,ratio", "osier-40,1,2", "osier-40,2,6.4", "rush-16,1,3.2"],
    "supersessions.csv": ["old,new,direction,note", "SH-CUT,SH-1,one-way,One length for all."],
    "drive_clockings.csv": ["sku,from_deg,to_deg", "DR-1,0,360", "DR-OIL,0,360"],
    "handing_kits.csv": ["sku,reverses_rotation", "HK-1,true"],
}


def test_the_lines_of_a_file(tmp_path: Path) -> None:
    files = canonical(small().package(tmp_path)).files
    for path, lines in LINES.items():
        assert files[path].decode() == "".join(f"{line}\n" for line in lines)


def test_only_what_needs_quotation_marks_has_them() -> None:
    maker = next(one for one in RESOURCES if one.name == "makers")
    rows = [maker.make([f"m{place}", name]) for place, name in enumerate(["Plain", "A, B", '8" pad', "=1+1"])]
    assert table_bytes(maker, rows).decode().splitlines()[1:] == [
        "m0,Plain",
        'm1,"A, B"',
        'm2,"8"" pad"',
        "m3,=1+1",
    ]


def test_the_description_states_every_file(tmp_path: Path) -> None:
    form = canonical(small().package(tmp_path))
    data = form.files["datapackage.json"]
    assert form.sha256 == hashlib.sha256(data).hexdigest()
    given = json.loads(data)
    assert data == json.dumps(given, sort_keys=True, separators=(",", ":"), ensure_ascii=False).encode()
    assert [one["name"] for one in given["resources"]] == [one.name for one in RESOURCES]
    for resource in given["resources"]:
        content = form.files[resource["path"]]
        assert resource["bytes"] == len(content)
        assert resource["hash"] == f"sha256:{hashlib.sha256(content).hexdigest()}"
        header = content.decode().splitlines()[0].split(",")
        assert [field["name"] for field in resource["schema"]["fields"]] == header
        assert set(resource["schema"]["primaryKey"]) <= set(header)


def test_a_title_is_part_of_the_revision(tmp_path: Path) -> None:
    package = small().package(tmp_path)
    titled = Package(package.rows, title="Spring", description="Prices of the season.")
    form = write_folder(titled, tmp_path / "titled")
    assert form.sha256 != canonical(package).sha256
    assert read_folder(tmp_path / "titled").require() == titled


def test_an_empty_package_has_its_headers(tmp_path: Path) -> None:
    form = write_folder(Package.of({}), tmp_path)
    assert all(data.count(b"\n") == 1 for path, data in form.files.items() if path.endswith(".csv"))
    assert read_folder(tmp_path).require() == Package.of({})


@pytest.mark.parametrize(
    ("given", "currency", "written"),
    [("12.5", "EUR", "12.50"), ("1500", "JPY", "1500"), ("3.1", "KWD", "3.100"), ("0", "EUR", "0.00")],
)
def test_an_amount_has_the_decimals_of_its_currency(given: str, currency: str, written: str) -> None:
    columns = {column.name: column.kind for column in PRICES.columns}
    day = columns["valid_from"].read("2026-01-01")
    row = settle_price(PriceRow("X", currency, day, columns["amount"].read(given)))  # type: ignore[arg-type]
    assert table_bytes(PRICES, [row]).decode().splitlines()[1] == f"X,{currency},2026-01-01,{written}"


@pytest.mark.parametrize(
    ("given", "arc"),
    [
        (("0", "360"), (0, 3599)),
        (("0", "0"), (0, 0)),
        (("350", "10"), (3500, 100)),
        (("90", "360"), (900, 0)),
        (("12.5", "12.5"), (125, 125)),
    ],
)
def test_a_clocking_becomes_an_arc_of_the_resolver(
    tmp_path: Path, given: tuple[str, str], arc: tuple[int, int]
) -> None:
    draft = small()
    draft.find("drive_clockings", sku="DR-1").update(from_deg=given[0], to_deg=given[1])
    package = draft.package(tmp_path)
    assert isinstance(package[DRIVE_CLOCKINGS][0], DriveClockingRow)
    assert build(package).drives["DR-1"].clockings_ddeg == (arc,)


# --- export and import undo each other ----------------------------------------------------------------------


def there_and_back(seed: int, folder: Path) -> None:
    """A made-up package: read from a random dress, written, read: the same rows, the same bytes."""
    luck = random.Random(seed)
    package = read_folder(made_up(luck, parts=luck.randint(0, 25)).write(folder, luck=luck)).require()
    form = write_folder(package, folder)
    again = read_folder(folder).require()
    assert again == package, seed
    assert canonical(again) == form, seed


def test_import_undoes_export(tmp_path: Path, rng: random.Random) -> None:
    for seed in seeds(15, first=rng.randrange(10**9)):
        there_and_back(seed, tmp_path)


@pytest.mark.soak
def test_import_undoes_export_for_500_packages(tmp_path: Path, rng: random.Random) -> None:
    for seed in seeds(500, first=rng.randrange(10**9)):
        there_and_back(seed, tmp_path)


@given(st.data())
def test_every_row_that_can_be_read_is_read_back(data: st.DataObject) -> None:
    """Cells of every kind, drawn: what is written reads as the same row, and writes the same again."""
    resource = data.draw(st.sampled_from(RESOURCES))
    row = data.draw(rows_of(resource))
    cells = [column.write(value) for column, value in zip(resource.columns, row, strict=True)]
    read = [
        column.kind.read(cell) if cell else None for column, cell in zip(resource.columns, cells, strict=True)
    ]
    assert resource.make(read) == row
    assert [column.write(value) for column, value in zip(resource.columns, read, strict=True)] == cells


def test_export_and_import_by_command(keeper: Keeper, tmp_path: Path, rng: random.Random) -> None:
    published = keeper.publish(made_up(rng, parts=20).package(tmp_path / "made-up"))
    call_command("export_catalog", str(tmp_path / "out"))
    package = read_folder(tmp_path / "out").require()
    assert canonical(package).sha256 == published.revision.sha256
    assert not keeper.publish(package).changed


MOST_MIB = 400


@pytest.mark.soak
def test_a_package_of_100_000_parts_is_read_in_bounded_memory(tmp_path: Path, rng: random.Random) -> None:
    """The child that reads it holds all rows, about 450,000, and never a file's text besides."""
    made_up(rng, parts=100_000).write(tmp_path)
    code = (
        "import resource, sys; from catalog.package import read_folder;"
        "counts = read_folder(sys.argv[1]).require().counts;"
        "print(counts['parts'], resource.getrusage(resource.RUSAGE_SELF).ru_maxrss)"
    )
    told = subprocess.run(
        [sys.executable, "-c", code, str(tmp_path)], cwd=PROJECT, capture_output=True, text=True, check=True
    )
    parts, kib = map(int, told.stdout.split())
    assert parts == 100_012
    assert kib < MOST_MIB * 1024


# --- without Django -----------------------------------------------------------------------------------------


def run_alone(*arguments: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "catalog.package", *arguments],
        cwd=PROJECT,
        capture_output=True,
        text=True,
        check=False,
        env={"PATH": ""},
    )


def test_a_package_is_checked_without_django(tmp_path: Path) -> None:
    small().write(tmp_path)
    right = run_alone("check", str(tmp_path))
    assert (right.returncode, right.stderr) == (0, "")
    assert canonical(read_folder(tmp_path).require()).sha256 in right.stdout


def test_mistakes_are_told_without_django(tmp_path: Path) -> None:
    draft = small()
    draft.find("spacers", sku="SP-2")["thickness_mm"] = "thin"
    draft.write(tmp_path)
    wrong = run_alone("check", str(tmp_path))
    assert wrong.returncode == 1
    assert wrong.stdout.startswith("spacers.csv:2:thickness_mm: thin is not a number")
    as_json = json.loads(run_alone("check", str(tmp_path), "--json").stdout)
    assert as_json["count"] == 1
    assert as_json["mistakes"][0]["value"] == "thin"
    assert run_alone("check", str(tmp_path / "nowhere")).returncode == 2


def test_the_canonical_form_is_written_without_django(tmp_path: Path) -> None:
    (small().write(tmp_path / "in") / "datapackage.json").unlink()
    assert run_alone("canonical", str(tmp_path / "in"), str(tmp_path / "out")).returncode == 0
    assert read_folder(tmp_path / "out").mistakes == ()


def test_the_package_and_its_lint_import_nothing_of_django() -> None:
    code = (
        "import sys, catalog.package, catalog.lint;"
        "sys.exit(any(name.split('.')[0] in ('django', 'psycopg') for name in sys.modules))"
    )
    assert subprocess.run([sys.executable, "-c", code], cwd=PROJECT, check=False).returncode == 0
