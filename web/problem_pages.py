"""Problems on pages: the same refusals as the API's, as a page that says what to do next."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.views.defaults import page_not_found

from matches.problems import Code, MustWait, Problem
from matches.reckon.errors import BadInput

from .middleware import Handler
from .problem_details import problem_page
from .waiting import told_to_wait


class ProblemPageMiddleware:
    """Whatever a page's view refuses by raising Problem or BadInput is shown, never a 500.

    The API answers its own problems before this is asked.
    """

    def __init__(self, get_response: Handler) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        return self.get_response(request)

    def process_exception(self, request: HttpRequest, error: Exception) -> HttpResponseBase | None:
        if isinstance(error, BadInput):
            faults = error.faults
            error = Problem(Code.BAD_INPUT, _("Mend what is listed and send it again."), *faults)
        if not isinstance(error, Problem):
            return None
        answer = render(
            request,
            "problem.html",
            {"title": error.code.title, "detail": error.detail, "faults": error.faults},
            status=error.code.status,
        )
        return told_to_wait(answer, error) if isinstance(error, MustWait) else answer


def not_found(request: HttpRequest, exception: Exception) -> HttpResponse:
    """What no address stands for: under /api/ that is a problem in JSON like every other."""
    if not request.path.startswith("/api/v1/"):
        return page_not_found(request, exception)
    words = _("Check the address, or ask whoever gave it to you.")
    return problem_page(request, Code.NOT_FOUND, words)
