"""What every answer needs: a locked database said politely, worker headers, small files."""

from __future__ import annotations

from collections.abc import Callable

from django.conf import settings
from django.contrib.auth import SESSION_KEY
from django.db import OperationalError
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.middleware.gzip import GZipMiddleware
from django.urls import reverse
from django.utils.translation import gettext as _

from matches.problems import Code

from .problem_details import problem_page

Handler = Callable[[HttpRequest], HttpResponseBase]


class DatabaseBusyMiddleware:
    """A database that is locked or away is a 503 to try again, never a 500."""

    def __init__(self, get_response: Handler) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        return self.get_response(request)

    def process_exception(self, request: HttpRequest, error: Exception) -> HttpResponseBase | None:
        if not isinstance(error, OperationalError):
            return None
        words = _("The database did not answer. Nothing was changed; try again in a moment.")
        if request.path.startswith("/api/"):
            response: HttpResponseBase = problem_page(request, Code.BUSY, words)
        else:
            response = HttpResponse(words, status=503, content_type="text/plain; charset=utf-8")
        response["Retry-After"] = "2"
        return response


class WorkerHeadersMiddleware:
    """The worker and manifest must be asked for anew each time, or a phone keeps an old app."""

    PATHS = frozenset({"/serviceworker.js", "/manifest.json"})

    def __init__(self, get_response: Handler) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        response = self.get_response(request)
        if request.path in self.PATHS:
            response["Cache-Control"] = "no-cache"
        return response


class PrivateAnswersMiddleware:
    """What was answered to somebody who is signed in, by cookie or token, no browser keeps, but
    where the view says how; of signing out, nothing that it kept before. What the phone app keeps
    is in a store of its own, which this does not touch. JSON of the API is a file, never a page."""

    def __init__(self, get_response: Handler) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        response = self.get_response(request)
        # What the server cannot do it tells everybody alike, perhaps since no session can be read.
        told = response.status_code < 500 and _told_to_somebody(request)
        if told and "Cache-Control" not in response:
            response["Cache-Control"] = "no-store"
        if request.path == reverse("sign-out") and request.method == "POST":
            response["Clear-Site-Data"] = '"cache"'
        if request.path.startswith("/api/") and "json" in response.get("Content-Type", ""):
            response.setdefault("Content-Disposition", 'attachment; filename="api.json"')
        return response


def _told_to_somebody(request: HttpRequest) -> bool:
    """Asks for nothing that was not read already: a page that is the same for all reads no
    session."""
    if "Authorization" in request.headers:
        return True
    session = getattr(request, "session", None)
    return session is not None and session.accessed and SESSION_KEY in session


class PermissionsMiddleware:
    """No page may use the camera, the microphone or the place of a phone, but the bank app the
    camera, which reads what another phone shows."""

    NONE = "camera=(), microphone=(), geolocation=()"
    BANK = "camera=(self), microphone=(), geolocation=()"

    def __init__(self, get_response: Handler) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        response = self.get_response(request)
        response["Permissions-Policy"] = self.BANK if request.path == "/bank/" else self.NONE
        return response


class StaticGZipMiddleware(GZipMiddleware):
    """Our own files compressed without the random bytes that hide a page's secrets: they have none,
    and a phone on a weak signal waits for each byte. What it has compressed the pages' own
    compression leaves alone."""

    max_random_bytes = 0

    def process_response(
        self, request: HttpRequest, response: HttpResponseBase
    ) -> HttpResponseBase:
        if not request.path.startswith(settings.STATIC_URL):
            return response
        return super().process_response(request, response)
