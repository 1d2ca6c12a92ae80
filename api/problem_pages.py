"""The published list of problems, a page for each: made from the classes."""

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render

from api.problems import published, status_of
from shared.middleware import without_transaction


@without_transaction
def problem_list(request: HttpRequest) -> HttpResponse:
    problems = [
        {"cls": cls, "code": cls.code, "title": cls.title, "status": status_of(cls)} for cls in published()
    ]
    return render(request, "problems/list.html", {"problems": problems})


@without_transaction
def problem_page(request: HttpRequest, code: str) -> HttpResponse:
    found = next((cls for cls in published() if cls.code == code), None)
    if found is None:
        raise Http404
    shown = {"code": found.code, "title": found.title, "sentence": found.sentence, "advice": found.advice}
    return render(request, "problems/one.html", {"problem": shown, "status": status_of(found)})
