"""Routes that exist in tests only: each does something and then ends in one particular way.

The middleware, the doors, the problems and the pages are tried through these, since the program's own views
are written so as not to fail.
"""

import uuid
from typing import Any, ClassVar

from django.contrib.auth.models import AnonymousUser
from django.core.exceptions import PermissionDenied
from django.db import DatabaseError, connection
from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.template import engines
from django.template.response import TemplateResponse
from django.urls import include, path
from django.views.decorators.csrf import csrf_exempt
from rest_framework import serializers
from rest_framework.generics import ListAPIView
from rest_framework.permissions import AllowAny
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from api import urls
from api.middleware import body_limit
from api.throttles import AnonymousLookups
from shared.caller import caller_of
from shared.errors import Faults, FaultyInput, GaveUp, Refused, Stale
from shared.middleware import without_transaction
from shared.models import Membership, Person
from shared.tenancy import current_context
from shared.units import read_length


def write() -> None:
    """One row, whose being kept or not is what the tests look at."""
    Person.objects.create_user("written@example.org")


# --- pages
# ----------------------------------------------------------------------------------------------------


def page(request: HttpRequest, status: int) -> HttpResponse:
    write()
    return HttpResponse("written", status=status)


def page_raises(request: HttpRequest, what: str) -> HttpResponse:
    write()
    raise {
        "bug": ZeroDivisionError("secret path /srv/pawl and SELECT secret"),
        "missing": Http404(),
        "denied": PermissionDenied(),
        "refused": Refused(),
        "exit": SystemExit(),
    }[what]


def page_breaks_while_rendering(request: HttpRequest) -> TemplateResponse:
    write()
    template = engines["django"].from_string("{{ value.broken }}")
    return TemplateResponse(request, template, {"value": Broken()})


class Broken:
    @property
    def broken(self) -> str:
        raise ZeroDivisionError


def page_hides_a_failed_statement(request: HttpRequest) -> HttpResponse:
    """Goes on after a failed statement as if nothing had happened."""
    write()
    try:
        with connection.cursor() as cursor:
            cursor.execute("SELECT 1 / 0")
    except DatabaseError:
        pass
    return HttpResponse("all is well", status=201)


def page_fails_at_commit(request: HttpRequest) -> HttpResponse:
    """Admits a person who does not exist: the foreign key is checked at the commit."""
    write()
    organization = caller_of(request).organization
    assert organization is not None
    Membership.objects.create(organization_id=organization, person_id=uuid.uuid4(), role="member")
    return HttpResponse("kept", status=201)


def who(request: HttpRequest) -> JsonResponse:
    context, caller = current_context(), caller_of(request)
    return JsonResponse(
        {
            "person": str(context.person or ""),
            "organization": str(context.organization or ""),
            "role": caller.role,
            "seen": Membership.objects.count(),
            "anonymous": isinstance(request.user, AnonymousUser),
        }
    )


@without_transaction
def outside(request: HttpRequest) -> JsonResponse:
    return JsonResponse({"inside": connection.in_atomic_block})


def echo_form(request: HttpRequest) -> JsonResponse:
    return JsonResponse({"posted": {name: request.POST[name] for name in request.POST}})


@body_limit(10)
def small(request: HttpRequest) -> HttpResponse:
    return HttpResponse(str(len(request.body)))


# --- the API
# --------------------------------------------------------------------------------------------------


class Public(APIView):
    permission_classes = (AllowAny,)


class Ends(Public):
    """Writes, and ends as the address says."""

    def post(self, request: Request, how: str) -> Response:
        write()
        if how.isdecimal():
            return Response({"written": True}, status=int(how))
        raise {
            "bug": ZeroDivisionError("secret path /srv/pawl and SELECT secret"),
            "missing": Http404(),
            "denied": PermissionDenied(),
            "faulty": FaultyInput(pointer="/survey"),
            "refused": Refused(),
            "stale": Stale(),
            "gave-up": GaveUp(steps=10, narrow="deck_thickness"),
        }[how]


class Measures(Public):
    """Reads two lengths and reports every fault of them."""

    def post(self, request: Request) -> Response:
        faults, read = Faults(), {}
        survey = dict(request.data)["survey"]
        for name in ("deck_thickness", "depth"):
            with faults.at("survey", name):
                read[name] = str(read_length(survey[name]))
        faults.raise_if_any()
        return Response(read)


class Echo(Public):
    def post(self, request: Request) -> Response:
        return Response({"kinds": {name: type(value).__name__ for name, value in dict(request.data).items()}})


class Fields(serializers.Serializer[Any]):
    year = serializers.IntegerField()
    lines = serializers.ListField(child=serializers.IntegerField())


class Serialized(Public):
    def post(self, request: Request) -> Response:
        Fields(data=request.data).is_valid(raise_exception=True)
        return Response()


class Private(APIView):
    def get(self, request: Request) -> Response:
        return Response({"organization": str(caller_of(request._request).organization)})

    post = get


class Limited(Public):
    throttle_classes = (AnonymousLookups,)

    def post(self, request: Request) -> Response:
        return Response(status=201)


class PersonRow(serializers.ModelSerializer[Person]):
    class Meta:
        model = Person
        fields = ("email", "name")


class People(ListAPIView[Person]):
    permission_classes = (AllowAny,)
    serializer_class = PersonRow
    queryset = Person.objects.all()
    filterset_fields: ClassVar[dict[str, list[str]]] = {"name": ["exact"], "joined_at": ["gte", "range"]}
    paging_key = "name"


class PeopleFalling(People):
    paging_key = "-name"


class PeopleByTime(People):
    paging_key = "joined_at"


urlpatterns = [
    path("page/<int:status>", page),
    path("page/raises/<what>", page_raises),
    path("page/breaks-while-rendering", page_breaks_while_rendering),
    path("page/hides-a-failed-statement", page_hides_a_failed_statement),
    path("page/fails-at-commit", page_fails_at_commit),
    path("page/who", who),
    path("page/outside", outside),
    path("page/form", echo_form),
    path("page/small", csrf_exempt(small)),
    path("api/test/ends/<how>", Ends.as_view()),
    path("api/test/measures", Measures.as_view()),
    path("api/test/echo", Echo.as_view()),
    path("api/test/serialized", Serialized.as_view()),
    path("api/test/private", Private.as_view()),
    path("api/test/limited", Limited.as_view()),
    path("api/test/people", People.as_view()),
    path("api/test/people-falling", PeopleFalling.as_view()),
    path("api/test/people-by-time", PeopleByTime.as_view()),
    path("api/test/fails-at-commit", page_fails_at_commit),
    path("api/test/who", who),
    path("", include(urls)),
]

handler400, handler403, handler404, handler500 = (
    urls.handler400,
    urls.handler403,
    urls.handler404,
    urls.handler500,
)
