"""A team's order: who may see it, its versions and the work asked for it."""

from __future__ import annotations

from uuid import UUID

from django.db.models import CharField, F, Prefetch, QuerySet, prefetch_related_objects
from django.db.models.functions import Cast
from django.utils.translation import gettext as _

from bait.models import Order, OrderLine, OrderVersion, Share
from matches.models import Entry, Match, Person, Team, WorkRequest
from matches.problems import Code, Problem
from matches.reads.access import captained_teams, match_seen, matches_of
from matches.reckon.decimals import digits_read

from .order_marks import orders_marked
from .order_versions import orders_with_versions

ORDER_WORK = "bait.tasks.order_work_out"


def team_and_match(person: Person, *, team_id: int, match_id: int) -> tuple[Team, Match]:
    """A team the person orders for, and a match it may fish. Raises Problem NOT_FOUND or
    NOT_ALLOWED."""
    match = match_seen(person, match_id=match_id)
    team = captained_teams(person).filter(club_id=match.club_id, pk=team_id).first()
    if team is None:
        if not Team.objects.filter(club_id=match.club_id, pk=team_id).exists():
            raise Problem(Code.NOT_FOUND, _("No such team in this club."))
        raise Problem(
            Code.NOT_ALLOWED, _("Only the team's captain or the secretary may see its order.")
        )
    return team, match


def order_met(person: Person, *, team_id: int, match_id: int) -> tuple[Team, Match, Order | None]:
    """What `team_and_match` gives, and the team's order for the match: one query where there is
    one. Raises as `team_and_match`."""
    order = (
        orders_with_versions(orders_seen())
        .filter(team=team_id, match=match_id, team__club=F("match__club"))
        .filter(team__in=captained_teams(person), match__in=matches_of(person))
        .first()
    )
    if order is None:
        return *team_and_match(person, team_id=team_id, match_id=match_id), None
    return order.team, order.match, order


def orders_seen() -> QuerySet[Order]:
    """Orders with all that a page says of one, their marks too."""
    return orders_marked(
        Order.objects.select_related(
            "current", "placed", "match__club", "match__venue", "team__club"
        )
    )


def order_of(team: Team, *, match: Match) -> Order | None:
    """The team's order for the match; None before one is asked for. Fetches as `orders_seen`."""
    return orders_seen().filter(team=team, match=match).first()


def is_order_placed(entry: Entry) -> bool:
    """Whether the order of the entry's team is placed: its plan is then changed late."""
    return Order.objects.filter(
        team=entry.team_id, match=entry.match_id, placed__isnull=False
    ).exists()


def order_versions(order: Order) -> list[OrderVersion]:
    """Its versions, the newest first, without the long inputs and answers."""
    return list(order.versions.defer("inputs", "answer").order_by("-number"))


def version_of(order: Order, *, number: str) -> OrderVersion:
    """The order's version of that number, as text. Raises Problem NOT_FOUND."""
    found = order.versions.filter(number=digits_read(number) or 0).first()
    if found is None:
        raise Problem(Code.NOT_FOUND, _("This order has no such version."))
    return found


def version_whole(version: OrderVersion) -> OrderVersion:
    """The version with its lines and shares: two queries."""
    versions_fill(version)
    return version


def versions_fill(*versions: OrderVersion) -> None:
    """Fetch with versions their lines and shares, where they are not there yet: two queries."""
    lines = OrderLine.objects.select_related("pack__bait", "pack__shop").order_by(
        "pack__shop__name", "pack__bait__name", "pack__key"
    )
    shares = Share.objects.select_related("angler").order_by("angler__name", "angler_id")
    prefetch_related_objects(
        versions, Prefetch("lines", queryset=lines), Prefetch("shares", queryset=shares)
    )


def order_work(order: Order) -> WorkRequest | None:
    """The latest work asked for this order."""
    return (
        WorkRequest.objects.filter(kind=ORDER_WORK, key=str(order.pk)).order_by("-asked_at").first()
    )


def work_seen(person: Person, *, work_id: UUID) -> WorkRequest:
    """Work for an order of a team the person orders for. One query, so that nothing tells work of
    others from none. Raises Problem NOT_FOUND."""
    orders = Order.objects.filter(team__in=captained_teams(person))
    keys = orders.annotate(as_key=Cast("pk", CharField())).values("as_key")
    work = WorkRequest.objects.filter(pk=work_id, kind=ORDER_WORK, key__in=keys).first()
    if work is None:
        raise Problem(Code.NOT_FOUND, _("No such work of your teams."))
    return work
