"""What all addresses share that read the newest revision of the catalog: lists by key, single rows, ETags.

A list names the shape of its rows, its queryset and its key; a detail its shape and its queryset. Nothing
here writes, so nobody is asked who they are.
"""

import hashlib
import json
from collections.abc import Callable, Iterable
from typing import Any, ClassVar, Protocol

from django.db.models import F, Model, QuerySet
from django.http import HttpResponse
from django.utils.http import parse_etags
from drf_spectacular.utils import OpenApiParameter, OpenApiResponse, extend_schema, extend_schema_view
from rest_framework.filters import BaseFilterBackend
from rest_framework.generics import GenericAPIView
from rest_framework.permissions import AllowAny
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from api.errors import NotFound
from api.filters import StrictFilters, refuse_empty, refuse_unknown
from api.renderers import FastJSON
from api.throttles import AnonymousReads
from api.v1.shapes import Json, Shape
from catalog.package import RESOURCES
from catalog.queries import NothingPublished, revision_info
from catalog.search import EXACT, LONGEST_SEARCH


class Find(Protocol):
    """What finds rows for a search, ranked, such as ``catalog.search.parts_like``."""

    def __call__(self, text: str, /) -> QuerySet[Any]: ...


CACHE = "public, max-age=60"
"""So long a reader may not notice a new revision; after that the ETag tells whether there is one."""


_CONTROLS = r"\x00-\x08\x0b\x0c\x0e-\x1f\x7f"
SEARCHABLE = rf"^[^{_CONTROLS}]*[^{_CONTROLS}\s][^{_CONTROLS}]*$"
"""What the doors let in and is not blank, as a pattern of JSON Schema."""
DECLARED = " ".join(name for resource in RESOURCES for name in (resource.name, *resource.names))
"""The columns of which every shape is made."""


class ForgivingSearch(BaseFilterBackend):
    """``?search=``: the likest first, for views that name what finds them."""

    parameter = "search"

    def filter_queryset(self, request: Request, queryset: QuerySet[Any], view: APIView) -> QuerySet[Any]:
        find: Find | None = getattr(view, "find", None)
        if find is None or self.parameter not in request.query_params:
            return queryset
        refuse_empty(request.query_params, {self.parameter})
        # Pages run one way for both parts of their order: the likest first, then by key, not from its end.
        found: QuerySet[Any] = find(request.query_params[self.parameter]).annotate(unlike=EXACT - F("rank"))
        return found

    def get_schema_operation_parameters(self, view: APIView) -> list[Json]:
        if getattr(view, "find", None) is None:
            return []
        about = (
            "What is looked for, also misspelt: by code, name and maker. The likest come first, instead of "
            f"the order by key. Beyond {LONGEST_SEARCH} characters it is cut off."
        )
        told = {"name": self.parameter, "in": "query", "required": False, "description": about}
        return [{**told, "schema": {"type": "string", "pattern": SEARCHABLE}}]


class CatalogView(GenericAPIView[Any]):
    """Public reading. ``get`` answers 304 when the reader has the present state already."""

    authentication_classes = ()
    permission_classes = (AllowAny,)
    throttle_classes = (AnonymousReads,)
    renderer_classes = (FastJSON,)
    http_method_names: ClassVar[list[str]] = ["get", "head"]  # type: ignore[misc]  # these views have no others
    shape: ClassVar[Shape]

    def get(self, request: Request, **named: Any) -> HttpResponse:
        # The tag is read first: were a revision published in between, the reader would only ask again.
        tag = self.tag(request.get_full_path())
        headers = {"Cache-Control": CACHE, **({"ETag": tag} if tag else {})}
        if tag and tag in parse_etags(request.headers.get("If-None-Match", "")):
            return Response(status=304, headers=headers)
        response = self.answer(request, **named)
        for name, value in headers.items():
            response.headers[name] = value
        return response

    def answer(self, request: Request, **named: Any) -> Response:
        raise NotImplementedError

    def tag(self, address: str) -> str | None:
        """The weak ETag of an address for the newest revision; None while nothing is published.

        The tables hold the newest revision alone, so that nothing else changes what is answered, but for a
        release of the program that gives rows another shape.
        """
        try:
            sha256 = revision_info().sha256
        except NothingPublished:
            return None
        shape = json.dumps(self.shape.schema, sort_keys=True)
        made = hashlib.sha256("\n".join((sha256, DECLARED, shape, address)).encode()).hexdigest()
        return f'W/"{made[:32]}"'


class RowList(CatalogView):
    """Pages of rows in the order of their key."""

    action = "list"
    """What tells the maker of the OpenAPI document that there are pages and filters."""
    filter_backends = (ForgivingSearch, StrictFilters)
    find: ClassVar[Find | None] = None
    paging_key: ClassVar[str] = "code"

    @property
    def own_parameters(self) -> set[str]:
        return {ForgivingSearch.parameter} if self.find else set()

    def get_paging_key(self) -> str:
        searched = self.find and ForgivingSearch.parameter in self.request.query_params
        return "unlike" if searched else self.paging_key

    def answer(self, request: Request, **named: Any) -> Response:
        page = self.paginate_queryset(self.filter_queryset(self.get_queryset()))
        return self.get_paginated_response(self.shape.all_as_json(page or []))


class RowDetail(CatalogView):
    """One row by its key, which the address holds under the name ``lookup_field``."""

    filter_backends = ()
    pagination_class = None
    lookup_field = "code"

    def answer(self, request: Request, **named: Any) -> Response:
        refuse_unknown(request.query_params, set())
        return Response(self.shape.as_json(self.row(**named)))

    def row(self, **named: Any) -> Model:
        found: Model | None = self.get_queryset().filter(pk=named[self.lookup_field]).first()
        if found is None:
            raise NotFound
        return found


# --- documentation


def documented_list(
    tag: str, what: str, shape: Shape, about: str = ""
) -> Callable[[type[RowList]], type[RowList]]:
    """Say of a list what it lists (``what`` in the plural)."""
    return _documented(
        operation_id=f"list_{what.replace(' ', '_')}",
        tags=[tag],
        summary=f"List {what}",
        description=about or shape.about,
        responses={200: OpenApiResponse(shape.ref, description=f"One page of {what}, by key.")},
    )


def documented_detail(
    tag: str, what: str, shape: Shape, key: OpenApiParameter
) -> Callable[[type[RowDetail]], type[RowDetail]]:
    """Say of a detail what it shows (``what`` in the singular)."""
    return _documented(
        operation_id=f"read_{what.replace(' ', '_')}",
        tags=[tag],
        summary=f"Read one {what}",
        description=shape.about,
        parameters=[key],
        responses={200: OpenApiResponse(shape.ref, description=shape.about)},
    )


def _documented[V: type[APIView]](
    *, parameters: Iterable[OpenApiParameter] = (), **words: Any
) -> Callable[[V], V]:
    told = [*parameters, IF_NONE_MATCH]
    responses = {**words.pop("responses"), 304: OpenApiResponse(description="Nothing has changed.")}

    def decorate(view: V) -> V:
        return extend_schema_view(get=extend_schema(parameters=told, responses=responses, **words))(view)

    return decorate


IF_NONE_MATCH = OpenApiParameter(
    "If-None-Match",
    str,
    OpenApiParameter.HEADER,
    description="The `ETag` of an answer that is kept; when it still holds, the answer is an empty 304.",
)
