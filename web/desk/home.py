"""The desk's first page: what there is to do, club by club."""

from __future__ import annotations

from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from bait.reads.shops import clubs_kept
from matches.reads.desk import desk_clubs
from matches.writes.notices import notices_put_away
from web.people import person_of


@login_required
@require_safe
def desk(request: HttpRequest) -> HttpResponse:
    """The person's clubs and matches, and what each waits for."""
    person = person_of(request)
    clubs = desk_clubs(person, today=timezone.localdate())
    kept = set(clubs_kept(person).values_list("pk", flat=True))
    shown = {"room": "desk", "clubs": clubs, "kept": kept, "notices": person.notices.all()}
    return render(request, "desk/home.html", shown)


@login_required
@require_POST
def notices_away(request: HttpRequest) -> HttpResponse:
    """Who was told that their way in was changed has read it."""
    notices_put_away(person_of(request))
    return redirect("desk:home")
