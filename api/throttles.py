"""Limits of the API, for the REST framework."""

from typing import ClassVar

from django.conf import settings
from rest_framework.request import Request
from rest_framework.throttling import BaseThrottle
from rest_framework.views import APIView

from shared import throttle
from shared.caller import caller_of


class Anonymous(BaseThrottle):
    """The base of limits for callers who are not signed in, by network address."""

    limit: ClassVar[str]
    setting: ClassVar[str]

    def allow_request(self, request: Request, view: APIView) -> bool:
        plain = request._request  # noqa: SLF001 - the limit is the same for pages, which have no other
        if caller_of(plain).person is not None:
            return True
        self._wait = throttle.take(self.limit, throttle.client_key(plain), getattr(settings, self.setting))
        return self._wait is None

    def wait(self) -> float | None:
        return self._wait


class AnonymousLookups(Anonymous):
    """Lookups, together with those of the pages."""

    limit = "anonymous-lookups"
    setting = "ANONYMOUS_RATE"


class AnonymousReads(Anonymous):
    """Reading the catalog."""

    limit = "anonymous-reads"
    setting = "ANONYMOUS_READ_RATE"
