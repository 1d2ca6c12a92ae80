"""Kinds of filters for lists of the catalog. Each filters on fields that an index begins with.

A value that no row can have, such as a code with a capital, is a fault; one that no row has finds nothing.
"""

from collections.abc import Iterable
from enum import StrEnum
from typing import Any

from django.core.validators import RegexValidator
from django.db.models import QuerySet
from django.forms import IntegerField
from django_filters import CharFilter, ChoiceFilter, NumberFilter
from drf_spectacular.drainage import set_override

from catalog.package.kinds import CODE_PATTERN, GTIN_PATTERN, SKU_PATTERN
from catalog.search import gtin_forms


class PatternFilter(CharFilter):
    """A text of one form."""

    def __init__(self, field: str, about: str, *, pattern: str, form: str) -> None:
        super().__init__(
            field_name=field, help_text=about, validators=[RegexValidator(f"^{pattern}\\Z", form)]
        )
        set_override(self, "field", {"type": "string", "pattern": f"^{pattern}$", "description": about})


class CodeFilter(PatternFilter):
    """Rows that refer to this code."""

    def __init__(self, field: str, about: str) -> None:
        form = "a code: small letters and digits, in groups joined by hyphens."
        super().__init__(f"{field}_id", about, pattern=CODE_PATTERN, form=form)


class SkuFilter(PatternFilter):
    """Rows with, or that refer to, this part number."""

    def __init__(self, field: str, about: str) -> None:
        super().__init__(field, about, pattern=SKU_PATTERN, form="a part number, without spaces.")


class GtinFilter(PatternFilter):
    """A GTIN, with zeros before it or without."""

    def __init__(self, field: str, about: str) -> None:
        form = "a GTIN of 8, 12, 13 or 14 digits."
        super().__init__(field, about, pattern=GTIN_PATTERN, form=form)

    def filter(self, qs: QuerySet[Any], value: str) -> QuerySet[Any]:
        return qs.filter(**{f"{self.field_name}__in": gtin_forms(value)}) if value else qs


class WholeFilter(NumberFilter):
    """A whole number within bounds."""

    field_class = IntegerField  # type: ignore[assignment]  # the stubs know decimal numbers only

    def __init__(self, field: str, about: str, *, least: int, most: int, lookup: str = "exact") -> None:
        super().__init__(
            field_name=field, lookup_expr=lookup, help_text=about, min_value=least, max_value=most
        )
        schema = {"type": "integer", "minimum": least, "maximum": most, "description": about}
        set_override(self, "field", schema)


class OneOfFilter(ChoiceFilter):
    """One member of an enumeration."""

    def __init__(self, field: str, about: str, among: Iterable[StrEnum]) -> None:
        names = [str(one) for one in among]
        super().__init__(field_name=field, help_text=about, choices=[(name, name) for name in names])
        set_override(self, "field", {"type": "string", "enum": names, "description": about})
