"""Packing the members' bags: the tick list, and labels to print."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from bait.models import Order
from bait.reads.bags import bags_of
from bait.reads.left_over import is_to_come
from bait.reads.orders import order_met
from bait.writes.bags import bag_tick, bag_untick
from matches.models import Match, Person, Team
from matches.problems import Code, Problem
from matches.reckon.decimals import digits_read
from web.methods import shown_and_sent
from web.people import person_of


@login_required
@shown_and_sent
def bags(request: HttpRequest, team_id: int, match_id: int) -> HttpResponse:
    """What goes into whose bag, in order of packing; a tap ticks one thing."""
    person = person_of(request)
    team, match, order = order_met(person, team_id=team_id, match_id=match_id)
    if request.method == "POST":
        address = reverse("desk:bags", args=[team_id, match_id])
        return redirect(address + _bag_act(request, person, order=order))
    return _page(request, "bags", team, match=match, order=order)


@login_required
@require_safe
def labels(request: HttpRequest, team_id: int, match_id: int) -> HttpResponse:
    """One label a member, to print and put on the bag."""
    team, match, order = order_met(person_of(request), team_id=team_id, match_id=match_id)
    return _page(request, "labels", team, match=match, order=order)


def _bag_act(request: HttpRequest, person: Person, *, order: Order | None) -> str:
    """Tick or untick what was pressed; where on the page to go on."""
    typed = request.POST
    angler_id = digits_read(typed.get("angler", "")) or 0
    try:
        if order is None:
            raise Problem(Code.CONFLICT, _("Nothing is placed yet, so there is nothing to pack."))
        if "untick" in typed:
            bag_untick(person, order=order, angler_id=angler_id, key=typed["untick"])
        else:
            bag_tick(person, order=order, angler_id=angler_id, keys=typed.getlist("tick"))
    except Problem as problem:
        if problem.code is not Code.CONFLICT:
            raise
        messages.error(request, problem.detail)
        return ""
    return f"#bag-{angler_id}"


def _page(
    request: HttpRequest, name: str, team: Team, *, match: Match, order: Order | None
) -> HttpResponse:
    return render(
        request,
        f"desk/{name}.html",
        {
            "here": "bags",
            "club": match.club,
            "team": team,
            "match": match,
            "order": order,
            "packing": bags_of(order) if order else None,
            "to_come": is_to_come(match, today=timezone.localdate()),
        },
    )
