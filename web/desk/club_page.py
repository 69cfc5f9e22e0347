"""A page of the desk about one club."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from matches.models import Club


def club_page(request: HttpRequest, name: str, club: Club, **context: object) -> HttpResponse:
    """The desk's page of that name, with the club it is about."""
    return render(request, f"desk/{name}.html", {"club": club, **context})
