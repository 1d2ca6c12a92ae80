"""A winch model: its figures, its production runs, and the sheet on which a question is asked about it."""

from collections.abc import Mapping
from dataclasses import replace

from django.http import Http404, HttpRequest, HttpResponse, HttpResponseRedirect
from django.utils.translation import gettext as _
from django.views.decorators.csrf import csrf_exempt
from django.views.decorators.http import require_http_methods

from catalog.asking import read_address
from catalog.models import WinchModel
from catalog.pages.answer import address_in, answer_page
from catalog.pages.reading import SheetReader
from catalog.pages.render import limited, page, remember_unit, today, unit_of
from catalog.pages.rows import runs_of, winch_model
from catalog.pages.sheet import FEWEST_ROWS, LONGEST_TYPED, MORE_ROWS, Sheet, in_unit, sheet_of
from catalog.queries import compiled
from catalog.resolver.facts import survey_of
from catalog.resolver.question import MOST_SECTORS, Question, read_question
from shared.errors import FaultyInput, GaveUp
from shared.units import Unit

ABOUT_THE_FORM = frozenset({"unit", "rows", "switch", "add", "question"})
ENDS_OF_ROWS = range(FEWEST_ROWS, MOST_SECTORS + 1)


@csrf_exempt  # A lookup changes nothing, so there is nothing to forge; and no cookie is needed to ask.
@require_http_methods(["GET", "HEAD", "POST"])
def winch(request: HttpRequest, code: str) -> HttpResponse:
    """GET shows the sheet, filled from ``?question=``; POST asks, or only changes the sheet."""
    model = winch_model(code)
    if model is None:
        raise Http404
    if request.method != "POST":
        return _sheet_page(request, model, _given_sheet(request.GET.get("question", ""), unit_of(request)))
    posted = request.POST
    if "question" in posted:
        return _sheet_page(request, model, _given_sheet(posted["question"], unit_of(request)))
    sheet = _posted_sheet(posted)
    if "switch" in posted:
        return _switched(request, model, sheet, posted["switch"])
    if "add" in posted:
        more = replace(sheet, rows=min(sheet.rows + MORE_ROWS, MOST_SECTORS))
        return _sheet_page(request, model, more)
    return _ask(request, model, sheet)


def _sheet_page(request: HttpRequest, model: WinchModel, sheet: Sheet, *, status: int = 200) -> HttpResponse:
    context = {
        "model": model,
        "gears": list(model.gears.all()),
        "runs": runs_of(model),
        "sheet": sheet,
        "unit": sheet.unit,
    }
    return page(request, "catalog/winch.html", context, status=status)


def _ask(request: HttpRequest, model: WinchModel, sheet: Sheet) -> HttpResponse:
    reader = SheetReader(sheet.texts, model=model.code, unit=sheet.unit, rows=sheet.rows)
    question = reader.read(today())
    revision, state = compiled()
    if question is not None:
        try:
            survey_of(question, state.catalog)
        except FaultyInput as faulty:
            reader.place(faulty)
    if question is None or reader.faults:
        return _sheet_page(request, model, replace(sheet, faults=reader.faults), status=422)
    address = address_in(question, revision)
    if not address:
        return _answer_directly(request, model, sheet, question)
    response = HttpResponseRedirect(address)
    response.status_code = 303
    return remember_unit(response, sheet.unit)


@limited
def _answer_directly(
    request: HttpRequest, model: WinchModel, sheet: Sheet, question: Question
) -> HttpResponse:
    """The answer to a question that no address can hold."""
    try:
        return remember_unit(answer_page(request, question), sheet.unit)
    except GaveUp as gave_up:
        sheet.faults.add("sheet", gave_up.worded(_(gave_up.sentence)))
        return _sheet_page(request, model, sheet, status=422)


# --- the sheet as it came -----------------------------------------------------------------------------------


def _posted_sheet(posted: Mapping[str, str]) -> Sheet:
    unit, rows = posted.get("unit", ""), posted.get("rows", "")
    count = int(rows) if rows.isascii() and rows.isdecimal() and len(rows) < 4 else FEWEST_ROWS
    texts = {name: str(posted[name])[:LONGEST_TYPED] for name in posted if name not in ABOUT_THE_FORM}
    return Sheet(texts, Unit(unit) if unit in Unit else Unit.MM, max(FEWEST_ROWS, min(count, MOST_SECTORS)))


def _given_sheet(encoded: str, unit: Unit) -> Sheet:
    """An empty sheet, or one filled with the question of an address; a broken address says so on top."""
    if not encoded:
        return Sheet(unit=unit)
    try:
        question = read_question(read_address(encoded), today=today())
    except FaultyInput:
        sheet = Sheet(unit=unit)
        sheet.faults.add("sheet", _("The question in the address cannot be read, so the sheet is empty."))
        return sheet
    return sheet_of(question, unit, today=today())


def _switched(request: HttpRequest, model: WinchModel, sheet: Sheet, wanted: str) -> HttpResponse:
    unit = Unit(wanted) if wanted in Unit else sheet.unit
    return remember_unit(_sheet_page(request, model, in_unit(sheet, unit)), unit)
