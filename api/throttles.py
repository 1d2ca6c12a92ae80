"""Limits of the API, for the REST framework."""

from django.conf import settings
from rest_framework.request import Request
from rest_framework.throttling import BaseThrottle
from rest_framework.views import APIView

from shared import throttle
from shared.caller import caller_of


class AnonymousLookups(BaseThrottle):
    """Lookups of callers who are not signed in, by network address, together with those of the pages."""

    limit = "anonymous-lookups"

    def allow_request(self, request: Request, view: APIView) -> bool:
        plain = request._request  # noqa: SLF001 - the limit is the same for pages, which have no other
        if caller_of(plain).person is not None:
            return True
        self._wait = throttle.take(self.limit, throttle.client_key(plain), settings.ANONYMOUS_RATE)
        return self._wait is None

    def wait(self) -> float | None:
        return self._wait
