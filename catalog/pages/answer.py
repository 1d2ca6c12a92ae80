"""The answer to one question, at an address that carries the question."""

from base64 import urlsafe_b64encode
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from catalog.asking import Asked, address_of, ask_question, read_address
from catalog.pages.render import limited, page, today, unit_of
from catalog.pages.rows import maker_names, winch_model
from catalog.pages.shown import curl_text, show
from catalog.queries import RevisionInfo, UnknownRevision, revision_info
from catalog.resolver.question import Question, read_question
from shared.errors import FaultyInput, GaveUp, PawlbookError, Unreadable

LOOKUPS = "/api/v1/lookups"


@require_safe
@limited
def answer(request: HttpRequest, encoded: str) -> HttpResponse:
    """Answer the question in the address; one that leaves day or revision open is sent on."""
    question = None
    try:
        data = read_address(encoded)
        question = read_question(data, today=today())
        if not _is_pinned(data):
            return HttpResponseRedirect(address_in(question, revision_info()))
        return answer_page(request, question)
    except (FaultyInput, GaveUp) as refused:
        return _refused(request, refused, question)


def address_in(question: Question, revision: RevisionInfo) -> str:
    """Where the answer of one revision to a question stands; empty where no address can hold the question."""
    encoded = address_of(replace(question, revision=revision.number))
    return reverse("answer", args=[encoded]) if encoded else ""


def _is_pinned(data: object) -> bool:
    return isinstance(data, Mapping) and data.get("as_of") is not None and data.get("revision") is not None


def answer_page(request: HttpRequest, question: Question) -> HttpResponse:
    """The page of an answer, also where no address can hold its question."""
    asked = ask_question(question)
    catalog = asked.compiled.catalog
    makers = maker_names()
    shown = show(asked, unit_of(request), makers)
    model = catalog.models[question.winch.model]
    path = address_in(question, asked.revision)
    context: dict[str, Any] = {
        "shown": shown,
        "asked": asked.revision,
        "model": model,
        "maker": makers.get(model.maker, model.maker),
        "family": catalog.families[model.family],
        "encoded": path.rpartition("/")[2] or _encoded(shown.question_json),
        "address": request.build_absolute_uri(path) if path else "",
        "curl": curl_text(shown.question_json, request.build_absolute_uri(LOOKUPS)),
        "later": _later(asked, today()),
    }
    return page(request, "catalog/answer.html", context)


def _encoded(question_json: str) -> str:
    """A question as ``read_address`` reads it, for a form: there it may be of any length."""
    return urlsafe_b64encode(question_json.encode()).decode().rstrip("=")


@dataclass(frozen=True, slots=True)
class Later:
    """What has changed since the answer's day and revision, and where today's answer stands."""

    address: str
    newest: int
    is_older_revision: bool
    is_earlier_day: bool


def _later(asked: Asked, day: date) -> Later | None:
    newest = revision_info()
    older, earlier = asked.revision.number < newest.number, asked.answer.question.as_of < day
    if not (older or earlier):
        return None
    now = replace(asked.answer.question, as_of=day)
    return Later(address_in(now, newest), newest.number, older, earlier)


def _refused(request: HttpRequest, refused: PawlbookError, question: Question | None) -> HttpResponse:
    """What is wrong with an address, in plain sentences, and ways on."""
    faults = refused.faults if isinstance(refused, FaultyInput) else (refused,)
    context: dict[str, Any] = {
        "title": _(refused.title),
        "sentences": [fault.worded(_(fault.sentence)) for fault in faults],
        "advice": "" if isinstance(refused, FaultyInput) else _(refused.advice),
        "model": winch_model(question.winch.model) if question else None,
        "encoded": address_of(question) if question else "",
        "newest_address": "",
        "cut": question is None,
    }
    if isinstance(refused, Unreadable):
        # What JSON has to say about it is of no use to whoever was sent the address.
        context["title"] = _("This address cannot be read")
        context["sentences"] = [_("It was cut off or changed on its way here.")]
    if question and isinstance(refused, UnknownRevision):
        context["newest_address"] = address_in(question, revision_info())
    status = 400 if isinstance(refused, Unreadable) else 422
    return page(request, "catalog/refused.html", context, status=status)
