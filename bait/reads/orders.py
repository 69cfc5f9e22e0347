"""A team's order: who may see it, what goes into it, and whether an answer still fits."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any
from uuid import UUID

from django.db.models import CharField, F, Prefetch, QuerySet, prefetch_related_objects
from django.db.models.functions import Cast
from django.utils.translation import gettext as _

from bait.models import Bait, Order, OrderLine, OrderVersion, Pack, Plan, Share
from bait.reckon.larder import Need, Taken, needs_by_use
from bait.reckon.plans import amount_text
from bait.reckon.substitutes import Switched
from matches.models import Entry, EntryStatus, Match, Person, Team, WorkRequest
from matches.problems import Code, Problem
from matches.reads.access import captained_teams, match_seen, matches_of
from matches.reckon.errors import BadInput, Fault, pointer

from .order_course import (
    OrderCourse,
    order_course,
    pack_rows,
    packs_listed,
    supplier_rows,
    without_bought,
)
from .order_marks import orders_marked
from .order_stock import Larder, order_larder, order_stock
from .order_substitutes import demand_rows, demands_switched, switch_rows
from .order_versions import orders_with_versions
from .plan_whole import WholePlan, plans_whole
from .plans import plan_totals_of

ORDER_WORK = "bait.tasks.order_work_out"


@dataclass(frozen=True, slots=True)
class OrderInputs:
    """The calculator's request, its digest, and the names behind its ids (for words only).

    `takes`: which lots of the larder the request's stock is. `instead`: what members are given in
    place of what is sold out.
    """

    request: dict[str, Any]
    digest: str
    member_names: Mapping[str, str]
    bait_names: Mapping[str, str]
    takes: tuple[Taken, ...] = ()
    instead: list[dict[str, str]] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class Asked:
    """What the plans ask for: demands for the calculator, and the same by use for the larder."""

    demands: list[dict[str, str]]
    needs: list[Need]
    members: Mapping[str, str]
    baits: Mapping[str, Bait]


@dataclass(frozen=True, slots=True)
class There:
    """What there is to be had: in the larder and in the shops."""

    larder: Larder
    packs: list[Pack]


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
    digits = number.isascii() and number.isdigit() and len(number) < 9
    found = order.versions.filter(number=int(number)).first() if digits else None
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


def order_inputs(order: Order, *, plans: Iterable[WholePlan] | None = None) -> OrderInputs:
    """What the order calculator is asked: the plans with spare, stock in date, shops and packs.

    Once placed, what is bought stays bought; what is sold out counts as far as it is to be had,
    and goes over to what members take instead. Only what bears on the plans goes in, in a fixed
    order, so that the digest changes when the answer could. As many queries, however large.
    Raises BadInput, naming the member, for a plan that no longer adds up, and for a lot whose
    unit no longer fits its bait. `plans`: all of those who will fish, where they are read already.
    """
    course = order_course(order)
    if plans is None:
        plans = order_plans(order)
    plans = sorted(plans, key=lambda whole: whole.plan.entry.angler_id)
    asked = _demands(plans)
    there = _there(order, asked=asked, plans=plans)
    request, takes = _request(order, asked=asked, course=course, there=there)
    switched = demands_switched(
        asked.needs, request=request, plans=plans, baits=asked.baits, course=course
    )
    instead: list[dict[str, str]] = []
    if switched is not None:
        asked = _asked_instead(asked, switched=switched, plans=plans)
        instead = switch_rows(switched.switches, baits=asked.baits)
        request, takes = _request(order, asked=asked, course=course, there=there)
    return OrderInputs(
        request=request,
        digest=inputs_digest(request),
        member_names=asked.members,
        bait_names={key: bait.name for key, bait in asked.baits.items()},
        takes=takes,
        instead=instead,
    )


def _there(order: Order, *, asked: Asked, plans: Iterable[WholePlan]) -> There:
    """Of what is asked for and of what members would take instead. Three queries."""
    baits = [*asked.baits.values(), *(b for plan in plans for b in plan.instead.values())]
    return There(
        larder=order_larder(order, baits=baits, members=asked.members),
        packs=packs_listed(baits, club_id=order.match.club_id),
    )


def _request(
    order: Order, *, asked: Asked, course: OrderCourse, there: There
) -> tuple[dict[str, Any], tuple[Taken, ...]]:
    baits = asked.baits
    stock = order_stock(
        order, larder=there.larder, needs=asked.needs, baits=baits, names=asked.members
    )
    packs = [pack for pack in there.packs if pack.bait.key in baits]
    rows = pack_rows(packs, course=course)
    request = {
        "currency": order.team.club.currency,
        "demands": asked.demands,
        "stock": stock.rows,
        "suppliers": supplier_rows(packs, rows=rows, course=course),
        "packs": rows,
        "baits": _densities(baits, course=course),
    }
    return request, stock.takes


def _densities(baits: Mapping[str, Bait], *, course: OrderCourse) -> list[dict[str, str]]:
    """Also of a bait that is bought and needed no more."""
    kept = {course.packs[pack]["bait"] for pack in course.bought} - baits.keys()
    found = {key: course.baits[key] for key in kept if key in course.baits}
    for key, bait in baits.items():
        if bait.bulk_density_kg_per_l is not None:
            density = f"{bait.bulk_density_kg_per_l.normalize():f}"
            found[key] = {"id": key, "bulk_density_kg_per_l": density}
    return [found[key] for key in sorted(found)]


def inputs_digest(request: Mapping[str, Any]) -> str:
    """SHA-256 of the request as JSON: keys sorted, no spaces, UTF-8."""
    text = json.dumps(request, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    return hashlib.sha256(text.encode()).hexdigest()


def is_stale(
    order: Order, *, version: OrderVersion, plans: Iterable[WholePlan] | None = None
) -> bool:
    """Whether plans, larder or price lists changed since the version was worked out.

    The placed version fits as long as it would be asked for again, bought or not; an order that
    was received is what it is. `plans` as for `order_inputs`: four queries, three with them.
    """
    if order.received_at is not None:
        return version.pk != order.placed_id
    try:
        inputs = order_inputs(order, plans=plans)
    except BadInput:
        return True
    return not version_fits(order, version=version, inputs=inputs)


def version_fits(order: Order, *, version: OrderVersion, inputs: OrderInputs) -> bool:
    """Whether the version is the answer to these inputs."""
    if version.pk != order.placed_id:
        return version.inputs_digest == inputs.digest
    return without_bought(version.inputs) == without_bought(inputs.request)


def order_plans(order: Order) -> list[WholePlan]:
    """The plans of those of the team who will fish. One query."""
    return plans_whole(
        Plan.objects.filter(
            entry__match_id=order.match_id,
            entry__team_id=order.team_id,
            entry__status=EntryStatus.ENTERED,
        )
    )


def _demands(plans: Iterable[WholePlan]) -> Asked:
    demands: list[dict[str, str]] = []
    needs: list[Need] = []
    members: dict[str, str] = {}
    baits: dict[str, Bait] = {}
    faults: list[Fault] = []
    for plan in plans:
        angler = plan.plan.entry.angler
        members[str(angler.pk)] = angler.name
        baits |= plan.baits
        try:
            totals = plan_totals_of(plan)
        except BadInput as bad:
            faults += [
                Fault(pointer("plans", angler.name) + f.pointer, f"{angler.name}: {f.message}")
                for f in bad.faults
            ]
            continue
        needs += needs_by_use(str(angler.pk), totals=totals)
        demands += [
            {
                "member": str(angler.pk),
                "bait": total.bait,
                "amount": amount_text(total.with_spare),
                "unit": total.unit,
            }
            for total in totals
        ]
    if faults:
        raise BadInput(*faults)
    return Asked(demands, needs, members, baits)


def _asked_instead(asked: Asked, *, switched: Switched, plans: Iterable[WholePlan]) -> Asked:
    others = {bait.key: bait for plan in plans for bait in plan.instead.values()}
    taken = {switch.instead for switch in switched.switches}
    baits = {**{key: others[key] for key in sorted(taken)}, **asked.baits}
    needs = list(switched.needs)
    return Asked(demand_rows(needs, baits=baits), needs, asked.members, baits)
