"""What every page has: the unit that was chosen, the newest revision, and where it is itself."""

from collections.abc import Callable
from datetime import date
from functools import wraps
from typing import Any

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.utils.cache import patch_vary_headers

from catalog.queries import revision_info
from shared.caller import caller_of
from shared.throttle import client_key, take
from shared.units import Unit

UNIT_COOKIE = "unit"
A_YEAR = 365 * 24 * 3600
LOOKUPS = "anonymous-lookups"
"""The limit that pages share with the API."""

View = Callable[..., HttpResponse]


def page(
    request: HttpRequest, template: str, context: dict[str, Any] | None = None, *, status: int = 200
) -> HttpResponse:
    """Render a page. Raises ``NothingPublished`` while there is no catalog."""
    common = {"unit": unit_of(request), "newest": revision_info(), "here": request.get_full_path()}
    response = render(request, template, common | (context or {}), status=status)
    patch_vary_headers(response, ["Cookie"])
    return response


def unit_of(request: HttpRequest) -> Unit:
    """The unit of length that the reader chose last; millimetres at first."""
    chosen = request.COOKIES.get(UNIT_COOKIE, "")
    return Unit(chosen) if chosen in Unit else Unit.MM


def remember_unit(response: HttpResponse, unit: Unit) -> HttpResponse:
    secure = bool(settings.SESSION_COOKIE_SECURE)
    response.set_cookie(UNIT_COOKIE, unit, max_age=A_YEAR, httponly=True, samesite="Lax", secure=secure)
    return response


def today() -> date:
    return timezone.localdate()


def limited(view: View) -> View:
    """Answer so many of a stranger's lookups in so much time, and the next one with how long to wait."""

    @wraps(view)
    def limiting(request: HttpRequest, *args: object, **kwargs: object) -> HttpResponse:
        if caller_of(request).person is None:
            wait = take(LOOKUPS, client_key(request), settings.ANONYMOUS_RATE)
            if wait is not None:
                response = page(request, "catalog/too_many.html", {"wait": wait}, status=429)
                response.headers["Retry-After"] = str(wait)
                return response
        return view(request, *args, **kwargs)

    return limiting
