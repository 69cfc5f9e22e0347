"""The desk's first page: what there is to do, club by club."""

from __future__ import annotations

from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render


@login_required
def desk(request: HttpRequest) -> HttpResponse:
    return render(request, "desk/home.html", {"room": "desk"})
