"""Kinds of filters for lists of the catalog. Each filters on fields that an index begins with."""

from collections.abc import Iterable
from enum import StrEnum
from typing import Any

from django.core.validators import RegexValidator
from django.db.models import QuerySet
from django.forms import IntegerField
from django_filters import CharFilter, ChoiceFilter, NumberFilter

from catalog.package.kinds import GTIN_PATTERN
from catalog.search import gtin_forms


class KeyFilter(CharFilter):
    """Rows that refer to this key. One that does not exist finds nothing."""

    def __init__(self, field: str, about: str) -> None:
        super().__init__(field_name=f"{field}_id", help_text=about)


class WholeFilter(NumberFilter):
    """A whole number within bounds."""

    field_class = IntegerField  # type: ignore[assignment]  # the stubs know decimal numbers only

    def __init__(self, field: str, about: str, *, least: int, most: int, lookup: str = "exact") -> None:
        super().__init__(
            field_name=field, lookup_expr=lookup, help_text=about, min_value=least, max_value=most
        )


class OneOfFilter(ChoiceFilter):
    """One member of an enumeration."""

    def __init__(self, field: str, about: str, among: Iterable[StrEnum]) -> None:
        super().__init__(field_name=field, help_text=about, choices=[(str(one), str(one)) for one in among])


class GtinFilter(CharFilter):
    """A GTIN, with zeros before it or without."""

    def __init__(self, field: str, about: str) -> None:
        wrong = RegexValidator(f"^{GTIN_PATTERN}$", "a GTIN of 8, 12, 13 or 14 digits.")
        super().__init__(field_name=field, help_text=about, validators=[wrong])

    def filter(self, qs: QuerySet[Any], value: str) -> QuerySet[Any]:
        return qs.filter(**{f"{self.field_name}__in": gtin_forms(value)}) if value else qs
