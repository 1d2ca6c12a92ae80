"""Rows of any resource by Hypothesis: every value that a column takes, whatever the rules between columns."""

from datetime import date
from decimal import Decimal
from typing import Any

from hypothesis import strategies as st
from stdnum import ean

from catalog.package import Column, Resource
from catalog.package.kinds import Amount, Choice, Code, Currency, Day, Gtin, Number, Sku, Text, Whole, YesNo
from shared.money import PLACES

_SLUG = st.text("abcdefghijklmnopqrstuvwxyz0123456789", min_size=1, max_size=8)


def rows_of(resource: Resource[Any]) -> st.SearchStrategy[Any]:
    return st.tuples(*map(_values, resource.columns)).map(lambda values: resource.make(list(values)))


def _values(column: Column) -> st.SearchStrategy[Any]:
    kind: st.SearchStrategy[Any] = _KINDS[type(column.kind)](column.kind)
    return st.none() | kind if column.optional else kind


def _numbers(kind: Number) -> st.SearchStrategy[Decimal]:
    scale = 10**kind.places
    whole = st.integers(int(kind.least * scale), int(kind.most * scale))
    return whole.map(lambda number: (Decimal(number) / scale).normalize())


def _gtins(_kind: Gtin) -> st.SearchStrategy[str]:
    bare = st.sampled_from([7, 11, 12, 13]).flatmap(
        lambda size: st.text("0123456789", min_size=size, max_size=size)
    )
    return bare.map(lambda digits: digits + ean.calc_check_digit(digits))


def _texts(kind: Text) -> st.SearchStrategy[str]:
    letters = st.characters(codec="utf-8", exclude_categories=["C", "Zl", "Zp", "Zs"], include_characters=" ")
    return st.text(letters, min_size=1, max_size=min(kind.longest, 40)).filter(
        lambda text: text.isprintable() and text == text.strip(" ")
    )


_KINDS: dict[type, Any] = {
    Text: _texts,
    Code: lambda _kind: st.lists(_SLUG, min_size=1, max_size=3).map("-".join),
    Sku: lambda kind: st.text(
        st.characters(min_codepoint=33, max_codepoint=126), min_size=1, max_size=kind.longest
    ),
    Number: _numbers,
    Amount: _numbers,
    Whole: lambda kind: st.sampled_from(kind.choices) if kind.choices else st.integers(kind.least, kind.most),
    YesNo: lambda _kind: st.booleans(),
    Day: lambda _kind: st.dates(date(1900, 1, 1), date(2199, 12, 31)),
    Choice: lambda kind: st.sampled_from(list(kind.among.values())),
    Currency: lambda _kind: st.sampled_from(sorted(PLACES)),
    Gtin: _gtins,
}
