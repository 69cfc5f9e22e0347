"""A captain's way to the first bags handed out, worked out from what the team has."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from django.db.models import Exists, OuterRef, Q, QuerySet

from bait.models import Order, Pack, Plan
from matches.models import FISHING, Angler, Entry, Match, MatchState, Person, Role, Team
from matches.reads.access import captained_teams, memberships_of


class OrderStep(StrEnum):
    """What is done one after the other, in this order."""

    TEAM = "team"
    SHOP = "shop"
    ENTER = "entered"
    PLANS = "plans"
    ORDER = "order"
    PLACE = "place"
    HAND_OUT = "hand-out"


@dataclass(frozen=True, slots=True)
class TeamHas:
    """What a team has: any angler, packs its club's shops sell, and of the match it is entered in
    (None: none to come, and none it has placed bait for) how many plans, and its order."""

    anglers: bool = False
    packs: bool = False
    match: Match | None = None
    plans: int = 0
    order: Order | None = None


@dataclass(frozen=True, slots=True)
class FirstOrder:
    """Each step with whether it is done; `next` is the first that is not."""

    team: Team
    has: TeamHas
    done: dict[OrderStep, bool]

    @property
    def next(self) -> OrderStep:
        return next((step for step in OrderStep if not self.done[step]), OrderStep.HAND_OUT)


def order_steps_done(has: TeamHas) -> dict[OrderStep, bool]:
    """Which steps are behind a team that has so much."""
    order = has.order
    return {
        OrderStep.TEAM: has.anglers,
        OrderStep.SHOP: has.packs,
        OrderStep.ENTER: has.match is not None,
        OrderStep.PLANS: has.plans > 0,
        OrderStep.ORDER: order is not None and order.current_id is not None,
        OrderStep.PLACE: order is not None and order.placed_id is not None,
        OrderStep.HAND_OUT: order is not None and order.bagged_at is not None,
    }


def first_orders(person: Person) -> dict[int, list[FirstOrder]]:
    """By club the teams the person captains, or fishes for and may order for, that have never
    filled a bag. One query for who has none such, a few a team for who has."""
    packs = Pack.objects.filter(shop__club=OuterRef("club"), shop__retired=False, retired=False)
    teams = (
        _teams(person)
        .exclude(Exists(Order.objects.filter(team=OuterRef("pk"), bagged_at__isnull=False)))
        .annotate(peopled=Exists(Angler.objects.filter(team=OuterRef("pk"))), packs=Exists(packs))
    )
    found: dict[int, list[FirstOrder]] = {}
    for team in teams:
        has = _has(team, anglers=team.peopled, packs=team.packs)
        found.setdefault(team.club_id, []).append(FirstOrder(team, has, order_steps_done(has)))
    return found


def _teams(person: Person) -> QuerySet[Team]:
    captained = memberships_of(person).filter(role=Role.CAPTAIN).values("team_id")
    own = Angler.objects.filter(person_id=person.pk, team__isnull=False).values("team_id")
    return captained_teams(person).filter(Q(pk__in=captained) | Q(pk__in=own), visitors=False)


def _has(team: Team, *, anglers: bool, packs: bool) -> TeamHas:
    placed = Order.objects.filter(match=OuterRef("pk"), team=team, placed__isnull=False)
    match = (
        Match.objects.filter(
            Q(state__in=(MatchState.PLANNED, MatchState.DRAWN)) | Exists(placed),
            Exists(Entry.objects.filter(match=OuterRef("pk"), team=team, status__in=FISHING)),
            called_off="",
        )
        .order_by("-date", "-pk")
        .first()
    )
    if match is None:
        return TeamHas(anglers=anglers, packs=packs)
    return TeamHas(
        anglers=anglers,
        packs=packs,
        match=match,
        plans=Plan.objects.filter(entry__match=match, entry__team=team).count(),
        order=Order.objects.filter(match=match, team=team).first(),
    )
