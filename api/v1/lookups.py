"""Lookups: a question in, its answer out. Computed and never stored."""

from collections.abc import Mapping

from django.http import HttpResponse
from django.utils import timezone
from drf_spectacular.utils import OpenApiParameter, OpenApiResponse, extend_schema
from rest_framework.permissions import AllowAny
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from api.filters import refuse_parameters, refuse_unknown
from api.middleware import body_limit
from api.renderers import FastJSON
from api.throttles import AnonymousLookups
from api.v1 import answer_schema, question_schema
from catalog.asking import LONGEST_QUESTION_BYTES, address_of, ask
from shared.units import Unit

UNITS: Mapping[str, Unit] = {str(unit): unit for unit in Unit}


class Lookups(APIView):
    """A question changes nothing, so nobody is asked who they are, and no form token is wanted."""

    authentication_classes = ()
    permission_classes = (AllowAny,)
    throttle_classes = (AnonymousLookups,)
    renderer_classes = (FastJSON,)
    http_method_names = ("post",)

    @extend_schema(
        operation_id="look_up",
        tags=["Lookups"],
        summary="Ask whether a winch can be converted, and with what",
        description=question_schema.ABOUT,
        parameters=[
            OpenApiParameter(
                "unit",
                {"type": "string", "enum": list(UNITS), "default": "mm"},
                description="The unit of lengths in the answer's sentences. Its figures are in mm always.",
            )
        ],
        request={"application/json": question_schema.REF},
        responses={200: OpenApiResponse(answer_schema.REF, description=answer_schema.ABOUT)},
    )
    def post(self, request: Request) -> HttpResponse:
        unit = _unit(request)
        asked = ask(request.data, today=timezone.now().date())
        encoded = address_of(asked.answer.question)
        answer = asked.as_json(unit)
        answer["address"] = f"/answers/{encoded}" if encoded else None
        return Response(answer, headers={"Cache-Control": "no-store"})


def _unit(request: Request) -> Unit:
    refuse_unknown(request.query_params, {"unit"})
    given = request.query_params.get("unit", "mm")
    if given not in UNITS:
        refuse_parameters([("unit", f"one of {', '.join(UNITS)}.")])
    return UNITS[given]


lookups = body_limit(LONGEST_QUESTION_BYTES)(Lookups.as_view())
