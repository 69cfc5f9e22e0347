"""What is held about people, in plain words, for anybody."""

from __future__ import annotations

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from matches.writes.attempts import FORGOTTEN_AFTER
from web.kept import KEPT


@require_safe
def privacy(request: HttpRequest) -> HttpResponse:
    """The numbers are those that `manage.py retention` acts by."""
    return render(
        request,
        "privacy.html",
        {
            "kept": [(words, settings.KEPT_DAYS[key]) for key, (_days, words) in KEPT.items()],
            "attempts_days": FORGOTTEN_AFTER.days,
            "contact": settings.PRIVACY_CONTACT,
        },
    )
