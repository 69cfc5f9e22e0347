"""What machines ask: may people be sent here, and how is it going."""

from __future__ import annotations

import hmac
from ipaddress import ip_address

from django.conf import settings
from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe
from prometheus_client import CONTENT_TYPE_LATEST

from .meters_told import meters_text
from .readiness import readiness


@never_cache
@require_safe
def ready(request: HttpRequest) -> JsonResponse:
    """200 while people may be sent to this process, else 503, with each part's state."""
    now = readiness()
    return JsonResponse({"ready": now.ready, "parts": now.parts}, status=200 if now.ready else 503)


@never_cache
@require_safe
def metrics(request: HttpRequest) -> HttpResponse:
    """The numbers in Prometheus's text form; for others than who may read them it is not there."""
    if not _may_read(request):
        raise Http404
    return HttpResponse(meters_text(), content_type=CONTENT_TYPE_LATEST)


def _may_read(request: HttpRequest) -> bool:
    """Who has the token; without one set, who asks from this machine and not through a proxy."""
    if settings.METRICS_TOKEN:
        wanted = f"Bearer {settings.METRICS_TOKEN}"
        given = request.headers.get("Authorization", "")
        return hmac.compare_digest(given.encode(), wanted.encode())
    if settings.BEHIND_PROXY or {"X-Forwarded-For", "Forwarded"} & request.headers.keys():
        return False
    try:
        return ip_address(request.META.get("REMOTE_ADDR", "")).is_loopback
    except ValueError:  # asked over a socket's file: a proxy's way
        return False
