"""A club's season as a calendar feed: no account, and nothing that is not on the programme."""

from __future__ import annotations

import hashlib

from django.http import HttpRequest, HttpResponse
from django.http.response import HttpResponseBase
from django.urls import reverse
from django.views.decorators.http import require_safe

from matches.models import Match
from matches.reads.season_calendar import season_calendar

from .caching import told_as


@require_safe
def season(request: HttpRequest, club: str) -> HttpResponseBase:
    """Every match with its times, place, and whether it was called off (RFC 5545)."""

    def address(match: Match) -> str:
        return request.build_absolute_uri(reverse("board:latest", args=[club, match.slug]))

    text = season_calendar(club, address=address)
    response = HttpResponse(text, content_type="text/calendar; charset=utf-8")
    response["Content-Disposition"] = f'inline; filename="{club}.ics"'
    digest = hashlib.sha256(text.encode()).hexdigest()
    return told_as(request, response, digest=digest, seconds=600)
