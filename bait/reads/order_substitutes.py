"""Where a shop is out of a bait: what members said they take instead."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction
from typing import Any

from bait.models import Bait
from bait.reckon.larder import Need
from bait.reckon.order import OrderRequest, order_parse
from bait.reckon.order.prepare import Scales, member_needs, problem_prepare, team_needs
from bait.reckon.plans import amount_text
from bait.reckon.substitutes import Rule, Switch, Switched, instead_factor, needs_switch
from matches.reckon.errors import BadInput

from .order_course import OrderCourse
from .plan_whole import WholePlan


def demands_switched(
    needs: Sequence[Need],
    *,
    request: Mapping[str, Any],
    plans: Iterable[WholePlan],
    baits: Mapping[str, Bait],
    course: OrderCourse,
) -> Switched | None:
    """Needs after what is sold out (or of a shop left out) went over to substitutes.

    None where nothing goes over. What nobody takes another bait for stays short.
    """
    short_of = _baits_limited(request, course=course)
    if not short_of:
        return None
    try:
        asked = order_parse(request)
    except BadInput:
        return None  # the calculator refuses it too, and that refusal is put in words
    scales = Scales(asked)
    mine = member_needs(asked, scales=scales)
    short = {
        bait: _in_unit(amount, bait=baits[bait], scales=scales)
        for bait, amount in _short(asked, scales=scales).items()
        if bait in short_of and bait in baits
    }
    open_needs = {
        (member, bait): _in_unit(amount, bait=baits[bait], scales=scales)
        for member, amounts in mine.items()
        for bait, amount in amounts.items()
        if bait in short
    }
    found = needs_switch(
        needs, open_needs=open_needs, short=short, rules=_rules(plans, baits=baits)
    )
    return found if found.switches else None


def _baits_limited(request: Mapping[str, Any], *, course: OrderCourse) -> set[str]:
    """The baits of the request that shops might be short of on account of this order's marks."""
    demanded = {row["bait"] for row in request["demands"]}
    return demanded if course.limited else set()


def _short(asked: OrderRequest, *, scales: Scales) -> dict[str, Fraction]:
    needs = team_needs(member_needs(asked, scales=scales), request=asked, scales=scales)
    missing = problem_prepare(asked, needs=needs, scales=scales).missing
    return {one.bait: one.amount for one in missing}


def _in_unit(amount: Fraction, *, bait: Bait, scales: Scales) -> Fraction:
    return scales.out_of_base(amount, bait=bait.key, unit=bait.unit)


def _rules(plans: Iterable[WholePlan], *, baits: Mapping[str, Bait]) -> list[Rule]:
    rules = []
    for plan in plans:
        for key, instead in plan.instead.items():
            factor = _factor(baits[key], instead=instead) if key in baits else None
            if factor is not None:
                rules.append(Rule(str(plan.plan.entry.angler_id), key, instead.key, factor))
    return rules


def _factor(bait: Bait, *, instead: Bait) -> Fraction | None:
    return instead_factor(
        unit=bait.unit,
        density=_density(bait),
        instead_unit=instead.unit,
        instead_density=_density(instead),
    )


def _density(bait: Bait) -> Fraction | None:
    found = bait.bulk_density_kg_per_l
    return None if found is None else Fraction(found)


def demand_rows(needs: Iterable[Need], *, baits: Mapping[str, Bait]) -> list[dict[str, str]]:
    """The calculator's demands: each member's needs of a bait together, in the bait's unit."""
    sums: dict[tuple[str, str], Fraction] = {}
    for need in needs:
        key = (need.member, need.bait)
        sums[key] = sums.get(key, Fraction(0)) + need.amount
    return [
        {
            "member": member,
            "bait": bait,
            "amount": amount_text(amount),
            "unit": baits[bait].unit,
        }
        for (member, bait), amount in sums.items()
    ]


def switch_rows(switches: Iterable[Switch], *, baits: Mapping[str, Bait]) -> list[dict[str, str]]:
    """The switches as a version keeps them."""
    return [
        {
            "member": switch.member,
            "bait": switch.bait,
            "amount": amount_text(switch.amount),
            "unit": baits[switch.bait].unit,
            "instead": switch.instead,
            "instead_amount": amount_text(switch.instead_amount),
            "instead_unit": baits[switch.instead].unit,
        }
        for switch in switches
    ]
