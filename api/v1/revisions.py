"""Revisions: the published, immutable states of the catalog, and the files that each is made of."""

from collections.abc import Iterable
from typing import Any

from django.http import HttpResponse
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiParameter, OpenApiResponse, extend_schema
from rest_framework.negotiation import BaseContentNegotiation
from rest_framework.parsers import BaseParser
from rest_framework.renderers import BaseRenderer
from rest_framework.request import Request

from api.errors import NotFound
from api.filters import refuse_unknown
from api.v1.keys import number_key
from api.v1.reading import CatalogView, RowDetail, RowList, documented_detail, documented_list
from api.v1.shapes import Json, Shape, list_of
from catalog.models import Revision
from catalog.package import DESCRIPTION
from catalog.queries import UnknownRevision, file_hashes, revision_info, stored_file

FOREVER = "public, max-age=31536000, immutable"
SHA_256: Json = {"type": "string", "pattern": "^[0-9a-f]{64}$"}
FILE: Json = {
    "type": "object",
    "required": ["name", "sha256"],
    "properties": {
        "name": {"type": "string", "examples": ["parts.csv"]},
        "sha256": {**SHA_256, "description": "Of its bytes, in hex."},
    },
}
SHAPE = (
    Shape("Revision", "A published state of the catalog. It never changes.", {}, {})
    .member(
        "number",
        {"type": "integer", "minimum": 1, "description": "Counted from 1, without a gap."},
        lambda row: row.number,
    )
    .member(
        "sha256",
        {**SHA_256, "description": f"Of its `{DESCRIPTION}`, which holds those of all its files."},
        lambda row: row.sha256,
    )
    .member(
        "published_at",
        {"type": "string", "format": "date-time", "description": "When, in UTC."},
        lambda row: row.published_at.isoformat().replace("+00:00", "Z"),
    )
    .member("note", {"type": "string", "description": "What its keeper said about it."}, lambda row: row.note)
    .member(
        "counts",
        {
            "type": "object",
            "additionalProperties": {"type": "integer", "minimum": 0},
            "description": "Rows by table.",
        },
        lambda row: row.counts,
    )
)
DETAIL = SHAPE.named("RevisionDetail", "A published state of the catalog, with its files.").member(
    "files",
    list_of(FILE, f"`{DESCRIPTION}` and the tables that it describes."),
    lambda row: [
        {"name": name, "sha256": sha256} for name, sha256 in file_hashes(revision_info(row.number)).items()
    ],
)
NUMBER = number_key(1)


@documented_list("Revisions", "revisions", SHAPE, "The newest first.")
class RevisionList(RowList):
    shape = SHAPE
    queryset = Revision.objects.all()
    paging_key = "-number"


@documented_detail("Revisions", "revision", DETAIL, NUMBER)
class RevisionDetail(RowDetail):
    shape = DETAIL
    lookup_field = "number"
    queryset = Revision.objects.all()


class AsItIs(BaseContentNegotiation):
    """A stored file has one form, whatever the request would rather have."""

    def select_parser(self, request: Request, parsers: Iterable[BaseParser]) -> BaseParser:
        return next(iter(parsers))

    def select_renderer(
        self, request: Request, renderers: Iterable[BaseRenderer], format_suffix: str | None = None
    ) -> tuple[BaseRenderer, str]:
        first = next(iter(renderers))
        return first, first.media_type


class RevisionFile(CatalogView):
    """One file, byte for byte as it was published."""

    content_negotiation_class = AsItIs
    filter_backends = ()
    pagination_class = None
    queryset = Revision.objects.all()

    @extend_schema(
        operation_id="read_revision_file",
        tags=["Revisions"],
        summary="Read one file of a revision",
        description="Byte for byte as it was published; its SHA-256 is the one that the revision states.",
        parameters=[
            NUMBER,
            OpenApiParameter(
                "name",
                {"type": "string", "pattern": "^[a-z_]+[.](csv|json)$", "examples": [DESCRIPTION]},
                OpenApiParameter.PATH,
                description="The file's name, as the revision lists it.",
            ),
        ],
        responses={
            (200, "text/csv"): OpenApiResponse(OpenApiTypes.STR, description="The file."),
            (200, "application/json"): OpenApiResponse(OpenApiTypes.OBJECT, description="The file."),
        },
    )
    def get(self, request: Request, **named: Any) -> HttpResponse:
        refuse_unknown(request.query_params, set())
        try:
            hashes = file_hashes(revision_info(named["number"]))
        except UnknownRevision:
            raise NotFound from None
        name = named["name"]
        if name not in hashes:
            raise NotFound
        response = HttpResponse(stored_file(hashes[name]), content_type=_media_type(name))
        response.headers["Cache-Control"] = FOREVER
        response.headers["ETag"] = f'"{hashes[name]}"'
        response.headers["Content-Disposition"] = f'attachment; filename="{name}"'
        return response


def _media_type(name: str) -> str:
    return "application/json" if name == DESCRIPTION else "text/csv; charset=utf-8"
