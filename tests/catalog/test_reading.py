"""Reading a package: what is forgiven, and each thing that is not, at its place."""

import json
import random
from collections.abc import Callable
from pathlib import Path

import pytest

from catalog.package import RESOURCES, Mistake, canonical, read_folder, sources
from catalog.package.sources import DESCRIPTION
from tests.catalog.packages import Draft, bare_description, made_up, seeds, small


def mistakes_of(draft: Draft, folder: Path) -> list[Mistake]:
    reading = read_folder(draft.write(folder))
    assert (reading.package is None) == bool(reading.mistakes)
    assert reading.count == len(reading.mistakes)
    return list(reading.mistakes)


def line_of(draft: Draft, resource: str, **cells: object) -> int:
    return draft.rows[resource].index(draft.find(resource, **cells)) + 2


# --- cells and rows -----------------------------------------------------------------------------------------

# resource, key of the row, cell, value, code: one spoiled cell, one mistake, in that very place.
SPOILED = [
    ("makers", {"code": "tarn"}, "name", "", "needed"),
    ("makers", {"code": "tarn"}, "name", " Tarn", "space-around"),
    ("makers", {"code": "tarn"}, "name", "Ta\trn", "unprintable-character"),
    ("makers", {"code": "tarn"}, "name", "Ta\0rn", "unprintable-character"),
    ("makers", {"code": "tarn"}, "name", "Ta\u200brn", "unprintable-character"),
    ("makers", {"code": "tarn"}, "name", "x" * 121, "text-too-long"),
    ("families", {"code": "osier"}, "convertible", "yes", "not-a-choice"),
    ("families", {"code": "osier"}, "convertible", "TRUE", "not-a-choice"),
    ("families", {"code": "osier"}, "first_year", "1890", "too-small"),
    ("families", {"code": "osier"}, "maker", "tarne", "missing-reference"),
    ("families", {"code": "osier"}, "maker", "Tarn", "not-a-code"),
    ("families", {"code": "osier"}, "replace_only_reason", "Why not?", "empty-when"),
    ("families", {"code": "rush"}, "replace_only_reason", "", "needed-when"),
    ("families", {"code": "osier"}, "last_year", "1989", "out-of-order"),
    ("models", {"code": "osier-40"}, "drum_diameter_mm", "80,5", "comma-in-number"),
    ("models", {"code": "osier-40"}, "drum_diameter_mm", "8E1", "exponent-in-number"),
    ("models", {"code": "osier-40"}, "drum_diameter_mm", "1E+999999", "exponent-in-number"),
    ("models", {"code": "osier-40"}, "drum_diameter_mm", "80 mm", "not-a-decimal"),
    ("models", {"code": "osier-40"}, "drum_diameter_mm", "80.0005", "finer-than-kept"),
    ("models", {"code": "osier-40"}, "drum_diameter_mm", "0080.000000000", "number-too-long"),
    ("models", {"code": "osier-40"}, "drum_diameter_mm", "-80", "too-small"),
    ("models", {"code": "osier-40"}, "drum_diameter_mm", "10000.001", "too-large"),
    ("models", {"code": "osier-40"}, "working_load_n", "9000.5", "finer-than-kept"),
    ("models", {"code": "osier-40"}, "rope_min_mm", "", "needed-when"),
    ("models", {"code": "osier-40"}, "rope_max_mm", "7.9", "out-of-order"),
    ("models", {"code": "rush-16"}, "rope_max_mm", "12", "empty-when"),
    ("model_gears", {"model": "osier-40", "gear": 2}, "gear", "3", "gap-in-gears"),
    ("model_gears", {"model": "osier-40", "gear": 2}, "ratio", "2", "ratio-not-rising"),
    ("base_patterns", {"code": "ring-6"}, "bolt_circle_mm", "60", "out-of-order"),
    ("runs", {"code": "osier-40-a"}, "year_to", "1989", "out-of-order"),
    ("runs", {"code": "osier-40-a"}, "serial_to", "49-99", "unreadable-serial"),
    ("runs", {"code": "osier-40-a"}, "serial_to", "999", "out-of-order"),
    ("runs", {"code": "osier-40-b"}, "serial_from", "B1-1", "unreadable-serial"),
    ("runs", {"code": "osier-40-b"}, "serial_to", "A-9", "out-of-order"),
    ("runs", {"code": "rush-16-a"}, "serial_from", "1", "empty-when"),
    ("runs", {"code": "osier-40-a"}, "plug_removable", "", "needed-when"),
    ("runs", {"code": "osier-40-b"}, "plug_note", "None there.", "empty-when"),
    ("parts", {"sku": "AD-1"}, "gtin", "6291041500214", "gtin-check-digit"),
    ("parts", {"sku": "AD-1"}, "gtin", "62910415002", "not-a-gtin"),
    ("parts", {"sku": "AD-1"}, "status", "gone", "not-a-choice"),
    ("parts", {"sku": "AD-1"}, "kind", "Adapter", "not-a-choice"),
    ("parts", {"sku": "AD-1"}, "withdrawn_on", "2025-01-01", "empty-when"),
    ("parts", {"sku": "SH-CUT"}, "withdrawn_on", "", "needed-when"),
    ("parts", {"sku": "SH-CUT"}, "withdrawn_on", "2025-02-29", "not-a-date"),
    ("parts", {"sku": "SH-CUT"}, "withdrawn_on", "20250301", "not-a-date"),
    ("parts", {"sku": "SH-CUT"}, "withdrawn_on", "1025-03-01", "not-a-date"),
    ("prices", {"sku": "AD-1"}, "currency", "EURO", "unknown-currency"),
    ("prices", {"sku": "AD-1"}, "currency", "XAU", "unknown-currency"),
    ("prices", {"sku": "AD-1"}, "amount", "100.005", "amount-too-fine"),
    ("prices", {"sku": "AD-1"}, "amount", "-1", "too-small"),
    ("adapters", {"sku": "AD-1"}, "flange", "narrow", "missing-reference"),
    ("shafts", {"sku": "SH-CUT"}, "cut_min_mm", "", "needed-when"),
    ("shafts", {"sku": "SH-CUT"}, "cut_max_mm", "59.9", "out-of-order"),
    ("shafts", {"sku": "SH-1"}, "cut_min_mm", "50", "empty-when"),
    ("shaft_windows", {"sku": "SH-1"}, "to_mm", "29.999", "out-of-order"),
    ("drives", {"sku": "DR-1"}, "supplied_hand", "none", "other-supplied-hand"),
    ("drives", {"sku": "DR-OIL"}, "supplied_hand", "left", "other-supplied-hand"),
    ("drives", {"sku": "DR-1"}, "motor_volts", "", "needed-when"),
    ("drives", {"sku": "DR-1"}, "motor_leads", "", "needed-when"),
    ("drives", {"sku": "DR-1"}, "no_load_current_a", "", "needed-when"),
    ("drives", {"sku": "DR-1"}, "peak_current_a", "", "needed-when"),
    ("drives", {"sku": "DR-1"}, "efficiency_percent", "", "needed-when"),
    ("drives", {"sku": "DR-1"}, "largest_breaker_a", "", "needed-when"),
    ("drives", {"sku": "DR-1"}, "max_press_seconds", "", "needed-when"),
    ("drives", {"sku": "DR-1"}, "duty_class", "", "needed-when"),
    ("drives", {"sku": "DR-OIL"}, "motor_volts", "12", "empty-when"),
    ("drives", {"sku": "DR-OIL"}, "motor_leads", "2", "empty-when"),
    ("drives", {"sku": "DR-OIL"}, "no_load_current_a", "2", "empty-when"),
    ("drives", {"sku": "DR-OIL"}, "peak_current_a", "20", "empty-when"),
    ("drives", {"sku": "DR-OIL"}, "efficiency_percent", "90", "empty-when"),
    ("drives", {"sku": "DR-OIL"}, "largest_breaker_a", "60", "empty-when"),
    ("drives", {"sku": "DR-1"}, "motor_volts", "36", "not-a-choice"),
    ("drives", {"sku": "DR-1"}, "efficiency_percent", "62.55", "finer-than-kept"),
    ("drives", {"sku": "DR-1"}, "peak_current_a", "7", "out-of-order"),
    ("drive_solids", {"sku": "DR-1", "solid": "motor"}, "x_to_mm", "", "needed-when"),
    ("drive_solids", {"sku": "DR-1", "solid": "motor"}, "diameter_mm", "20", "empty-when"),
    ("drive_solids", {"sku": "DR-1", "solid": "gearbox"}, "diameter_mm", "", "needed-when"),
    ("drive_solids", {"sku": "DR-1", "solid": "gearbox"}, "y_to_mm", "20", "empty-when"),
    ("drive_solids", {"sku": "DR-1", "solid": "motor"}, "depth_to_mm", "10", "out-of-order"),
    ("drive_pieces", {"sku": "DR-1", "piece": "motor"}, "carries_shaft", "true", "two-shaft-pieces"),
    ("drive_clockings", {"sku": "DR-1"}, "to_deg", "360.1", "too-large"),
    ("drive_clockings", {"sku": "DR-1"}, "from_deg", "360", "too-large"),
    ("drive_rotations", {"sku": "DR-1"}, "rotation_deg", "0.05", "finer-than-kept"),
    ("handing_kit_drives", {"sku": "HK-1"}, "drive", "DR-OIL", "not-convertible"),
    ("spacers", {"sku": "SP-2"}, "thickness_mm", "0", "too-small"),
    ("wedges", {"sku": "WE-1"}, "angle_deg", "0", "too-small"),
    ("controller_control_volts", {"sku": "CO-1"}, "volts", "48", "not-a-choice"),
    ("breaker_trips", {"sku": "BR-1", "percent": 150}, "latest_s", "59", "out-of-order"),
    ("breaker_trips", {"sku": "BR-1", "percent": 400}, "latest_s", "600.001", "trips-not-falling"),
    ("powered_winches", {"sku": "PW-1"}, "rope_max_mm", "", "needed-when"),
    ("supersessions", {"old": "SH-CUT"}, "new", "SH-CUT", "must-differ"),
    ("supersessions", {"old": "SH-CUT"}, "direction", "both", "not-a-choice"),
    ("exceptions", {"code": "no-oil"}, "lifts", "era", "empty-when"),
    ("exceptions", {"code": "no-oil"}, "with_sku", "DR-OIL", "must-differ"),
    ("exceptions", {"code": "no-oil"}, "with_sku", "SH 1", "not-a-sku"),
    ("exceptions", {"code": "no-oil"}, "with_sku", "SH-2", "missing-reference"),
    ("exceptions", {"code": "no-oil"}, "reason", "", "needed"),
    ("exceptions", {"code": "late-adapter"}, "lifts", "", "needed-when"),
    ("exceptions", {"code": "late-adapter"}, "with_sku", "SH-1", "empty-when"),
]


@pytest.mark.parametrize(("resource", "key", "cell", "value", "code"), SPOILED)
def test_a_spoiled_cell_is_told_once_in_its_place(
    tmp_path: Path, resource: str, key: dict[str, object], cell: str, value: str, code: str
) -> None:
    draft = small()
    line = line_of(draft, resource, **key)
    draft.find(resource, **key)[cell] = value
    (mistake,) = mistakes_of(draft, tmp_path)
    assert (mistake.code, mistake.file, mistake.line, mistake.column) == (code, f"{resource}.csv", line, cell)
    assert (mistake.value or "") == value[:80]
    assert mistake.sentence.endswith(".")
    assert mistake.sentence.isprintable()


def test_a_required_exception_names_what_it_requires(tmp_path: Path) -> None:
    draft = small()
    draft.find("exceptions", code="no-oil").update(kind="require")
    assert [(one.column, one.code) for one in mistakes_of(draft, tmp_path)] == [("with_sku", "needed-when")]


@pytest.mark.parametrize("scopes", [{}, {"family": "osier", "model": "osier-40"}])
def test_an_exception_has_exactly_one_scope(tmp_path: Path, scopes: dict[str, str]) -> None:
    draft = small()
    row = draft.find("exceptions", code="no-oil")
    row.pop("family")
    row.update(scopes)
    assert [one.code for one in mistakes_of(draft, tmp_path)] == ["exactly-one"]


def test_several_mistakes_of_one_row_are_all_told(tmp_path: Path) -> None:
    draft = small()
    draft.find("drives", sku="DR-1").update(motor_volts="", torque_nm="many", flange="narrow", override="?")
    assert [(one.column, one.code) for one in mistakes_of(draft, tmp_path)] == [
        ("flange", "missing-reference"),
        ("motor_volts", "needed-when"),
        ("override", "not-a-choice"),
        ("torque_nm", "not-a-decimal"),
    ]


# --- rows together ------------------------------------------------------------------------------------------


def test_a_key_is_given_once(tmp_path: Path) -> None:
    draft = small()
    draft.add("makers", code="tarn", name="Tarn again")
    (mistake,) = mistakes_of(draft, tmp_path)
    assert (mistake.file, mistake.line, mistake.code) == ("makers.csv", 3, "duplicate-key")
    assert "line 2" in mistake.sentence


def test_a_key_of_several_columns_is_given_once(tmp_path: Path) -> None:
    draft = small()
    draft.add("drive_rotations", sku="DR-1", rotation_deg="0.0")
    (mistake,) = mistakes_of(draft, tmp_path)
    assert (mistake.file, mistake.line, mistake.code) == ("drive_rotations.csv", 4, "duplicate-key")


def test_a_gtin_is_given_once_however_it_is_written(tmp_path: Path) -> None:
    draft = small()
    draft.find("parts", sku="SH-1")["gtin"] = "06291041500213"
    (mistake,) = mistakes_of(draft, tmp_path)
    assert (mistake.line, mistake.column, mistake.code) == (3, "gtin", "duplicate-gtin")


def test_a_part_stands_in_the_table_of_its_kind(tmp_path: Path) -> None:
    draft = small()
    draft.find("parts", sku="SP-2")["kind"] = "wedge"
    assert [(one.file, one.line, one.code) for one in mistakes_of(draft, tmp_path)] == [
        ("parts.csv", line_of(draft, "parts", sku="SP-2"), "missing-rows"),
        ("spacers.csv", 2, "other-kind"),
    ]


@pytest.mark.parametrize(
    ("resource", "parent"),
    [
        ("model_gears", "models"),
        ("drive_solids", "drives"),
        ("drive_pieces", "drives"),
        ("drive_clockings", "drives"),
        ("drive_rotations", "drives"),
        ("breaker_trips", "breakers"),
    ],
)
def test_rows_that_are_needed_are_missed(tmp_path: Path, resource: str, parent: str) -> None:
    draft = small()
    first = next(iter(draft.rows[parent][0].values()))
    key = next(one for one in RESOURCES if one.name == resource).key[0]
    draft.rows[resource] = [row for row in draft.rows[resource] if row[key] != first]
    (mistake,) = mistakes_of(draft, tmp_path)
    assert (mistake.file, mistake.line, mistake.value, mistake.code) == (
        f"{parent}.csv",
        2,
        first,
        "missing-rows",
    )


def test_one_mistake_is_not_told_of_what_refers_to_it(tmp_path: Path) -> None:
    """A drive with a faulty figure is there, for its solids and its handing kit."""
    draft = small()
    draft.find("drives", sku="DR-1")["torque_nm"] = "much"
    draft.find("parts", sku="DR-1")["lead_time_days"] = "soon"
    assert [(one.file, one.code) for one in mistakes_of(draft, tmp_path)] == [
        ("parts.csv", "not-a-decimal"),
        ("drives.csv", "not-a-decimal"),
    ]


# --- lines and files ----------------------------------------------------------------------------------------


def spoil(folder: Path, name: str, change: Callable[[bytes], bytes]) -> list[tuple[str, int | None, str]]:
    path = small().write(folder) / name
    path.write_bytes(change(path.read_bytes()))
    return [(one.file, one.line, one.code) for one in read_folder(folder).mistakes]


def test_a_line_with_too_many_cells(tmp_path: Path) -> None:
    found = spoil(tmp_path, "makers.csv", lambda data: data.replace(b"Works", b"Works,and more"))
    assert found == [("makers.csv", 2, "column-count")]


def test_a_line_with_too_few_cells_does_not_hide_its_key(tmp_path: Path) -> None:
    found = spoil(tmp_path, "spacers.csv", lambda data: data.replace(b",2,3\n", b",2\n"))
    assert found == [("spacers.csv", 2, "column-count")]


def test_quotation_marks_that_do_not_match(tmp_path: Path) -> None:
    found = spoil(tmp_path, "makers.csv", lambda data: data + b'"rush" x,Rush\n')
    assert found == [("makers.csv", 3, "bad-quoting")]


def test_a_quotation_mark_that_is_never_closed(tmp_path: Path) -> None:
    found = spoil(tmp_path, "makers.csv", lambda data: data + b'rush,"Rush\nreed,Reed\n')
    assert found == [("makers.csv", 3, "bad-quoting")]


def test_a_line_break_within_a_cell_is_no_text(tmp_path: Path) -> None:
    found = spoil(tmp_path, "makers.csv", lambda data: data + b'rush,"Ru\nsh"\nreed, Reed\n')
    assert found == [("makers.csv", 3, "unprintable-character"), ("makers.csv", 5, "space-around")]


def test_another_encoding(tmp_path: Path) -> None:
    latin = "rush,Räuscher\n".encode("latin-1")
    found = spoil(tmp_path, "makers.csv", lambda data: data + b"reed,Reed\n" + latin + b"kelp,Kelp\n")
    assert found == [("makers.csv", 4, "not-utf-8")]


def test_half_a_letter_at_the_end(tmp_path: Path) -> None:
    found = spoil(tmp_path, "makers.csv", lambda data: data + "rush,Rä".encode()[:-1])
    assert found == [("makers.csv", 3, "not-utf-8")]


def test_utf_16(tmp_path: Path) -> None:
    found = spoil(tmp_path, "spindles.csv", lambda data: data.decode().encode("utf-16"))
    assert found == [("spindles.csv", 1, "not-utf-8")]


def test_an_endless_line(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    found = spoil(tmp_path, "makers.csv", lambda data: data + b"x" * (3 * sources.LONGEST_LINE))
    assert found == [("makers.csv", 3, "line-too-long")]


def test_a_file_longer_than_is_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("catalog.package.table.LARGEST_TABLE", 1_000)
    found = spoil(tmp_path, "makers.csv", lambda data: data + b"".join(b"m-%d,M\n" % n for n in range(999)))
    assert ("makers.csv", "file-too-large") in {(file, code) for file, _, code in found}


@pytest.mark.parametrize(
    ("header", "codes"),
    [
        (b"", ["no-header"]),
        (b"code,nome\n", ["missing-column", "unknown-column"]),
        (b"code\n", ["missing-column"]),
        (b"code,name,name\n", ["repeated-column"]),
        (b"code,name,note\n", ["unknown-column"]),
    ],
)
def test_headers(tmp_path: Path, header: bytes, codes: list[str]) -> None:
    found = spoil(tmp_path, "makers.csv", lambda _: header)
    assert sorted(code for _, _, code in found) == codes
    assert {file for file, _, _ in found} == {"makers.csv"}


# --- the description ----------------------------------------------------------------------------------------


def described(folder: Path, change: Callable[[dict[str, object]], object]) -> list[tuple[str | None, str]]:
    path = small().write(folder) / DESCRIPTION
    given = json.loads(bare_description())
    change(given)
    path.write_text(json.dumps(given))
    return [(one.column, one.code) for one in read_folder(folder).mistakes]


@pytest.mark.parametrize(
    ("change", "place", "code"),
    [
        (lambda it: it["resources"].pop(3), "/resources", "missing-resource"),
        (lambda it: it["resources"][3].update(name="gears"), "/resources/3/name", "unknown-resource"),
        (lambda it: it["resources"][3].update(path="../models.csv"), "/resources/3/path", "unsafe-path"),
        (lambda it: it["resources"][3].update(path="/etc/passwd"), "/resources/3/path", "unsafe-path"),
        (lambda it: it["resources"][3].update(path=["a.csv", "b.csv"]), "/resources/3/path", "unsafe-path"),
        (lambda it: it["resources"][3].update(path="gears.csv"), None, "missing-file"),
        (lambda it: it["resources"][3].update(hash="md5:1"), "/resources/3/hash", "wrong-property"),
        (lambda it: it["resources"][3].update(hash=f"sha256:{'0' * 64}"), None, "other-hash"),
        (lambda it: it["resources"][3].update(bytes=1), None, "other-length"),
        (lambda it: it["resources"][3].update(bytes="1"), "/resources/3/bytes", "wrong-property"),
        (lambda it: it["resources"][3].update(dialect={}), "/resources/3/dialect", "unknown-property"),
        (lambda it: it["resources"][3].update(encoding="latin-1"), "/resources/3/encoding", "wrong-property"),
        (lambda it: it["resources"][3].update(schema={"fields": []}), "/resources/3/schema", "other-fields"),
        (lambda it: it["resources"].append(it["resources"][0]), "/resources/33", "repeated-resource"),
        (lambda it: it.update(licenses=[]), "/licenses", "unknown-property"),
        (lambda it: it.update(pawlbook_format=2), "/pawlbook_format", "wrong-property"),
        (lambda it: it.update(title="two\nlines"), "/title", "wrong-property"),
        (lambda it: it.update(name="A Name"), "/name", "wrong-property"),
    ],
)
def test_descriptions(
    tmp_path: Path, change: Callable[[dict[str, object]], object], place: str | None, code: str
) -> None:
    assert (place, code) in described(tmp_path, change)


@pytest.mark.parametrize(
    "data",
    [b"", b"[]", b"{", b'{"a": 1, "a": 2}', b'{"a": NaN}', b"\xff", b"[" * 100_000, b"1" * 5_000],
)
def test_a_description_that_is_no_object_of_json(tmp_path: Path, data: bytes) -> None:
    (small().write(tmp_path) / DESCRIPTION).write_bytes(data)
    first = read_folder(tmp_path).mistakes[0]
    assert (first.file, first.code) == (DESCRIPTION, "not-json")


def test_no_link_leads_out_of_the_folder(tmp_path: Path) -> None:
    folder = small().write(tmp_path / "package")
    (tmp_path / "outside.csv").write_text("code,name\ntarn,Tarn\n")
    (folder / "makers.csv").unlink()
    (folder / "makers.csv").symlink_to(tmp_path / "outside.csv")
    assert ("makers.csv", "unsafe-path") in {(one.file, one.code) for one in read_folder(folder).mistakes}


def test_a_folder_without_a_description(tmp_path: Path) -> None:
    (small().write(tmp_path) / DESCRIPTION).unlink()
    assert read_folder(tmp_path).mistakes[0].code == "missing-file"


# --- what is forgiven ---------------------------------------------------------------------------------------


def test_another_dress_is_the_same_package(tmp_path: Path) -> None:
    plain = canonical(small().package(tmp_path / "plain"))
    for seed in seeds(20):
        folder = small().write(tmp_path / str(seed), luck=random.Random(seed))
        assert canonical(read_folder(folder).require()) == plain


def test_zeros_that_mean_nothing_are_dropped(tmp_path: Path) -> None:
    draft = small()
    plain = canonical(draft.package(tmp_path / "plain"))
    draft.find("adapters", sku="AD-1")["thickness_mm"] = "-03.500000"
    draft.find("shafts", sku="SH-1")["standing_height_mm"] = "-0.0"
    draft.find("prices", sku="AD-1")["amount"] = "0100.0"
    draft.find("model_gears", model="osier-40", gear=1)["gear"] = "1.0"
    assert canonical(draft.package(tmp_path / "zeros")) == plain


def test_many_mistakes_are_counted_beyond_those_that_are_kept(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("catalog.package.mistakes.MOST_KEPT", 50)
    draft = small()
    for number in range(200):
        draft.add("makers", code=f"maker-{number}")
    reading = read_folder(draft.write(tmp_path))
    assert (reading.count, len(reading.mistakes)) == (200, 50)


def test_a_made_up_package_is_right(tmp_path: Path, rng: random.Random) -> None:
    assert read_folder(made_up(rng, parts=60).write(tmp_path)).mistakes == ()
