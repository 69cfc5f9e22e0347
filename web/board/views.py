"""Public results: no account, nothing but what was published."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render


def clubs(request: HttpRequest) -> HttpResponse:
    """Clubs that have published."""
    return render(request, "board/clubs.html", {"room": "board"})
