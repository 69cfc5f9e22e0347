"""Every request timed, counted, logged, and given an id that its answer and its tasks carry."""

from __future__ import annotations

import logging
import time
from collections.abc import Callable
from typing import Final

from django.conf import settings
from django.http import HttpRequest, HttpResponseBase

from . import meters
from .doing import HEADER, request_id, request_id_take

METHODS: Final = frozenset({"GET", "HEAD", "POST", "PUT", "PATCH", "DELETE", "OPTIONS"})
log = logging.getLogger("drawbag.requests")


class WatchMiddleware:
    """Comes first of all, so that it sees what every other one answers."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        given = request.headers.get(HEADER, "") if settings.BEHIND_PROXY else ""
        token = request_id.set(request_id_take(given))
        began = time.perf_counter()
        try:
            response = self.get_response(request)
            response[HEADER] = request_id.get()
            _note(request, response.status_code, time.perf_counter() - began)
            return response
        finally:
            request_id.reset(token)


def _note(request: HttpRequest, status: int, took: float) -> None:
    route = route_of(request)
    method = request.method if request.method in METHODS else "other"
    meters.REQUESTS.labels(route, method, str(status)).inc()
    meters.REQUEST_SECONDS.labels(route, method).observe(took)
    known = {"route": route, "method": method, "status": status, "duration_s": round(took, 6)}
    log.info("%s %s %d in %.3f s", method, route, status, took, extra=known)


def route_of(request: HttpRequest) -> str:
    """The name of the address, never the path: those are endless, and some are secret."""
    if request.resolver_match is not None:
        return request.resolver_match.view_name or "unnamed"
    return "static" if request.path.startswith(settings.STATIC_URL) else "none"
