"""The members' and captains' pages: one plan, a team's plans, its order."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from bait.models import Order, OrderVersion
from bait.reads.order_shown import shop_note, version_shown
from bait.reads.orders import (
    is_stale,
    order_of,
    order_versions,
    order_work,
    team_and_match,
    version_of,
)
from bait.reads.plan_shown import team_plans
from bait.reads.plans import entry_for_plan, own_entry_of
from bait.writes.orders import order_ask, order_place, order_withdraw
from matches.models import Match, Team, WorkRequest, WorkState
from matches.problems import Code, Problem
from web.people import person_of
from web.work_words import progress_words

from .order_bars import order_bars
from .plan_editor import plan_edit

PAGE = ["GET", "HEAD", "POST"]


@login_required
@require_http_methods(PAGE)
def my_plan(request: HttpRequest, match_id: int) -> HttpResponse:
    """One's own plan for a match."""
    entry = own_entry_of(person_of(request), match_id=match_id)
    return plan_edit(request, entry=entry, own=True)


@login_required
@require_http_methods(PAGE)
def member_plan(request: HttpRequest, match_id: int, entry_id: int) -> HttpResponse:
    """A member's plan, for their captain."""
    person = person_of(request)
    entry = entry_for_plan(person, match_id=match_id, entry_id=entry_id)
    return plan_edit(request, entry=entry, own=entry.angler.person_id == person.pk)


@login_required
@require_safe
def team(request: HttpRequest, team_id: int, match_id: int) -> HttpResponse:
    """The team's plans: who has one, who is over a limit, who is missing."""
    found, match = team_and_match(person_of(request), team_id=team_id, match_id=match_id)
    plans = team_plans(found, match=match)
    order = order_of(found, match=match)
    version = (order.placed or order.current) if order else None
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
        stale=bool(order and version and is_stale(order, version=version)),
    )


@login_required
@require_http_methods(PAGE)
def order(request: HttpRequest, team_id: int, match_id: int) -> HttpResponse:
    """The team's order: ask for it, watch it come, read it, place it."""
    person = person_of(request)
    found, match = team_and_match(person, team_id=team_id, match_id=match_id)
    if request.method == "POST":
        try:
            _order_act(request, found, match=match)
        except Problem as problem:
            if problem.code is not Code.CONFLICT:
                raise
            messages.error(request, problem.detail)
        return redirect("desk:order", team_id, match_id)
    return _order_page(request, found, match=match)


def _order_act(request: HttpRequest, team: Team, *, match: Match) -> None:
    person = person_of(request)
    if request.POST.get("do") == "ask":
        order_ask(person, team=team, match=match)
        return
    order = order_of(team, match=match)
    if order is None:
        raise Problem(Code.NOT_FOUND, _("Nothing is ordered yet: work out the order first."))
    version = version_of(order, number=request.POST.get("version", ""))
    if request.POST.get("do") == "withdraw":
        order_withdraw(person, order=order, version=version)
        messages.success(request, _("Nothing counts as placed now. Tell the shops as well."))
    else:
        order_place(person, order=order, version=version)
        messages.success(
            request,
            _("Version %(n)d counts as placed. Send each shop its part, if you have not yet.")
            % {"n": version.number},
        )


def _order_page(request: HttpRequest, team: Team, *, match: Match) -> HttpResponse:
    order = order_of(team, match=match)
    work = order_work(order) if order else None
    version = _version_asked(request, order=order)
    shown = version_shown(version.pk) if version else None
    return _page(
        request,
        "order",
        team,
        match,
        order=order,
        versions=order_versions(order) if order else [],
        shown=shown,
        shops=[(shop, shop_note(shop, team=team, match=match)) for shop in shown.shops]
        if shown
        else [],
        bars=order_bars(shown, currency=team.club.currency) if shown else None,
        stale=bool(order and version and is_stale(order, version=version)),
        work=work,
        working=_is_working(work),
        words=progress_words(work) if work else "",
        failed=work is not None and work.state == WorkState.FAILED,
    )


def _version_asked(request: HttpRequest, *, order: Order | None) -> OrderVersion | None:
    if order is None:
        return None
    number = request.GET.get("version", "")
    return version_of(order, number=number) if number else order.current


def _is_working(work: WorkRequest | None) -> bool:
    return work is not None and work.state in (WorkState.WAITING, WorkState.RUNNING)


def _page(
    request: HttpRequest, name: str, team: Team, match: Match, **context: object
) -> HttpResponse:
    return render(
        request,
        f"desk/{name}.html",
        {
            "room": "desk",
            "club": match.club,
            "currency": match.club.currency,
            "team": team,
            "match": match,
            **context,
        },
    )
