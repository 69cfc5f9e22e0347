"""The front door."""

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render

from matches.reads.begun import site_waits_for


def home(request: HttpRequest) -> HttpResponse:
    """What this is, and where each person goes from here."""
    return render(request, "home.html", {"waits": site_waits_for()})


def health(request: HttpRequest) -> JsonResponse:
    """Answers while the process lives; it asks nothing of the database."""
    return JsonResponse({"status": "up"})
