"""Pages of a list by key, not by number: stable while rows come and go, and as fast at the end as at the
start.

A list is ordered by (key, primary key). A page ends with a row, and the next begins after that row's pair, so
rows with equal keys are neither repeated nor left out. The place is kept in a signed cursor; one that was
tampered with, or that belongs to another order, is a 400. A view names its key:

    class PartList(ListAPIView):
        paging_key = "sku"              # or "-lead_time_days"; a field or an annotation, never null
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from operator import attrgetter
from typing import Any

from django.core import signing
from django.core.exceptions import ValidationError
from django.db.models import Model, Q, QuerySet
from rest_framework.pagination import BasePagination
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.utils.urls import remove_query_param, replace_query_param
from rest_framework.views import APIView

from api.filters import refuse_parameters

USUAL_SIZE = 50
LARGEST_SIZE = 200
LONGEST_CURSOR = 1_000
_SALT = "pawlbook.paging"


@dataclass(frozen=True, slots=True)
class Place:
    """Where a page begins: after (or, going back, before) the row with this key and primary key."""

    order: str
    back: bool
    key: str
    pk: str

    def signed(self) -> str:
        return signing.dumps([self.order, self.back, self.key, self.pk], salt=_SALT)


class KeysetPages(BasePagination):
    """The API's pages: ``?limit=`` rows (50, at most 200) from ``?cursor=``; links in body and header."""

    parameters = ("limit", "cursor")

    def paginate_queryset[M: Model](  # type: ignore[override]  # pages are of rows, not of any sequence
        self, queryset: QuerySet[M], request: Request, view: APIView | None = None
    ) -> list[M]:
        self._address = request.build_absolute_uri()
        self._order = _order_of(view)
        size = _size(request.query_params.get("limit"))
        place = _place(request.query_params.get("cursor"), self._order)
        back = place is not None and place.back
        rows = list(_from_place(queryset, self._order, place)[: size + 1])
        more, page = len(rows) > size, rows[:size]
        if back:
            page.reverse()
        self._next = self._link(page[-1:], back=False) if (more or back) else None
        self._previous = self._link(page[:1], back=True) if (more if back else place) else None
        return page

    def get_paginated_response(self, data: Sequence[Any]) -> Response:
        links = {
            "next": self._next,
            "prev": self._previous,
            "first": remove_query_param(self._address, "cursor"),
        }
        header = ", ".join(f'<{address}>; rel="{rel}"' for rel, address in links.items() if address)
        body = {"items": data, "next": self._next, "previous": self._previous}
        return Response(body, headers={"Link": header})

    def get_results(self, data: Mapping[str, Any]) -> Any:  # noqa: ANN401 - the base's signature
        return data["items"]

    def get_paginated_response_schema(self, schema: dict[str, Any]) -> dict[str, Any]:
        link = {"type": ["string", "null"], "format": "uri"}
        return {
            "type": "object",
            "required": ["items", "next", "previous"],
            "properties": {
                "items": {**schema, "description": "The rows of this page."},
                "next": {**link, "description": "Address of the next page; null on the last one."},
                "previous": {**link, "description": "Address of the page before; null on the first one."},
            },
        }

    def get_schema_operation_parameters(self, view: APIView) -> list[dict[str, Any]]:
        return [
            {
                "name": "limit",
                "in": "query",
                "required": False,
                "description": "How many rows a page holds.",
                "schema": {"type": "integer", "minimum": 1, "maximum": LARGEST_SIZE, "default": USUAL_SIZE},
            },
            {
                "name": "cursor",
                "in": "query",
                "required": False,
                "description": "Where the page begins: taken from the links of another page, never made.",
                "schema": {"type": "string", "maxLength": LONGEST_CURSOR},
            },
        ]

    def _link(self, edge: Sequence[Model], *, back: bool) -> str | None:
        for row in edge:
            place = Place(order=self._order, back=back, key=_key_of(row, self._order), pk=str(row.pk))
            return replace_query_param(self._address, "cursor", place.signed())
        return None


def _order_of(view: APIView | None) -> str:
    chosen = getattr(view, "get_paging_key", None)
    order = chosen() if chosen else getattr(view, "paging_key", None)
    if not order:
        raise TypeError(f"{type(view).__name__} must name its paging_key.")
    return str(order)


def _size(given: str | None) -> int:
    if given is None:
        return USUAL_SIZE
    if not (given.isascii() and given.isdecimal() and 1 <= int(given[:6]) <= LARGEST_SIZE):
        refuse_parameters([("limit", f"a whole number from 1 to {LARGEST_SIZE}.")])
    return int(given)


def _place(given: str | None, order: str) -> Place | None:
    if given is None:
        return None
    try:
        place = Place(*signing.loads(given[: LONGEST_CURSOR + 1], salt=_SALT))
    except signing.BadSignature:
        place = None
    if place is None or place.order != order:
        refuse_parameters([("cursor", "not a cursor of this list. Take it from the links of a page.")])
    return place


def _from_place[M: Model](queryset: QuerySet[M], order: str, place: Place | None) -> QuerySet[M]:
    key, falling = order.removeprefix("-"), order.startswith("-")
    if place is None:
        return _ordered(queryset, key, falling=falling)
    falling ^= place.back
    beyond = "lt" if falling else "gt"
    try:
        value = _output_field(queryset, key).to_python(place.key)
        pk = queryset.model._meta.pk.to_python(place.pk)
    except ValidationError:  # the kind of the key has changed since the cursor was made
        refuse_parameters([("cursor", "it is from before a change of the program. Begin again.")])
        raise
    # The first condition says nothing new, and lets the index on the key find the beginning.
    after = Q(**{f"{key}__{beyond}e": value}) & (
        Q(**{f"{key}__{beyond}": value}) | Q(**{f"pk__{beyond}": pk})
    )
    return _ordered(queryset.filter(after), key, falling=falling)


def _ordered[M: Model](queryset: QuerySet[M], key: str, *, falling: bool) -> QuerySet[M]:
    sign = "-" if falling else ""
    return queryset.order_by(f"{sign}{key}", f"{sign}pk")


def _output_field(queryset: QuerySet[Any], key: str) -> Any:  # noqa: ANN401 - any field of Django's
    annotation = queryset.query.annotations.get(key)
    if annotation is not None:
        return annotation.output_field
    model, field = queryset.model, None
    for part in key.split("__"):
        field = model._meta.get_field(part)
        model = field.related_model or model
    return field


def _key_of(row: Model, order: str) -> str:
    value = attrgetter(order.removeprefix("-").replace("__", "."))(row)
    if value is None:
        raise ValueError(f"{order} is null in {row!r}: it cannot be the key of a page.")
    return str(value)
