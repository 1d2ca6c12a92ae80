"""Single rows with all that belongs to them, what is kept of them, and the files of revisions."""

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from api.v1.revisions import FOREVER
from shared.places import PROJECT
from tests.api.conftest import Problem
from tests.api.v1.rows import TABLES, as_text, every, reads, rows_of

pytestmark = pytest.mark.django_db(databases=["default", "apart"])

# --- details


@pytest.mark.parametrize("name", [*TABLES, "revisions"])
def test_a_detail_has_what_the_list_has(demo: int, client: Client, name: str) -> None:
    counts = set()
    for item in every(client, name)[:20]:
        with CaptureQueriesContext(connection) as queries:
            found = client.get(f"/api/v1/{name}/{next(iter(item.values()))}").json()
        assert item.items() <= found.items() or name == "revisions"
        assert {key: found[key] for key in item} == item
        counts.add(reads(queries))
    if name != "parts":
        assert len(counts) == 1


def test_a_model_has_its_gears_and_runs(demo: int, client: Client) -> None:
    found = client.get("/api/v1/winch-models/tansy-60").json()
    gears = [row for row in rows_of("model_gears") if row["model"] == "tansy-60"]
    assert [(str(gear["gear"]), str(gear["ratio"])) for gear in found["gears"]] == sorted(
        (row["gear"], row["ratio"]) for row in gears
    )
    runs = sorted(
        (row for row in rows_of("production-runs") if row["model"] == "tansy-60"),
        key=lambda row: (int(row["year_from"]), row["code"]),
    )
    assert [run["code"] for run in found["runs"]] == [row["code"] for row in runs]
    assert found["maker"] == next(row["maker"] for row in rows_of("winch-families") if row["code"] == "tansy")


def kind_of(kind: str) -> dict[str, str]:
    return next(row for row in rows_of("parts") if row["kind"] == kind)


@pytest.mark.parametrize(
    ("kind", "table", "lists"),
    [
        ("adapter", "adapters", {"base_patterns": ("adapter_bases", "base_pattern")}),
        ("shaft", "shafts", {"windows": ("shaft_windows", "")}),
        (
            "drive",
            "drives",
            {
                "solids": ("drive_solids", ""),
                "pieces": ("drive_pieces", ""),
                "clockings": ("drive_clockings", ""),
                "rotations_deg": ("drive_rotations", "rotation_deg"),
            },
        ),
        ("handing-kit", "handing_kits", {"drives": ("handing_kit_drives", "drive")}),
        ("spacer", "spacers", {}),
        ("wedge", "wedges", {}),
        (
            "controller",
            "controllers",
            {
                "motor_volts": ("controller_motor_volts", "volts"),
                "control_volts": ("controller_control_volts", "volts"),
            },
        ),
        ("breaker", "breakers", {"trips": ("breaker_trips", "")}),
        ("switch", "switches", {}),
        ("winch", "powered_winches", {}),
    ],
)
def test_a_part_has_the_figures_of_its_kind(
    demo: int, client: Client, kind: str, table: str, lists: dict[str, tuple[str, str]]
) -> None:
    counts = set()
    for figures in rows_of(table)[:6]:
        sku = figures.pop("sku")
        with CaptureQueriesContext(connection) as queries:
            found = client.get(f"/api/v1/parts/{sku}").json()
        counts.add(reads(queries))
        assert found["kind"] == kind
        assert {name: as_text(found["figures"][name]) for name in figures} == figures
        assert set(found["figures"]) == {*figures, *lists}
        for name, (resource, column) in lists.items():
            rows = [row for row in rows_of(resource) if row.pop("sku") == sku]
            listed = found["figures"][name]
            if column:
                assert sorted(map(as_text, listed)) == sorted(row[column] for row in rows)
            else:
                shown = [{key: as_text(value) for key, value in item.items()} for item in listed]
                assert sorted(shown, key=str) == sorted(rows, key=str)
    assert len(counts) == 1
    assert max(counts) <= 10


def test_a_part_has_its_prices(demo: int, client: Client) -> None:
    sku = max(rows_of("prices"), key=lambda row: row["valid_from"])["sku"]
    rows = sorted(
        (row["currency"], row["valid_from"], row["amount"]) for row in rows_of("prices") if row["sku"] == sku
    )
    found = client.get(f"/api/v1/parts/{sku}").json()["prices"]
    assert [(one["price"]["currency"], one["valid_from"], one["price"]["amount"]) for one in found] == rows
    assert len(rows) > 2


def test_a_part_knows_what_takes_its_place_and_whose_it_takes(demo: int, client: Client) -> None:
    for row in rows_of("supersessions"):
        old, new = (client.get(f"/api/v1/parts/{row[side]}").json() for side in ("old", "new"))
        told = {"direction": row["direction"], "note": row["note"] or None}
        assert {"new": row["new"], **told} in old["superseded_by"]
        assert {"old": row["old"], **told} in new["supersedes"]


@pytest.mark.parametrize(
    "address",
    [
        "makers/nobody",
        "winch-models/TANSY-60",
        "winch-models/a b",
        "parts/NOTHING",
        "parts/A/B",
        "parts/%20",
        "revisions/0",
        "revisions/2",
        "revisions/9999999999999999999999",
        "revisions/-1",
        "revisions/one",
        "revisions/1/files/secret.csv",
        "revisions/1/files/..%2Fsettings.py",
        "revisions/2/files/parts.csv",
        "revisions/99999999999999999999/files/parts.csv",
        "makers/",
        "makers/barleyloft/",
        "lookups/1",
    ],
)
def test_nothing_there(demo: int, client: Client, problem: Problem, address: str) -> None:
    problem(client.get(f"/api/v1/{address}"), 404, "not-found")


@pytest.mark.parametrize("method", ["post", "put", "patch", "delete", "options"])
@pytest.mark.parametrize("address", ["makers", "makers/barleyloft", "revisions/1/files/parts.csv"])
def test_there_is_only_reading(
    demo: int, client: Client, problem: Problem, method: str, address: str
) -> None:
    response = getattr(client, method)(f"/api/v1/{address}")
    problem(response, 405, "method-not-allowed")
    assert response.headers["Allow"] == "GET, HEAD"


def test_head_is_get_without_a_body(demo: int, client: Client) -> None:
    head, get = client.head("/api/v1/makers"), client.get("/api/v1/makers")
    assert head.content == b""
    assert head.headers["ETag"] == get.headers["ETag"]


# --- kept answers


@pytest.mark.parametrize(
    "address", ["makers/barleyloft", "parts?kind=drive", "revisions/1", "parts/CHURN-112-24"]
)
def test_what_has_not_changed_is_not_sent_again(demo: int, client: Client, address: str) -> None:
    first = client.get(f"/api/v1/{address}")
    tag = first.headers["ETag"]
    assert first.headers["Cache-Control"] == "public, max-age=60"
    with CaptureQueriesContext(connection) as queries:
        again = client.get(f"/api/v1/{address}", headers={"If-None-Match": f'"other", {tag}'})
    assert (again.status_code, again.content) == (304, b"")
    assert again.headers["ETag"] == tag
    assert again.headers["Cache-Control"] == "public, max-age=60"
    assert reads(queries) == 1
    for other in ('"other"', "", "*", "W/", '"' * 50):
        assert client.get(f"/api/v1/{address}", headers={"If-None-Match": other}).status_code == 200


def test_every_address_has_a_tag_of_its_own(demo: int, client: Client) -> None:
    addresses = ["makers", "makers?limit=2", "makers/barleyloft", "flanges", "spindles"]
    tags = {client.get(f"/api/v1/{address}").headers["ETag"] for address in addresses}
    assert len(tags) == len(addresses)


# --- revisions


def test_files_are_what_was_published(demo: int, client: Client) -> None:
    for file in client.get(f"/api/v1/revisions/{demo}").json()["files"]:
        response = client.get(f"/api/v1/revisions/{demo}/files/{file['name']}")
        assert response.content == (PROJECT / "fixtures" / "catalog" / file["name"]).read_bytes()
        assert response.headers["ETag"] == f'"{file["sha256"]}"'
        assert response.headers["Cache-Control"] == FOREVER
        assert response.headers["Content-Disposition"] == f'attachment; filename="{file["name"]}"'
        kind = "application/json" if file["name"].endswith("json") else "text/csv; charset=utf-8"
        assert response.headers["Content-Type"] == kind


def test_a_file_is_given_in_its_own_form(demo: int, client: Client) -> None:
    for accept in ("text/csv", "application/json", "image/png", "*/*"):
        address = f"/api/v1/revisions/{demo}/files/makers.csv"
        assert client.get(address, headers={"Accept": accept}).status_code == 200


def test_nobody_is_named_in_a_revision(demo: int, client: Client) -> None:
    assert b"keeper@" not in client.get(f"/api/v1/revisions/{demo}").content
