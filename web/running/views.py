"""What machines ask: may people be sent here, and how is it going."""

from __future__ import annotations

from django.http import HttpRequest, JsonResponse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from .readiness import readiness


@never_cache
@require_safe
def ready(request: HttpRequest) -> JsonResponse:
    """200 while people may be sent to this process, else 503, with each part's state."""
    now = readiness()
    return JsonResponse({"ready": now.ready, "parts": now.parts}, status=200 if now.ready else 503)
