"""The OpenAPI document: made once in each process, since nothing in it depends on a request."""

import hashlib
from functools import cache
from typing import Any

import orjson
from django.http import HttpRequest, HttpResponse
from django.utils.http import parse_etags
from django.views.decorators.csrf import csrf_exempt
from drf_spectacular.generators import SchemaGenerator

from api.errors import MethodNotAllowed
from api.problems import answer
from shared.middleware import without_transaction


@cache
def document() -> dict[str, Any]:
    """The document as plain values. Do not change it."""
    generator: Any = SchemaGenerator
    made: dict[str, Any] = orjson.loads(orjson.dumps(generator().get_schema(request=None, public=True)))
    return made


@cache
def _written() -> tuple[bytes, str]:
    body = orjson.dumps(document(), option=orjson.OPT_INDENT_2)
    return body, f'"{hashlib.sha256(body).hexdigest()[:32]}"'


@csrf_exempt
@without_transaction
def openapi(request: HttpRequest) -> HttpResponse:
    if request.method not in {"GET", "HEAD"}:
        return answer(request, MethodNotAllowed(method=request.method), {"Allow": "GET, HEAD"})
    body, tag = _written()
    known = tag in parse_etags(request.headers.get("If-None-Match", ""))
    response = HttpResponse(status=304) if known else HttpResponse(body, content_type="application/json")
    response.headers["ETag"] = tag
    response.headers["Cache-Control"] = "public, max-age=300"
    return response
