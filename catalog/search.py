"""Forgiving search in the newest revision: by code, SKU, GTIN, name, family or maker, also misspelt.

Words are compared by their trigrams (pg_trgm): ``osire`` finds Osier. How alike two texts are is counted in
thousandths, an integer, so that pages by (rank, key) neither repeat nor skip a row.
"""

from typing import Any

from django.contrib.postgres.search import TrigramWordSimilarity
from django.db import connection, transaction
from django.db.models import Case, IntegerField, Q, QuerySet, Value, When
from django.db.models.expressions import Combinable
from django.db.models.functions import Cast, Concat, Floor

from catalog.models import Maker, Part, WinchFamily, WinchModel
from shared.tenancy import require_transaction

LIKE_ENOUGH = "0.3"
"""From this word similarity on, a text is found. At the usual 0.6 two swapped letters would hide a word."""
LONGEST_SEARCH = 100
USUAL_LIMIT, LARGEST_LIMIT = 20, 200
EXACT = 2_000
"""The rank of the very code; the likest text has 1000."""


def search_models(text: str, *, limit: int = USUAL_LIMIT) -> list[WinchModel]:
    """The first of ``models_like``, in a transaction of its own where none is open."""
    with transaction.atomic():
        return list(models_like(text)[: _bounded(limit)])


def search_parts(text: str, *, limit: int = USUAL_LIMIT) -> list[Part]:
    """The first of ``parts_like``, in a transaction of its own where none is open."""
    with transaction.atomic():
        return list(parts_like(text)[: _bounded(limit)])


def makers_like(text: str) -> QuerySet[Maker]:
    """Makers by code or name, the likest first, then by code.

    Each carries ``rank``. Evaluate it in the transaction that is open: how forgiving it is ends with that.
    """
    wanted = tidy(text)
    if not wanted:
        return Maker.objects.none().annotate(rank=Value(0))
    _be_forgiving()
    exact = Q(code__in=_cases(wanted)) | Q(name__in=_cases(wanted))
    found = Maker.objects.filter(_like("name", wanted) | exact)
    words = Concat("name", Value(" "), "code")
    return found.annotate(rank=_rank(wanted, words, exact)).order_by("-rank", "code")


def families_like(text: str) -> QuerySet[WinchFamily]:
    """Winch families by code, name or maker, the likest first, then by code; the maker comes along.

    Each carries ``rank``. Evaluate it in the transaction that is open: how forgiving it is ends with that.
    """
    wanted = tidy(text)
    if not wanted:
        return WinchFamily.objects.none().annotate(rank=Value(0))
    _be_forgiving()
    makers = list(_keys(Maker.objects.filter(_like("name", wanted))))
    exact = Q(code__in=_cases(wanted)) | Q(name__in=_cases(wanted))
    found = WinchFamily.objects.filter(_like("name", wanted) | Q(maker__in=makers) | exact)
    space = Value(" ")
    words = Concat("maker__name", space, "name", space, "code")
    ranked = found.select_related("maker").annotate(rank=_rank(wanted, words, exact))
    return ranked.order_by("-rank", "code")


def models_like(text: str) -> QuerySet[WinchModel]:
    """Winch models by code, name, family or maker, the likest first, then by code; those come along.

    Each carries ``rank``. Evaluate it in the transaction that is open: how forgiving it is ends with that.
    """
    wanted = tidy(text)
    if not wanted:
        return WinchModel.objects.none().annotate(rank=Value(0))
    _be_forgiving()
    makers = Maker.objects.filter(_like("name", wanted))
    families = WinchFamily.objects.filter(_like("name", wanted) | Q(maker__in=list(_keys(makers))))
    exact = Q(code__in=_cases(wanted)) | Q(name__in=_cases(wanted))
    like = _like("name", wanted) | _like("code", wanted) | Q(family__in=list(_keys(families))) | exact
    space = Value(" ")
    words = Concat("family__maker__name", space, "family__name", space, "name", space, "code")
    found = WinchModel.objects.filter(like).select_related("family__maker")
    return found.annotate(rank=_rank(wanted, words, exact)).order_by("-rank", "code")


def parts_like(text: str) -> QuerySet[Part]:
    """Parts by SKU, GTIN, name or maker, the likest first, then by SKU; the maker comes along.

    Each carries ``rank``. Evaluate it in the transaction that is open: how forgiving it is ends with that.
    """
    wanted = tidy(text)
    if not wanted:
        return Part.objects.none().annotate(rank=Value(0))
    _be_forgiving()
    # Asked apart, so that what is left is a search in indexes of one table.
    makers = list(_keys(Maker.objects.filter(_like("name", wanted))))
    exact = Q(sku__in=_cases(wanted)) | Q(gtin__in=gtin_forms(wanted))
    like = _like("name", wanted) | _like("sku", wanted) | Q(maker__in=makers) | exact
    space = Value(" ")
    words = Concat("maker__name", space, "name", space, "sku")
    found = Part.objects.filter(like).select_related("maker")
    return found.annotate(rank=_rank(wanted, words, exact)).order_by("-rank", "sku")


def tidy(text: str) -> str:
    """What is looked for: one line, single spaces, at most ``LONGEST_SEARCH`` characters."""
    printable = "".join(letter if letter.isprintable() else " " for letter in text[: 4 * LONGEST_SEARCH])
    return " ".join(printable.split())[:LONGEST_SEARCH].rstrip()


def _be_forgiving() -> None:
    require_transaction()
    with connection.cursor() as cursor:
        cursor.execute("SELECT set_config('pg_trgm.word_similarity_threshold', %s, true)", [LIKE_ENOUGH])


def _like(field: str, wanted: str) -> Q:
    return Q(**{f"{field}__trigram_word_similar": wanted})


def _rank(wanted: str, words: Combinable, exact: Q) -> Case:
    alike = Cast(Floor(TrigramWordSimilarity(wanted, words) * 1000), IntegerField())
    return Case(When(exact, then=Value(EXACT)), default=alike, output_field=IntegerField())


def _keys(found: QuerySet[Any]) -> QuerySet[Any, str]:
    return found.values_list("pk", flat=True)


def _cases(wanted: str) -> set[str]:
    """As it was typed, and in the two usual cases: an index finds each."""
    return {wanted, wanted.lower(), wanted.upper()}


def gtin_forms(wanted: str) -> set[str]:
    """A GTIN as it may be stored: of 8, 12, 13 or 14 digits, with zeros before it or without."""
    digits = wanted.replace(" ", "")
    if not (digits.isascii() and digits.isdigit() and 8 <= len(digits) <= 14):
        return set()
    bare = digits.lstrip("0")
    return {bare.rjust(length, "0") for length in (8, 12, 13, 14) if len(bare) <= length}


def _bounded(limit: int) -> int:
    return max(1, min(limit, LARGEST_LIMIT))
