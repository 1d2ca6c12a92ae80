"""The doors: what is refused before any view, and how an error of ours that a page raises is answered."""

from collections.abc import Callable
from io import BytesIO

from django.conf import settings
from django.core.exceptions import SuspiciousOperation
from django.core.handlers.wsgi import WSGIRequest
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.http.multipartparser import MultiPartParserError

from api.errors import BodyTooLarge
from api.problems import answer, as_error
from shared.doors import refuse_controls_in_fields, refuse_controls_in_path
from shared.errors import PawlbookError

Answer = Callable[[HttpRequest], HttpResponseBase]
View = Callable[..., HttpResponseBase]

REFUSALS = (PawlbookError, SuspiciousOperation, MultiPartParserError)
FORMS = {"application/x-www-form-urlencoded", "multipart/form-data"}


def body_limit[V: View](limit: int) -> Callable[[V], V]:
    """Let a view take more, or less, than the usual number of bytes."""

    def mark(view: V) -> V:
        view.body_limit = limit  # type: ignore[attr-defined]
        return view

    return mark


class Doors:
    """Refuses control characters in path, query and form, and bodies that are too large.

    JSON is looked through by its parser, which knows the pointer of each text.
    """

    def __init__(self, get_response: Answer) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        try:
            refuse_controls_in_path(request.path_info)
            refuse_controls_in_fields(dict(request.GET.lists()), where="the query")
        except REFUSALS as refused:
            return answer(request, as_error(refused, request))
        return self.get_response(request)

    def process_view(
        self, request: HttpRequest, view: View, args: tuple[object, ...], kwargs: dict[str, object]
    ) -> HttpResponse | None:
        try:
            _bound_body(request, getattr(view, "body_limit", settings.BODY_LIMIT))
            if request.content_type in FORMS and not request.path_info.startswith("/api/"):
                refuse_controls_in_fields(dict(request.POST.lists()), where="the form")
        except REFUSALS as refused:
            return answer(request, as_error(refused, request))
        return None

    def process_exception(self, request: HttpRequest, exception: Exception) -> HttpResponse | None:
        """A page may raise an error of ours; whatever is a bug goes on to Django."""
        return answer(request, as_error(exception, request)) if isinstance(exception, PawlbookError) else None


def _bound_body(request: HttpRequest, limit: int) -> None:
    """Raise ``BodyTooLarge`` before more than ``limit`` bytes are held.

    A declared length is checked as declared: no more than that is ever read. A body sent in chunks declares
    none; it is read here, up to one byte more than the limit, and then has a length like any other.
    """
    declared = request.META.get("CONTENT_LENGTH") or ""
    if declared.isdecimal() and int(declared) > limit:
        raise BodyTooLarge(limit=limit)
    if declared or "HTTP_TRANSFER_ENCODING" not in request.META or not isinstance(request, WSGIRequest):
        return
    body = request.environ["wsgi.input"].read(limit + 1)
    if len(body) > limit:
        raise BodyTooLarge(limit=limit)
    request.META["CONTENT_LENGTH"] = str(len(body))
    request._stream = BytesIO(body)  # noqa: SLF001 - Django offers no other way
