"""Reading the catalog: pages by key, filters, forgiving search, details, ETags, a fixed number of queries."""

import csv
from typing import Any

import pytest
from django.db import connection
from django.db.models import Index, Model
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import URLPattern
from django.utils.http import urlencode
from django_filters import Filter
from pytest_django import Settings

from api.v1 import urls
from api.v1.reading import CatalogView, RowList
from api.v1.revisions import FOREVER
from shared.places import PROJECT
from shared.rates import Rate
from tests.api.conftest import Problem

pytestmark = pytest.mark.django_db(databases=["default", "apart"])

TABLES = {
    "makers": "makers",
    "winch-families": "families",
    "winch-models": "models",
    "production-runs": "runs",
    "base-patterns": "base_patterns",
    "spindles": "spindles",
    "flanges": "flanges",
    "couplings": "couplings",
    "parts": "parts",
    "exceptions": "exceptions",
}
"""Where the demo has the rows of each list."""


def rows_of(name: str) -> list[dict[str, str]]:
    with (PROJECT / "fixtures" / "catalog" / f"{TABLES.get(name, name)}.csv").open() as file:
        return list(csv.DictReader(file))


def every(client: Client, name: str, **query: Any) -> list[dict[str, Any]]:
    """The items of all pages."""
    found, address = [], f"/api/v1/{name}?{urlencode(query, doseq=True)}"
    while address:
        page = client.get(address).json()
        found += page["items"]
        address = page["next"]
    return found


def keys(items: list[dict[str, Any]]) -> list[Any]:
    return [next(iter(item.values())) for item in items]


def as_text(value: object) -> str:
    """A value as a cell of the package has it."""
    if value is None:
        return ""
    return str(value).lower() if isinstance(value, bool) else str(value)


def reads(queries: CaptureQueriesContext) -> int:
    """How many statements read the catalog. What a request costs anyway is not counted."""
    return sum("catalog_" in query["sql"] for query in queries.captured_queries)


# --- lists


@pytest.mark.parametrize("name", TABLES)
def test_a_list_holds_every_row_by_key(demo: int, client: Client, name: str) -> None:
    rows = rows_of(name)
    found = every(client, name, limit=7)
    assert keys(found) == sorted(keys(rows))
    by_key = {next(iter(row.values())): row for row in rows}
    for item in found:
        row = by_key[next(iter(item.values()))]
        assert {column: as_text(item[column]) for column in row} == row


@pytest.mark.parametrize("name", [*TABLES, "revisions"])
def test_the_number_of_queries_does_not_grow(demo: int, client: Client, name: str) -> None:
    counts = []
    for limit in (1, 200):
        with CaptureQueriesContext(connection) as queries:
            assert client.get(f"/api/v1/{name}?limit={limit}").status_code == 200
        counts.append(reads(queries))
    assert counts == [2, 2]


def test_the_number_of_queries_of_a_search_does_not_grow(demo: int, client: Client) -> None:
    for name, text in (
        ("parts", "drive"),
        ("winch-models", "tansy"),
        ("winch-families", "bell"),
        ("makers", "a"),
    ):
        counts = []
        for limit in (1, 200):
            with CaptureQueriesContext(connection) as queries:
                assert client.get(f"/api/v1/{name}?search={text}&limit={limit}").status_code == 200
            counts.append(reads(queries))
        assert counts[0] == counts[1] <= 4


# --- filters

FILTERS = [
    ("winch-families", "maker", "maker"),
    ("winch-models", "family", "family"),
    ("winch-models", "size", "size"),
    ("production-runs", "model", "model"),
    ("production-runs", "base_pattern", "base_pattern"),
    ("production-runs", "spindle", "spindle"),
    ("parts", "kind", "kind"),
    ("parts", "maker", "maker"),
    ("parts", "status", "status"),
    ("parts", "sku", "sku"),
    ("parts", "gtin", "gtin"),
    ("exceptions", "sku", "sku"),
    ("exceptions", "with_sku", "with_sku"),
    ("exceptions", "family", "family"),
    ("exceptions", "model", "model"),
    ("exceptions", "run", "run"),
]


@pytest.mark.parametrize(("name", "parameter", "column"), FILTERS)
def test_a_filter_finds_the_rows_that_have_the_value(
    demo: int, client: Client, name: str, parameter: str, column: str
) -> None:
    rows = rows_of(name)
    for value in sorted({row[column] for row in rows} - {""})[:5]:
        expected = sorted(keys([row for row in rows if row[column] == value]))
        assert keys(every(client, name, **{parameter: value})) == expected


def test_every_filter_is_tried() -> None:
    tried = {(name, parameter) for name, parameter, _ in FILTERS}
    known = {(name, parameter) for name, view in lists() for parameter in filters_of(view)}
    assert known - tried == {("winch-models", "size_from"), ("winch-models", "size_to")}


def lists() -> list[tuple[str, type[RowList]]]:
    found = []
    for pattern in urls.urlpatterns:
        assert isinstance(pattern, URLPattern)
        view = getattr(pattern.callback, "view_class", None)
        if view and issubclass(view, RowList):
            found.append((str(pattern.pattern), view))
    return found


def filters_of(view: type[RowList]) -> dict[str, Filter]:
    filterset = getattr(view, "filterset_class", None)
    return dict(filterset.base_filters) if filterset else {}


def test_filters_are_on_fields_that_an_index_begins_with() -> None:
    looked_at = 0
    for _, view in lists():
        for one in filters_of(view).values():
            assert view.queryset is not None
            assert str(one.field_name).removesuffix("_id") in indexed(view.queryset.model), one.field_name
            looked_at += 1
    assert looked_at == len(FILTERS) + 2


def indexed(model: type[Model]) -> set[str]:
    indexes: list[Index] = list(model._meta.indexes)
    return {model._meta.pk.name, *(index.fields[0] for index in indexes if index.fields)}


def test_sizes_from_and_to(demo: int, client: Client) -> None:
    expected = sorted(row["code"] for row in rows_of("winch-models") if 40 <= int(row["size"]) <= 46)
    assert keys(every(client, "winch-models", size_from=40, size_to=46)) == expected
    assert expected


def test_filters_and_pages_go_together(demo: int, client: Client) -> None:
    expected = sorted(
        row["sku"] for row in rows_of("parts") if row["kind"] == "drive" and row["status"] == "current"
    )
    assert keys(every(client, "parts", kind="drive", status="current", limit=4)) == expected


def test_a_gtin_is_found_with_and_without_zeros(demo: int, client: Client) -> None:
    sku, gtin = next((row["sku"], row["gtin"]) for row in rows_of("parts") if row["gtin"])
    for form in (gtin, gtin.rjust(14, "0")):
        assert keys(every(client, "parts", gtin=form)) == [sku]


@pytest.mark.parametrize(
    ("query", "pointer"),
    [
        ("parts?kind=drives", "/kind"),
        ("parts?status=gone", "/status"),
        ("parts?gtin=12345", "/gtin"),
        ("parts?gtin=not-a-gtin", "/gtin"),
        ("parts?maker=Barleyloft", "/maker"),
        ("parts?sku=A%20B", "/sku"),
        ("parts?name=a", "/name"),
        ("parts?ordering=name", "/ordering"),
        ("parts/CHURN-112-24?unit=in", "/unit"),
        ("winch-models?size=large", "/size"),
        ("winch-models?size=2.5", "/size"),
        ("winch-models?size=0", "/size"),
        ("winch-models?size=1000", "/size"),
        ("winch-models?size_from=99999999999999999999", "/size_from"),
        ("winch-models?size_to=NaN", "/size_to"),
        ("production-runs?search=a", "/search"),
        ("revisions?limit=201", "/limit"),
        ("revisions?cursor=abc", "/cursor"),
        ("revisions/1?x=1", "/x"),
        ("revisions/1/files/parts.csv?x=1", "/x"),
    ],
)
def test_a_faulty_parameter_is_named(
    demo: int, client: Client, problem: Problem, query: str, pointer: str
) -> None:
    found = problem(client.get(f"/api/v1/{query}"), 400, "faulty-parameter")
    assert [entry["pointer"] for entry in found["errors"]] == [pointer]


@pytest.mark.parametrize("query", ["maker=nobody", "sku=NOTHING", "gtin=00000000", "sku=A/B%3F"])
def test_a_value_that_nothing_has_finds_nothing(demo: int, client: Client, query: str) -> None:
    assert client.get(f"/api/v1/parts?{query}").json() == {"items": [], "next": None, "previous": None}


@pytest.mark.parametrize(
    "query", ["parts?maker=", "parts?search=", "parts?search=%20%20", "parts?kind=", "winch-models?size="]
)
def test_an_empty_parameter_is_a_fault(demo: int, client: Client, problem: Problem, query: str) -> None:
    """It would silently be no filter, and the answer a wrong one."""
    found = problem(client.get(f"/api/v1/{query}"), 400, "faulty-parameter")
    assert found["errors"][0]["message"].endswith("empty; leave it out instead.")


# --- search


@pytest.mark.parametrize(
    ("name", "text", "first"),
    [
        ("winch-models", "tansy 60", "tansy-60"),
        ("winch-models", "tanys 60", "tansy-60"),
        ("winch-families", "tanzy", "tansy"),
        ("makers", "barleylotf", "barleyloft"),
        ("parts", "churn-112-24", "CHURN-112-24"),
        ("parts", "CHRUN 112 24", "CHURN-112-24"),
    ],
)
def test_search_forgives(demo: int, client: Client, name: str, text: str, first: str) -> None:
    assert keys(every(client, name, search=text))[0] == first


def test_search_pages_and_filters(demo: int, client: Client) -> None:
    whole = every(client, "parts", search="churn", limit=200)
    assert keys(every(client, "parts", search="churn", limit=3)) == keys(whole)
    assert len(set(keys(whole))) == len(whole) > 6
    withdrawn = keys([item for item in whole if item["kind"] == "drive"])
    assert keys(every(client, "parts", search="churn", kind="drive", limit=2)) == withdrawn


def test_a_cursor_of_a_search_is_not_one_of_the_list(demo: int, client: Client, problem: Problem) -> None:
    address = client.get("/api/v1/parts?search=churn&limit=2").json()["next"]
    problem(client.get(address.replace("search=churn", "kind=drive")), 400, "faulty-parameter")


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


# --- limits


def test_reading_has_a_limit_of_its_own(
    demo: int, client: Client, problem: Problem, settings: Settings
) -> None:
    settings.ANONYMOUS_READ_RATE = Rate.parse("2/day")
    for _ in range(2):
        assert client.get("/api/v1/makers").status_code == 200
    response = client.get("/api/v1/parts/CHURN-112-24")
    problem(response, 429, "too-many-requests")
    assert int(response.headers["Retry-After"]) > 0


def test_every_view_reads_in_public_and_is_limited() -> None:
    for pattern in urls.urlpatterns:
        view = getattr(pattern.callback, "view_class", None)
        if view:
            assert [limit.__name__ for limit in view.throttle_classes], view
            assert view.authentication_classes == ()
            assert issubclass(view, CatalogView) or view.http_method_names == ("post",)
