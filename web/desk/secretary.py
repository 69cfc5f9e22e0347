"""The secretary's pages of one match: where it stands, and its entries."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from matches.models import FISHING, Match, MatchState
from matches.problems import Problem
from matches.reads import access, board
from matches.reads.desk import match_entries
from matches.reads.results import match_result
from matches.writes.entries import entry_status_set
from web.people import person_of

from .form_act import refusal_say


@login_required
@require_http_methods(["GET", "HEAD"])
def match(request: HttpRequest, match_id: int) -> HttpResponse:
    """One match: where it stands, who is entered, and what to do next."""
    person = person_of(request)
    found = access.match_seen(person, match_id=match_id)
    result = match_result(found)
    return _page(
        request,
        "match",
        found,
        entries=list(match_entries(found)),
        statuses=[(status.value, status.label) for status in FISHING],
        runs=access.is_secretary(person, club=found.club),
        weighs=access.is_weigher(person, match=found),
        own=access.own_entry(person, match=found),
        teams=access.captained_teams(person).filter(club=found.club),
        bulletins=board.bulletins_of(found),
        draws=list(found.draws.order_by("number")),
        result=result,
        ready=found.state == MatchState.WEIGHING and not (result.to_weigh or result.disagreements),
    )


@login_required
@require_POST
def entry(request: HttpRequest, match_id: int, entry_id: int) -> HttpResponse:
    """Mark one entry absent, retired, disqualified, or entered again."""
    person = person_of(request)
    found = access.match_for_secretary(person, match_id=match_id)
    try:
        changed = entry_status_set(
            person,
            match=found,
            entry_id=entry_id,
            status=request.POST.get("status", ""),
            reason=request.POST.get("reason", ""),
        )
    except Problem as problem:
        refusal_say(request, problem)
    else:
        messages.success(
            request,
            _("%(angler)s is now marked %(status)s.")
            % {
                "angler": changed.angler.public_name,
                "status": changed.get_status_display(),
            },
        )
    return redirect("desk:match", match_id)


def _page(request: HttpRequest, name: str, match: Match, **context: object) -> HttpResponse:
    return render(
        request,
        f"desk/{name}.html",
        {"room": "desk", "match": match, "club": match.club, **context},
    )
