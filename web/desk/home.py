"""The desk's first page: what there is to do, club by club."""

from __future__ import annotations

from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from bait.reads.first_order import FirstOrder, first_orders
from bait.reads.shops import clubs_kept
from matches.models import Team
from matches.reads.desk import DeskClub, desk_clubs
from matches.reads.first_steps import FirstSteps, first_steps
from matches.writes.notices import notices_put_away
from web.first_words import WayShown, club_way, order_way
from web.people import person_of


@login_required
@require_safe
def desk(request: HttpRequest) -> HttpResponse:
    """The person's clubs and matches, and what each waits for."""
    person = person_of(request)
    clubs = desk_clubs(person, today=timezone.localdate())
    ways = first_steps([one.club for one in clubs if one.runs])
    orders = first_orders(person)
    kept = set(clubs_kept(person).values_list("pk", flat=True))
    return render(
        request,
        "desk/home.html",
        {
            "clubs": [(one, *_ways(one, ways, orders)) for one in clubs],
            "kept": kept,
            "notices": person.notices.all(),
            "begins": person.is_superuser,
        },
    )


@login_required
@require_POST
def notices_away(request: HttpRequest) -> HttpResponse:
    """Who was told that their way in was changed has read it."""
    notices_put_away(person_of(request))
    return redirect("desk:home")


def _ways(
    one: DeskClub, ways: dict[int, FirstSteps], orders: dict[int, list[FirstOrder]]
) -> tuple[WayShown | None, list[tuple[Team, WayShown]]]:
    """The way to a first result, and each team's to its first bags, while there is one."""
    first = ways.get(one.club.pk)
    return (
        club_way(first) if first else None,
        [(order.team, order_way(order, runs=one.runs)) for order in orders.get(one.club.pk, [])],
    )
