"""What a refusal looks like over HTTP: problem details (RFC 9457) for the API, a plain page for people.

Whatever is raised becomes one of our error classes (``as_error``), each class has one status (``STATUSES``),
and one function makes the answer (``answer``). A problem holds

    {"type": "urn:pawlbook:problem:faulty-input", "title": "...", "status": 422, "detail": "...",
     "errors": [{"pointer": "/survey/deck_thickness", "code": "not-a-number", "message": "..."}],
     "help": "/problems/faulty-input", "request_id": "..."}

where ``errors`` is there for faults of the input only. No SQL, path or trace is ever part of it.
"""

import json
import logging
import math
import re
import sys
from collections.abc import Iterator, Mapping
from functools import cache
from importlib import import_module
from pkgutil import walk_packages
from typing import Any

from django.conf import settings
from django.core.exceptions import (
    BadRequest,
    PermissionDenied,
    RequestDataTooBig,
    SuspiciousOperation,
    TooManyFieldsSent,
    TooManyFilesSent,
)
from django.core.signals import got_request_exception
from django.db import OperationalError
from django.http import Http404, HttpRequest, HttpResponse
from django.http.multipartparser import MultiPartParserError
from django.template.loader import render_to_string
from rest_framework import exceptions as drf

from api import errors
from shared.errors import (
    FaultyInput,
    GaveUp,
    ManyFaults,
    PawlbookError,
    Refused,
    Stale,
    Unreadable,
    every_class,
    json_pointer,
)
from shared.middleware import NotKept
from shared.tracing import current_request_id
from shared.words import N_

NON_FIELD = "non_field_errors"

log = logging.getLogger(__name__)

MEDIA_TYPE = "application/problem+json"
RETRY_SECONDS = 2
PACKAGES = ("shared", "catalog", "projects", "api")
NOT_ASKED = re.compile(r"\.(migrations|management|__main__|wsgi)\b")

STATUSES: Mapping[type[PawlbookError], int] = {
    Unreadable: 400,
    errors.FaultyParameters: 400,
    errors.SignInNeeded: 401,
    errors.NotAllowed: 403,
    errors.NotFound: 404,
    errors.MethodNotAllowed: 405,
    errors.NotAcceptable: 406,
    Refused: 409,
    errors.ChangedTogether: 409,
    Stale: 412,
    errors.BodyTooLarge: 413,
    errors.UnsupportedMediaType: 415,
    FaultyInput: 422,
    GaveUp: 422,
    errors.TooManyRequests: 429,
    errors.ServerFault: 500,
    errors.Unavailable: 503,
}


def status_of(cls: type[PawlbookError]) -> int:
    """The status of a class: its own, or that of the nearest class above it."""
    return next(STATUSES[base] for base in cls.__mro__ if base in STATUSES)


@cache
def published() -> tuple[type[PawlbookError], ...]:
    """Every class of the program, by code: the published list.

    Imports every module first, so that the list does not depend on which were needed so far.
    """
    for package in PACKAGES:
        for module in walk_packages(import_module(package).__path__, f"{package}."):
            if not NOT_ASKED.search(module.name):
                import_module(module.name)
    return tuple(cls for cls in every_class() if cls.__module__.split(".")[0] in PACKAGES)


def answer(
    request: HttpRequest, error: PawlbookError, headers: Mapping[str, str] | None = None
) -> HttpResponse:
    """The answer to a request that ends in ``error``: a problem below /api/, a page elsewhere."""
    status = status_of(type(error))
    if is_api(request):
        response = HttpResponse(json.dumps(document(error)), content_type=MEDIA_TYPE, status=status)
    else:
        response = HttpResponse(_page(error), status=status)
    response.headers["Cache-Control"] = "no-store"
    for name, value in {**_own_headers(error), **(headers or {})}.items():
        response.headers[name] = value
    return response


def is_api(request: HttpRequest) -> bool:
    return request.path_info.startswith("/api/")


def document(error: PawlbookError) -> dict[str, Any]:
    """The members of the problem (RFC 9457), ours included."""
    cls = type(error)
    problem: dict[str, Any] = {
        "type": f"urn:pawlbook:problem:{cls.code}",
        "title": cls.title,
        "status": status_of(cls),
        "detail": str(error),
    }
    if isinstance(error, FaultyInput):
        problem["errors"] = [
            {"pointer": fault.pointer, "code": fault.code, "message": str(fault)} for fault in error.faults
        ]
    return {**problem, "help": f"/problems/{cls.code}", "request_id": current_request_id()}


def _page(error: PawlbookError) -> str:
    # Without the request: a page that says what failed must not need what failed.
    return render_to_string(
        "problems/error.html",
        {"error": error, "status": status_of(type(error)), "request_id": current_request_id()},
    )


def _own_headers(error: PawlbookError) -> dict[str, str]:
    if isinstance(error, errors.TooManyRequests):
        return {"Retry-After": str(error.data["wait"])}
    if isinstance(error, errors.Unavailable):
        return {"Retry-After": str(RETRY_SECONDS)}
    return {}


# --- whatever was raised, as one of our errors
# ---------------------------------------------------------------


def as_error(exc: BaseException | None, request: HttpRequest) -> PawlbookError:
    """The error that stands for an exception; ``ServerFault`` for a bug."""
    if isinstance(exc, PawlbookError):
        return exc
    if isinstance(exc, drf.APIException):
        return _from_rest_framework(exc, request)
    if isinstance(exc, RequestDataTooBig):
        return errors.BodyTooLarge(limit=settings.BODY_LIMIT)
    if isinstance(exc, (TooManyFieldsSent, TooManyFilesSent)):
        return errors.BadRequest(reason="it has more fields than are read")
    if isinstance(exc, (SuspiciousOperation, BadRequest, MultiPartParserError)):
        return errors.BadRequest(reason="it was refused before it was read")
    simple: dict[type[BaseException], type[PawlbookError]] = {
        Http404: errors.NotFound,
        PermissionDenied: errors.NotAllowed,
        NotKept: errors.ChangedTogether,
        OperationalError: errors.Unavailable,
    }
    return next((made() for kind, made in simple.items() if isinstance(exc, kind)), errors.ServerFault())


def _from_rest_framework(exc: drf.APIException, request: HttpRequest) -> PawlbookError:
    match exc:
        case drf.ValidationError():
            return _from_validation(exc)
        case drf.ParseError():
            return errors.BadRequest(reason=str(exc.detail).rstrip("."))
        case drf.MethodNotAllowed():
            return errors.MethodNotAllowed(method=request.method)
        case drf.UnsupportedMediaType():
            return errors.UnsupportedMediaType(media_type=request.content_type or "unknown")
        case drf.Throttled():
            return errors.TooManyRequests(wait=math.ceil(getattr(exc, "wait", None) or 1))
    simple: dict[type[drf.APIException], type[PawlbookError]] = {
        drf.NotFound: errors.NotFound,
        drf.NotAuthenticated: errors.SignInNeeded,
        drf.AuthenticationFailed: errors.SignInNeeded,
        drf.PermissionDenied: errors.NotAllowed,
        drf.NotAcceptable: errors.NotAcceptable,
    }
    return simple.get(type(exc), errors.ServerFault)()


class FaultyField(FaultyInput):
    """A field that a serializer refused; the reason is the serializer's own sentence."""

    code = "faulty-field"
    title = N_("A field has a fault")
    sentence = N_("{reason}")


def _from_validation(exc: drf.ValidationError) -> PawlbookError:
    faults = [
        FaultyField(pointer=pointer, reason=str(reason)) for pointer, reason in _flattened(exc.detail, ())
    ]
    return faults[0] if len(faults) == 1 else ManyFaults(faults)


def _flattened(detail: Any, at: tuple[str | int, ...]) -> Iterator[tuple[str, str]]:  # noqa: ANN401 - as it comes
    if isinstance(detail, Mapping):
        for name, inner in detail.items():
            yield from _flattened(inner, at if name == NON_FIELD else (*at, name))
    elif isinstance(detail, list):
        for place, inner in enumerate(detail):
            # A list of sentences belongs to one field; a list of mappings is one for each item.
            yield from _flattened(inner, (*at, place) if isinstance(inner, Mapping) else at)
    else:
        yield json_pointer(*at), str(detail)


# --- where Django and the REST framework call us, with the arguments that they give
# -------------------------------------------------------------


def handle(exc: Exception, context: Mapping[str, Any]) -> HttpResponse:
    """The REST framework's exception handler: every exception of an API view ends here."""
    request: HttpRequest = context["request"]._request  # noqa: SLF001 - the answer is made for Django's own
    error = as_error(exc, request)
    if status_of(type(error)) >= 500:
        # As Django does for a view of its own: tell whoever listens, and the log.
        got_request_exception.send(sender=None, request=request)
        log.error("%s %s failed", request.method, request.path, exc_info=exc)
    headers = (
        {"Allow": ", ".join(context["view"].allowed_methods)} if isinstance(exc, drf.MethodNotAllowed) else {}
    )
    if isinstance(error, errors.SignInNeeded):
        headers["WWW-Authenticate"] = "Session"
    return answer(request, error, headers)


def bad_request(request: HttpRequest, exception: BaseException) -> HttpResponse:
    return answer(request, as_error(exception, request))


def permission_denied(request: HttpRequest, exception: BaseException) -> HttpResponse:  # noqa: ARG001
    return answer(request, errors.NotAllowed())


def page_not_found(request: HttpRequest, exception: BaseException) -> HttpResponse:  # noqa: ARG001
    return answer(request, errors.NotFound())


def server_error(request: HttpRequest) -> HttpResponse:
    """For the exception that is being handled: a fault of ours, or a database that cannot do it now."""
    return answer(request, as_error(sys.exception(), request))


def csrf_failure(request: HttpRequest, reason: str = "") -> HttpResponse:  # noqa: ARG001
    return answer(request, errors.FormExpired())
