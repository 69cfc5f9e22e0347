"""One error shape out of the API: problem details (RFC 9457) with pointers (RFC 6901)."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from django.core.exceptions import PermissionDenied, RequestDataTooBig
from django.http import Http404, HttpRequest, JsonResponse
from django.utils.translation import gettext as _
from rest_framework import exceptions
from rest_framework.response import Response

from matches.problems import Code, Problem
from matches.reckon.errors import BadInput, Fault, pointer

CONTENT_TYPE = "application/problem+json"


def problem_body(code: Code, detail: str, faults: Sequence[Fault] = ()) -> dict[str, Any]:
    """The JSON of one problem: type, title, status, detail, and errors with pointers."""
    body: dict[str, Any] = {
        "type": f"/problems/{code.slug}",
        "title": str(code.title),
        "status": code.status,
        "detail": str(detail),
    }
    if faults:
        body["errors"] = [{"pointer": f.pointer, "message": str(f.message)} for f in faults]
    return body


def problem_response(error: Exception, context: Mapping[str, Any]) -> Response | None:
    """DRF's exception handler. Anything not named here is a defect and stays a 500."""
    problem = _as_problem(error)
    if problem is None:
        return None
    response = Response(
        problem_body(problem.code, problem.detail, problem.faults),
        status=problem.code.status,
        content_type=CONTENT_TYPE,
    )
    wait = getattr(error, "wait", None)
    if wait or problem.code is Code.BUSY:
        response["Retry-After"] = str(int(wait or 2))
    challenge = getattr(error, "challenge", None) or getattr(error, "auth_header", None)
    if challenge:
        response["WWW-Authenticate"] = challenge
    return response


def problem_page(request: HttpRequest, code: Code, detail: str) -> JsonResponse:
    """The same shape for what fails before a view is reached."""
    return JsonResponse(problem_body(code, detail), status=code.status, content_type=CONTENT_TYPE)


def _as_problem(error: Exception) -> Problem | None:
    match error:
        case Problem():
            return error
        case BadInput():
            return Problem(
                Code.BAD_INPUT, _("Mend what is listed and send it again."), *error.faults
            )
        case exceptions.ValidationError():
            faults = tuple(_faults(error.detail, ()))
            return Problem(Code.BAD_INPUT, _("Mend what is listed and send it again."), *faults)
        case RequestDataTooBig():
            return Problem(Code.TOO_LARGE, _("Send at most 1 MiB."))
        case exceptions.ParseError():
            return Problem(Code.MALFORMED, str(error.detail), Fault("", str(error.detail)))
        case exceptions.NotAuthenticated() | exceptions.AuthenticationFailed():
            return Problem(Code.SIGN_IN, str(error.detail))
        case exceptions.PermissionDenied():
            return Problem(Code.NOT_ALLOWED, str(error.detail))
        case PermissionDenied():
            return Problem(Code.NOT_ALLOWED, _("Ask your secretary if you should be able to."))
        case exceptions.NotFound() | Http404():
            return Problem(Code.NOT_FOUND, _("Check the address, or ask whoever gave it to you."))
        case exceptions.MethodNotAllowed():
            return Problem(Code.METHOD, str(error.detail))
        case exceptions.NotAcceptable():
            return Problem(Code.ACCEPT, str(error.detail))
        case exceptions.UnsupportedMediaType():
            return Problem(Code.MEDIA_TYPE, str(error.detail))
        case exceptions.Throttled():
            return Problem(Code.SLOW_DOWN, str(error.detail))
    return None


def _faults(detail: Any, path: tuple[str | int, ...]) -> Iterator[Fault]:
    """DRF's nested errors, flattened to pointers."""
    if isinstance(detail, Mapping):
        for key, value in detail.items():
            yield from _faults(value, path if key == "non_field_errors" else (*path, key))
    elif isinstance(detail, list):
        for at, value in enumerate(detail):
            nested = isinstance(value, Mapping | list)
            yield from _faults(value, (*path, at) if nested else path)
    else:
        yield Fault(pointer(*path), str(detail))
