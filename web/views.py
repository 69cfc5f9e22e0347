"""The front door."""

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render


def home(request: HttpRequest) -> HttpResponse:
    """What this is, and where each person goes from here."""
    return render(request, "home.html")


def health(request: HttpRequest) -> JsonResponse:
    """Answers while the process lives; it asks nothing of the database."""
    return JsonResponse({"status": "up"})
