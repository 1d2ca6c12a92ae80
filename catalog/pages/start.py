"""The first page: find a winch by what one remembers of its name, see an example, leaf through the makers."""

import json
from dataclasses import replace
from decimal import Decimal
from functools import cache

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.csrf import csrf_exempt
from django.views.decorators.http import require_POST, require_safe

from catalog.asking import address_of
from catalog.models import WinchModel
from catalog.pages.render import page, remember_unit
from catalog.pages.rows import makers_with_families
from catalog.queries import NothingPublished, revision_info
from catalog.resolver.question import Question, read_question
from catalog.search import EXACT, models_like, tidy
from shared.places import PROJECT
from shared.units import Unit

EXAMPLE = PROJECT / "fixtures" / "questions" / "example.json"
MOST_FOUND = 20


@require_safe
def start(request: HttpRequest) -> HttpResponse:
    """``GET /?winch=`` searches; without it the page is the index."""
    wanted = tidy(request.GET.get("winch", ""))
    try:
        newest = revision_info()
    except NothingPublished:
        return render(request, "catalog/empty.html")
    found = list(models_like(wanted)[:MOST_FOUND])
    context = {
        "wanted": wanted,
        "found": [(model, _is_exact(model)) for model in found],
        "makers": [] if found else makers_with_families(),
        "example": None if wanted else _example(newest.number),
    }
    return page(request, "catalog/start.html", context)


def _is_exact(model: WinchModel) -> bool:
    return int(getattr(model, "rank", 0)) == EXACT


def _example(revision: int) -> dict[str, object] | None:
    """The example's address in the newest revision; None where the catalog lacks its winch."""
    question = replace(_example_question(), revision=revision)
    model = WinchModel.objects.select_related("family__maker").filter(code=question.winch.model).first()
    if model is None:
        return None
    return {"model": model, "year": question.winch.year, "address": address_of(question)}


@cache
def _example_question() -> Question:
    return read_question(json.loads(EXAMPLE.read_text(), parse_float=Decimal))


@csrf_exempt  # It sets the unit that lengths are shown in, and nothing else: there is nothing to forge.
@require_POST
def unit(request: HttpRequest) -> HttpResponse:
    """Remember the unit of length, and go back to the page that it was chosen on."""
    back = request.POST.get("back", "/")
    if not back.startswith("/") or not url_has_allowed_host_and_scheme(back, allowed_hosts=None):
        back = "/"
    chosen = request.POST.get("unit", "")
    response = HttpResponseRedirect(back)
    return remember_unit(response, Unit(chosen)) if chosen in Unit else response
