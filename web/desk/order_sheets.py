"""What leaves the order page: text, a file and a page for each shop, and a calendar."""

from __future__ import annotations

from collections.abc import Sequence

from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from bait.models import Order, OrderVersion
from bait.reads.order_life import cut_off_at
from bait.reads.order_shown import ShopPart, shop_note, version_shown
from bait.reads.orders import order_of, team_and_match, version_of
from bait.reads.shop_sheets import COLUMNS, order_calendar, shop_rows
from matches.models import Match, Team
from matches.problems import Code, Problem
from web.csv_files import csv_file
from web.people import person_of


@login_required
@require_safe
def shops_text(request: HttpRequest, team_id: int, match_id: int) -> HttpResponse:
    """The order in plain words, for one shop (`?shop=`) or for all, one after the other."""
    order, version = _asked(request, team_id=team_id, match_id=match_id)
    parts = _parts(request, version=version)
    notes = [
        f"{part.name}\n\n{shop_note(part, team=order.team, match=order.match)}\n" for part in parts
    ]
    return HttpResponse("\n\n".join(notes), content_type="text/plain; charset=utf-8")


@login_required
@require_safe
def shops_csv(request: HttpRequest, team_id: int, match_id: int) -> HttpResponse:
    """One line a pack; UTF-8 with a mark, and no cell that a spreadsheet would run."""
    order, version = _asked(request, team_id=team_id, match_id=match_id)
    parts = _parts(request, version=version)
    name = _file_name(order.match, version=version, ending="csv")
    return csv_file([COLUMNS, *shop_rows(parts)], disposition=name)


@login_required
@require_safe
def shops_print(request: HttpRequest, team_id: int, match_id: int) -> HttpResponse:
    """One page a shop, to print or to hand over the counter."""
    order, version = _asked(request, team_id=team_id, match_id=match_id)
    match = order.match
    sheets = [
        (part, cut_off_at(part.shop, match=match)) for part in _parts(request, version=version)
    ]
    return render(
        request,
        "desk/order_print.html",
        {
            "club": match.club,
            "currency": match.club.currency,
            "team": order.team,
            "match": match,
            "order": order,
            "version": version,
            "sheets": sheets,
        },
    )


@login_required
@require_safe
def calendar(request: HttpRequest, team_id: int, match_id: int) -> HttpResponse:
    """Cut-offs and collection for a phone's calendar (RFC 5545)."""
    order, version = _asked(request, team_id=team_id, match_id=match_id)
    shops = [part.shop for part in _parts(request, version=version)]
    body = order_calendar(order, version=version, shops=shops)
    response = HttpResponse(body, content_type="text/calendar; charset=utf-8")
    response["Content-Disposition"] = _file_name(order.match, version=version, ending="ics")
    return response


def _asked(request: HttpRequest, *, team_id: int, match_id: int) -> tuple[Order, OrderVersion]:
    """The order and the version asked for (`?version=`), else the placed, else the latest one."""
    team, match = team_and_match(person_of(request), team_id=team_id, match_id=match_id)
    order = _order(team, match=match)
    number = request.GET.get("version", "")
    version = version_of(order, number=number) if number else order.placed or order.current
    if version is None:
        raise Problem(Code.NOT_FOUND, _("Nothing is ordered yet: work out the order first."))
    return order, version


def _order(team: Team, *, match: Match) -> Order:
    order = order_of(team, match=match)
    if order is None:
        raise Problem(Code.NOT_FOUND, _("Nothing is ordered yet: work out the order first."))
    return order


def _parts(request: HttpRequest, *, version: OrderVersion) -> Sequence[ShopPart]:
    parts, key = version_shown(version).shops, request.GET.get("shop", "")
    if not key:
        return parts
    mine = [part for part in parts if part.shop.key == key]
    if not mine:
        raise Problem(Code.NOT_FOUND, _("Nothing of this order is bought from that shop."))
    return mine


def _file_name(match: Match, *, version: OrderVersion, ending: str) -> str:
    return f'attachment; filename="{match.slug}-order-{version.number}.{ending}"'
