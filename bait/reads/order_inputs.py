"""What goes into a team's order, and whether an answer still fits it."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from bait.models import Bait, Order, OrderVersion, Pack, Plan
from bait.reckon.larder import Need, Taken, needs_by_use
from bait.reckon.plans import amount_text
from bait.reckon.substitutes import Switched
from matches.models import EntryStatus
from matches.reckon.decimals import decimal_plain
from matches.reckon.errors import BadInput, Fault, pointer

from .order_course import (
    OrderCourse,
    order_course,
    pack_rows,
    packs_listed,
    supplier_rows,
    without_bought,
)
from .order_stock import Larder, order_larder, order_stock
from .order_substitutes import demand_rows, demands_switched, switch_rows
from .plan_whole import WholePlan, plans_whole
from .plans import plan_totals_of


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
            density = decimal_plain(bait.bulk_density_kg_per_l)
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
