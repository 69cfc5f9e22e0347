"""What a team's bait cost over a season, beside what was weighed and won with it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from django.db.models import QuerySet

from bait.models import Order
from bait.reckon.bait_cost import GRAMS, MatchCost, SeasonCost, season_cost, section_points
from matches.models import Angler, Entry, EntryStatus, Match, Person
from matches.reads.newest_bulletins import newest_bulletins

from .larder import LarderSeen, larder_seen
from .order_bill import OrderBill, order_bill
from .order_marks import orders_marked
from .orders import versions_fill

#: A season is what was fished in so many days.
SEASON_DAYS = 365
#: Some matches give these the place of the last.
_NO_POINTS = (EntryStatus.ABSENT, EntryStatus.DISQUALIFIED)


@dataclass(frozen=True, slots=True)
class MemberCost:
    """What bait cost one member, match by match and over the season."""

    angler: Angler
    rows: tuple[MatchCost, ...]
    season: SeasonCost


@dataclass(frozen=True, slots=True)
class TeamCost:
    """`matches` are those with a placed order and a published result, newest first; `waiting` have
    an order and no result yet, and count nowhere. `team` is None for who sees only their own.
    """

    seen: LarderSeen
    since: dt.date
    until: dt.date
    matches: tuple[Match, ...]
    waiting: tuple[Match, ...]
    members: tuple[MemberCost, ...]
    team: SeasonCost | None
    team_rows: Mapping[int, SeasonCost]


@dataclass(frozen=True, slots=True)
class _Caught:
    grams: Fraction
    points: Fraction


def bait_cost(person: Person, *, team_id: int, today: dt.date) -> TeamCost:
    """The last 365 days: the captain sees the team and each member, a member their own.

    Money is each member's part of a placed order as it came and was charged; bait from the larder
    has no price. The same number of queries for any number of matches. Raises Problem NOT_FOUND or
    NOT_ALLOWED.
    """
    seen = larder_seen(person, team_id=team_id)
    since = today - dt.timedelta(days=SEASON_DAYS)
    orders = _orders(seen, since=since, until=today)
    caught = dict(_caught(seen, matches=[order.match_id for order in orders]))
    counted = [order for order in orders if order.match_id in caught]
    bills = [(order, bill) for order in counted if (bill := order_bill(order)) is not None]
    members = tuple(
        member
        for member in _members(bills, caught=caught)
        if seen.captain or (seen.angler and member.angler.pk == seen.angler.pk)
    )
    whole = [row for member in members for row in member.rows]
    return TeamCost(
        seen=seen,
        since=since,
        until=today,
        matches=tuple(order.match for order in counted),
        waiting=tuple(order.match for order in orders if order.match_id not in caught),
        members=members,
        team=season_cost(whole) if seen.captain else None,
        team_rows={
            order.match_id: season_cost([row for row in whole if row.match == order.match_id])
            for order in counted
        }
        if seen.captain
        else {},
    )


def _orders(seen: LarderSeen, *, since: dt.date, until: dt.date) -> list[Order]:
    """The team's placed orders of the season, with all that a bill takes. Four queries."""
    placed: QuerySet[Order] = Order.objects.filter(team=seen.team, placed__isnull=False)
    orders = list(
        orders_marked(placed)
        .filter(match__date__gte=since, match__date__lte=until, match__called_off="")
        .select_related("placed", "match")
        .prefetch_related("shop_charges")
        .order_by("-match__date", "-match_id")
    )
    versions_fill(*(order.placed for order in orders if order.placed))
    return orders


def _caught(
    seen: LarderSeen, *, matches: Sequence[int]
) -> Iterator[tuple[int, dict[int, _Caught]]]:
    """By match with a published result: what the team's anglers weighed and won. Two queries."""
    bodies = list(newest_bulletins().filter(match__in=matches).values_list("match_id", "body"))
    whose = dict(
        Entry.objects.filter(match__in=matches, team=seen.team).values_list("pk", "angler_id")
    )
    for match, body in bodies:
        yield match, dict(_of_body(body, whose=whose))


def _of_body(body: Mapping[str, Any], *, whose: Mapping[int, int]) -> Iterator[tuple[int, _Caught]]:
    gram = GRAMS[body["weight_unit"]]
    for section in body["sections"]:
        size = len(section["entries"])
        for entry in section["entries"]:
            angler, place = whose.get(entry["entry"]), entry["place"]
            if angler is not None and place is not None:
                away = entry["status"] in _NO_POINTS
                points = Fraction(0) if away else section_points(Fraction(place), size=size)
                yield angler, _Caught(gram * (entry["weight"] or 0), points)


def _members(
    bills: Sequence[tuple[Order, OrderBill]], *, caught: Mapping[int, Mapping[int, _Caught]]
) -> Iterator[MemberCost]:
    """Everybody who bears a part of an order, by name."""
    nothing = _Caught(Fraction(0), Fraction(0))
    anglers: dict[int, Angler] = {}
    rows: dict[int, list[MatchCost]] = {}
    for order, bill in bills:
        for key, angler in bill.anglers.items():
            anglers[angler.pk] = angler
            got = caught[order.match_id].get(angler.pk, nothing)
            row = MatchCost(order.match_id, bill.due(key), got.grams, got.points)
            rows.setdefault(angler.pk, []).append(row)
    for angler in sorted(anglers.values(), key=lambda one: (one.name, one.pk)):
        mine = tuple(rows[angler.pk])
        yield MemberCost(angler, mine, season_cost(mine))
