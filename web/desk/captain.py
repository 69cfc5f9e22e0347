"""The members' and captains' pages: one plan, and a team's plans."""

from __future__ import annotations

from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from bait.reads.order_inputs import is_stale
from bait.reads.orders import order_met
from bait.reads.plan_shown import team_plans
from bait.reads.plans import entry_for_plan, own_entry_of
from matches.models import Match, Team
from web.methods import shown_and_sent
from web.people import person_of

from .plan_editor import plan_edit


@login_required
@shown_and_sent
def my_plan(request: HttpRequest, match_id: int) -> HttpResponse:
    """One's own plan for a match."""
    entry = own_entry_of(person_of(request), match_id=match_id)
    return plan_edit(request, entry=entry, own=True)


@login_required
@shown_and_sent
def member_plan(request: HttpRequest, match_id: int, entry_id: int) -> HttpResponse:
    """A member's plan, for their captain."""
    person = person_of(request)
    entry = entry_for_plan(person, match_id=match_id, entry_id=entry_id)
    return plan_edit(request, entry=entry, own=entry.angler.person_id == person.pk)


@login_required
@require_safe
def team(request: HttpRequest, team_id: int, match_id: int) -> HttpResponse:
    """The team's plans: who has one, who is over a limit, who is missing."""
    found, match, order = order_met(person_of(request), team_id=team_id, match_id=match_id)
    plans = team_plans(found, match=match)
    version = (order.placed or order.current) if order else None
    read = [shown.whole for shown in plans if shown.whole]
    return _page(
        request,
        "team",
        found,
        match,
        plans=plans,
        missing=[shown for shown in plans if shown.empty],
        over=[shown for shown in plans if shown.over],
        faulty=[shown for shown in plans if shown.faults],
        order=order,
        stale=bool(order and version and is_stale(order, version=version, plans=read)),
    )


def _page(
    request: HttpRequest, name: str, team: Team, match: Match, **context: object
) -> HttpResponse:
    return render(
        request,
        f"desk/{name}.html",
        {
            "club": match.club,
            "currency": match.club.currency,
            "team": team,
            "match": match,
            **context,
        },
    )
