"""The bank app's shell: the same bytes for everybody, asked for anew each time."""

from __future__ import annotations

from pathlib import Path

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_safe

INDEX = Path(__file__).parent / "shell" / "index.html"


@require_safe
def shell(request: HttpRequest) -> HttpResponse:
    """It names nobody and reads no session, so a shared cache can do no harm."""
    response = HttpResponse(INDEX.read_bytes(), content_type="text/html; charset=utf-8")
    response["Cache-Control"] = "no-cache"
    return response
