"""The team's order on one page: ask for it, watch it come, place it, change it, see it through."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_safe

from bait.models import Order, OrderLine, OrderVersion
from bait.reads.kitty import kitty_of
from bait.reads.order_changes import OrderChanges, order_changes
from bait.reads.order_inputs import is_stale, order_plans
from bait.reads.order_life import (
    OrderState,
    cut_off_at,
    order_state,
    order_steps,
    worked_out_later,
)
from bait.reads.order_marks import CamePacks, order_marks
from bait.reads.order_shown import ShopPart, VersionShown, shop_note, version_shown
from bait.reads.order_versions import versions_listed
from bait.reads.orders import order_met, order_work, version_of
from bait.reads.plan_whole import WholePlan
from bait.reads.shop_sheets import change_notes
from bait.reads.spare import spare_offered
from bait.reckon.starters import EXAMPLE_KEY
from bait.writes.plan_spare import spares_mark
from matches.models import Match, Team, WorkRequest, WorkState
from matches.problems import Problem
from matches.reckon.errors import BadInput, Fault
from web.methods import shown_and_sent
from web.people import person_of
from web.truth_words import spare_said
from web.work_words import progress_words

from .came_form import came_fields
from .form_act import refusal_say
from .order_acts import order_act
from .order_bars import order_bars
from .undo import done_say


@dataclass(frozen=True, slots=True)
class ShopSheet:
    """A shop's part of the version with its text, and by when the shop must have it."""

    part: ShopPart
    note: str
    cut_off: dt.datetime
    passed: bool
    before_match_cut_off: bool


@dataclass(frozen=True, slots=True)
class Course:
    """Which of the order's steps can be taken on this page now."""

    state: OrderState
    is_placed: bool
    can_go_back_to: bool
    may_mark: bool


@login_required
@shown_and_sent
def order(request: HttpRequest, team_id: int, match_id: int) -> HttpResponse:
    """Where the order stands, what it is made of, and the next step with its way back."""
    team, match, found = order_met(person_of(request), team_id=team_id, match_id=match_id)
    faults: Sequence[Fault] = ()
    if request.method == "POST":
        faults = _act(request, team, match=match)
        if not faults:
            return redirect("desk:order", team_id, match_id)
    work = order_work(found) if found else None
    number = (request.POST if faults else request.GET).get("version", "")
    version = _version_asked(found, number=number)
    # Before what is shown: the lines and shares of both versions are read together.
    change = _change(found, version=version) if found and version else None
    shown = version_shown(version) if version else None
    plans = order_plans(found) if found and version and not found.placed_id else None
    stale = bool(found and version and is_stale(found, version=version, plans=plans))
    context: dict[str, object] = {
        "here": "order",
        "club": match.club,
        "currency": match.club.currency,
        "team": team,
        "match": match,
        "order": found,
        "steps": order_steps(found),
        "later": worked_out_later(found),
        "versions": versions_listed(found) if found else [],
        "shown": shown,
        "sheets": _sheets(shown, team=team, match=match) if shown else [],
        "example": shown is not None and any(part.shop.key == EXAMPLE_KEY for part in shown.shops),
        "bars": order_bars(shown, currency=team.club.currency) if shown else None,
        "stale": stale,
        "state_known": json.dumps(
            _stands(found, working=_is_working(work), stale=None if number else stale)
        ),
        "work": work,
        "working": _is_working(work),
        "words": progress_words(work) if work else "",
        "failed": work is not None and work.state == WorkState.FAILED,
    }
    if found is None or found.placed_id is None:
        context |= _spare_context(team, match=match, plans=plans)
    if found and version and shown:
        context |= _course_context(found, version=version, shown=shown, change=change)
        sent: Mapping[str, str] = request.POST if faults else {}
        lines = [line for part in shown.shops for line in part.lines]
        kept = order_marks(found).came if found.placed_id else {}
        context["came_fields"] = came_fields(lines, kept=kept, sent=sent, faults=faults)
        context["counting"] = bool(kept or faults)
    return render(request, "desk/order.html", context)


@login_required
@require_safe
def order_stands(request: HttpRequest, team_id: int, match_id: int) -> HttpResponse:
    """A few words for a page that looks whether anything changed: JSON, never kept."""
    _team, _match, found = order_met(person_of(request), team_id=team_id, match_id=match_id)
    work = order_work(found) if found else None
    answer = JsonResponse(_stands(found, working=_is_working(work)))
    answer["Cache-Control"] = "no-store"
    return answer


def _stands(order: Order | None, *, working: bool, stale: bool | None = None) -> dict[str, object]:
    """`stale`, of the version that the page shows first, where it is known already."""
    version = _version_first(order) if order else None
    if stale is None:
        stale = bool(order and version and is_stale(order, version=version))
    return {
        "state": order_state(order).value,
        "version": version.number if version else None,
        "placed": order.placed.number if order and order.placed else None,
        "stale": stale,
        "working": working,
    }


def _version_first(order: Order) -> OrderVersion | None:
    return order.placed if order.received_at else order.current


def _act(request: HttpRequest, team: Team, *, match: Match) -> Sequence[Fault]:
    """Do what was pressed and say so; the faults of what was typed, for its fields."""
    try:
        said = order_act(request, team, match=match)
    except Problem as problem:
        refusal_say(request, problem)
    except BadInput as bad:
        for message in dict.fromkeys(fault.message for fault in bad.faults):
            messages.error(request, message)
        return bad.faults if request.POST.get("do") == "receive" else ()
    else:
        if said:
            done_say(request, said)
    return ()


def _version_asked(order: Order | None, *, number: str) -> OrderVersion | None:
    if order is None:
        return None
    return version_of(order, number=number) if number else _version_first(order)


def _sheets(shown: VersionShown, *, team: Team, match: Match) -> list[ShopSheet]:
    now = timezone.now()
    return [
        ShopSheet(
            part,
            shop_note(part, team=team, match=match),
            at,
            passed=at < now,
            before_match_cut_off=match.order_by is not None and at < match.order_by,
        )
        for part in shown.shops
        for at in [cut_off_at(part.shop, match=match)]
    ]


def _spare_context(
    team: Team, *, match: Match, plans: Sequence[WholePlan] | None
) -> dict[str, object]:
    spare = spare_offered(team, match=match, plans=plans)
    return {
        "spare": spare,
        "spare_why": spare_said(spare.spare) if spare else "",
        "spare_mark": spares_mark(spare.now) if spare else "",
    }


def _course_context(
    order: Order, *, version: OrderVersion, shown: VersionShown, change: OrderChanges | None
) -> dict[str, object]:
    here = order.placed_id == version.pk
    open_still = order.received_at is None
    context: dict[str, object] = {
        "course": Course(
            state=order_state(order),
            is_placed=here,
            can_go_back_to=here and open_still and "changes" in version.answer,
            may_mark=open_still,
        ),
        "changes": change,
        "notes": change_notes(change, team=order.team, match=order.match) if change else [],
        "marks": order_marks(order) if open_still else None,
    }
    if here and not open_still:
        kitty = kitty_of(order)
        context["came"] = _came(order, shown=shown)
        context["came_pence"] = kitty.bill.total if kitty else None
        context["even"] = kitty is not None and kitty.even
    return context


def _change(order: Order, *, version: OrderVersion) -> OrderChanges | None:
    """What this version would change of the placed one, while that can still be changed."""
    placed = order.placed
    if placed is None or placed.pk == version.pk or order.received_at is not None:
        return None
    if version.answer.get("changes") != placed.number:
        return None
    return order_changes(placed, version)


def _came(order: Order, *, shown: VersionShown) -> list[tuple[OrderLine, CamePacks]]:
    came = order_marks(order).came
    return [
        (line, came[line.pack_id])
        for part in shown.shops
        for line in part.lines
        if line.pack_id in came
    ]


def _is_working(work: WorkRequest | None) -> bool:
    return work is not None and work.state in (WorkState.WAITING, WorkState.RUNNING)
