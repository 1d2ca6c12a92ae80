"""Forgiving search: misspelt, by any name, the likest first."""

from pathlib import Path

import pytest
from django.db import connection, transaction
from django.test.utils import CaptureQueriesContext

from catalog.queries import search_models, search_parts
from catalog.search import EXACT, models_like, parts_like, tidy
from shared.tenancy import NoTransaction
from tests.catalog.conftest import Keeper
from tests.catalog.packages import Draft, small

pytestmark = pytest.mark.django_db


@pytest.fixture
def catalog(keeper: Keeper, tmp_path: Path) -> Draft:
    draft = small()
    draft.add("makers", code="hollow", name="Hollow & Daughters")
    draft.add("parts", sku="+SW.77", kind="switch", maker="hollow", name="Twin deck button", status="current")
    draft.add("switches", sku="+SW.77", buttons=2, max_volts=32)
    keeper.publish(draft.package(tmp_path))
    return draft


@pytest.mark.parametrize(
    ("text", "first"),
    [
        ("Osier 40", "osier-40"),
        ("osire 40", "osier-40"),
        ("OSEIR", "osier-40"),
        ("rush-16", "rush-16"),
        ("rsuh 16", "rush-16"),
        ("rush", "rush-16"),
        ("tarn osier", "osier-40"),
        ("  osier \t 40 ", "osier-40"),
    ],
)
def test_a_model_is_found_also_misspelt(catalog: Draft, text: str, first: str) -> None:
    assert search_models(text)[0].code == first


def test_a_model_is_found_by_its_maker(catalog: Draft) -> None:
    assert [model.code for model in search_models("Tarn Wroks")] == ["osier-40", "rush-16"]


@pytest.mark.parametrize(
    ("text", "first"),
    [
        ("AD-1", "AD-1"),
        ("ad-1", "AD-1"),
        ("6291041500213", "AD-1"),
        ("06291041500213", "AD-1"),
        ("6291041 500213", "AD-1"),
        ("+SW.77", "+SW.77"),
        ("twin buton", "+SW.77"),
        ("Holow and Daughters", "+SW.77"),
    ],
)
def test_a_part_is_found_also_misspelt(catalog: Draft, text: str, first: str) -> None:
    assert search_parts(text)[0].sku == first


def test_the_very_code_comes_first(catalog: Draft) -> None:
    with transaction.atomic():
        ranks = list(parts_like("sh-1").values_list("sku", "rank"))  # type: ignore[misc]  # annotated
    assert ranks[0] == ("SH-1", EXACT)
    assert all(0 <= rank <= 1_000 for _, rank in ranks[1:])


def test_equal_ranks_are_ordered_by_key(catalog: Draft) -> None:
    with transaction.atomic():
        ranked = parts_like("tarn works").values_list("rank", "sku")  # type: ignore[misc]  # annotated
        found = [(-rank, sku) for rank, sku in ranked]
    assert len(found) == 12
    assert found == sorted(found)


@pytest.mark.parametrize("text", ["", " ", "\0", "\n\t", "\u200b"])
def test_nothing_finds_nothing(catalog: Draft, text: str) -> None:
    assert search_models(text) == []
    assert search_parts(text) == []


@pytest.mark.parametrize("text", ["%", "_", "'", "\\", "x" * 10_000, "a\0b", "🧷", "%(s)s"])
def test_odd_texts_do_no_harm(catalog: Draft, text: str) -> None:
    search_models(text)
    search_parts(text)


def test_what_is_looked_for_is_tidied() -> None:
    assert tidy("  a\0b \n c  ") == "a b c"
    assert len(tidy("x" * 1_000)) == 100


def test_the_limit_is_kept(catalog: Draft) -> None:
    assert len(search_parts("tarn", limit=3)) == 3
    assert len(search_parts("tarn", limit=-1)) == 1


@pytest.mark.django_db(transaction=True)
def test_how_forgiving_it_is_ends_with_the_transaction() -> None:
    with pytest.raises(NoTransaction):
        models_like("osier")
    search_models("osier")
    with connection.cursor() as cursor:
        cursor.execute("SELECT current_setting('pg_trgm.word_similarity_threshold')")
        assert cursor.fetchone() == ("0.6",)


def test_a_search_asks_few_queries(catalog: Draft) -> None:
    with CaptureQueriesContext(
        connection,
    ) as asked:
        for part in search_parts("tarn"):
            assert part.maker.name
    assert len(asked) <= 5
