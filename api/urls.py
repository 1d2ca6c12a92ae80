"""All addresses: the API, the pages of the apps, the pages of problems."""

from django.http import HttpRequest, HttpResponse
from django.urls import include, path, re_path
from django.views.decorators.csrf import csrf_exempt

from api.docs import api_docs
from api.errors import NotFound
from api.problem_pages import problem_list, problem_page
from api.problems import answer
from shared.middleware import without_transaction


@csrf_exempt
@without_transaction
def unknown_address(request: HttpRequest) -> HttpResponse:
    return answer(request, NotFound())


urlpatterns = [
    path("api/v1/", include(("api.v1.urls", "v1"))),
    # As a view, so that it is a problem with DEBUG on, too.
    re_path(r"^api/", unknown_address),
    path("docs/api", api_docs, name="api-docs"),
    path("problems", problem_list, name="problems"),
    path("problems/<slug:code>", problem_page, name="problem"),
    path("", include("catalog.urls")),
]

handler400 = "api.problems.bad_request"
handler403 = "api.problems.permission_denied"
handler404 = "api.problems.page_not_found"
handler500 = "api.problems.server_error"
