"""Where one goes on the desk by a word typed, and the keys that help."""

from __future__ import annotations

from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from web.people import person_of

from .pages_of import pages_narrowed, pages_of


@login_required
@require_safe
def pages(request: HttpRequest) -> HttpResponse:
    """The pages one may open, narrowed by what was typed; `js/finder.js` has its list here."""
    typed = request.GET.get("q", "")
    everything = pages_of(person_of(request), today=timezone.localdate())
    found = pages_narrowed(everything, typed=typed)
    return render(request, "desk/pages.html", {"typed": typed, "found": found})


@login_required
@require_safe
def keys(request: HttpRequest) -> HttpResponse:
    """What a keyboard can do on the desk."""
    return render(request, "desk/keys.html")
