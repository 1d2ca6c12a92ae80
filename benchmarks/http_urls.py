"""The program's addresses and an empty view beside them, throttled and rendered as the lookups are."""

from django.http import HttpResponse
from django.urls import path
from rest_framework.permissions import AllowAny
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from api.renderers import FastJSON
from api.throttles import AnonymousLookups
from api.urls import handler400, handler403, handler404, handler500
from api.urls import urlpatterns as program

__all__ = ["handler400", "handler403", "handler404", "handler500", "urlpatterns"]


class Empty(APIView):
    authentication_classes = ()
    permission_classes = (AllowAny,)
    throttle_classes = (AnonymousLookups,)
    renderer_classes = (FastJSON,)

    def post(self, request: Request) -> HttpResponse:
        return Response({"bytes": len(request.body)})


urlpatterns = [path("api/v1/empty", Empty.as_view()), *program]
