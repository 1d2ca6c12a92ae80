"""Reading the catalog: pages by key, filters, forgiving search, limits, a fixed number of queries."""

import pytest
from django.db import connection
from django.db.models import Index, Model
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import URLPattern
from django_filters import Filter
from pytest_django import Settings

from api.v1 import urls
from api.v1.reading import CatalogView, RowList
from shared.rates import Rate
from tests.api.conftest import Problem
from tests.api.v1.rows import TABLES, as_text, every, keys, reads, rows_of

pytestmark = pytest.mark.django_db(databases=["default", "apart"])

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
