"""A team's order: who may see it, what goes into it, and whether an answer still fits."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from django.db.models import Prefetch
from django.utils.translation import gettext as _

from bait.models import Bait, Order, OrderLine, OrderVersion, Pack, Plan, Share
from bait.reckon.larder import Need, Taken, needs_by_use
from bait.reckon.plans import amount_text
from matches.models import EntryStatus, Match, Person, Team, WorkRequest
from matches.problems import Code, Problem
from matches.reads.access import captained_teams, match_seen
from matches.reckon.errors import BadInput, Fault, pointer
from matches.reckon.money import pence_format

from .order_stock import order_stock
from .plans import plan_baits, plan_totals_of, plans_with_stages

ORDER_WORK = "bait.tasks.order_work_out"


@dataclass(frozen=True, slots=True)
class OrderInputs:
    """The calculator's request, its digest, and the names behind its ids (for words only).

    `takes`: which lots of the larder the request's stock is.
    """

    request: dict[str, Any]
    digest: str
    member_names: Mapping[str, str]
    bait_names: Mapping[str, str]
    takes: tuple[Taken, ...] = ()


def team_and_match(person: Person, *, team_id: int, match_id: int) -> tuple[Team, Match]:
    """A team the person orders for, and a match it may fish. Raises Problem NOT_FOUND or
    NOT_ALLOWED."""
    match = match_seen(person, match_id=match_id)
    team = Team.objects.filter(club_id=match.club_id, pk=team_id).select_related("club").first()
    if team is None:
        raise Problem(Code.NOT_FOUND, _("No such team in this club."))
    if not captained_teams(person).filter(pk=team.pk).exists():
        raise Problem(
            Code.NOT_ALLOWED, _("Only the team's captain or the secretary may see its order.")
        )
    return team, match


def order_of(team: Team, *, match: Match) -> Order | None:
    return (
        Order.objects.filter(team=team, match=match)
        .select_related("current", "placed", "match", "team__club")
        .first()
    )


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


def version_whole(version_id: int) -> OrderVersion:
    """One version with its lines and shares: three queries."""
    lines = OrderLine.objects.select_related("pack__bait", "pack__shop").order_by(
        "pack__shop__name", "pack__bait__name", "pack__key"
    )
    shares = Share.objects.select_related("angler").order_by("angler__name", "angler_id")
    return OrderVersion.objects.prefetch_related(
        Prefetch("lines", queryset=lines), Prefetch("shares", queryset=shares)
    ).get(pk=version_id)


def order_work(order: Order) -> WorkRequest | None:
    """The latest work asked for this order."""
    return (
        WorkRequest.objects.filter(kind=ORDER_WORK, key=str(order.pk)).order_by("-asked_at").first()
    )


def work_seen(person: Person, *, work_id: UUID) -> WorkRequest:
    """Work for an order of a team the person orders for. Raises Problem NOT_FOUND."""
    work = WorkRequest.objects.filter(pk=work_id, kind=ORDER_WORK).first()
    if (
        work is None
        or not Order.objects.filter(pk=int(work.key), team__in=captained_teams(person)).exists()
    ):
        raise Problem(Code.NOT_FOUND, _("No such work of your teams."))
    return work


def order_inputs(order: Order) -> OrderInputs:
    """What the order calculator is asked: the plans with spare, stock in date, shops and packs.

    Only what bears on the plans goes in, in a fixed order, so that the digest changes when the
    answer could. As many queries, however large. Raises BadInput, naming the member, for a plan
    that no longer adds up, and for a lot whose unit no longer fits its bait.
    """
    demands, needs, members, baits = _demands(_plans(order))
    stock = order_stock(order, needs=needs, baits=baits, names=members)
    packs = _packs(baits.values(), club_id=order.match.club_id)
    shops = {pack.shop.key: pack.shop for pack in packs}
    request = {
        "currency": order.team.club.currency,
        "demands": demands,
        "stock": stock.rows,
        "suppliers": [
            {
                "id": key,
                "delivery_fee": pence_format(shop.delivery_fee_pence),
                "minimum_spend": pence_format(shop.minimum_spend_pence),
                "free_delivery_from": None
                if shop.free_delivery_from_pence is None
                else pence_format(shop.free_delivery_from_pence),
            }
            for key, shop in sorted(shops.items())
        ],
        "packs": [_pack_json(pack) for pack in packs],
        "baits": [
            {"id": key, "bulk_density_kg_per_l": f"{bait.bulk_density_kg_per_l.normalize():f}"}
            for key, bait in sorted(baits.items())
            if bait.bulk_density_kg_per_l is not None
        ],
    }
    return OrderInputs(
        request=request,
        digest=inputs_digest(request),
        member_names=members,
        bait_names={key: bait.name for key, bait in baits.items()},
        takes=stock.takes,
    )


def inputs_digest(request: Mapping[str, Any]) -> str:
    """SHA-256 of the request as JSON: keys sorted, no spaces, UTF-8."""
    text = json.dumps(request, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    return hashlib.sha256(text.encode()).hexdigest()


def is_stale(order: Order, *, version: OrderVersion) -> bool:
    """Whether plans, larder or price lists changed since the version was worked out."""
    try:
        return order_inputs(order).digest != version.inputs_digest
    except BadInput:
        return True


def _plans(order: Order) -> list[Plan]:
    return list(
        plans_with_stages()
        .filter(
            entry__match_id=order.match_id,
            entry__team_id=order.team_id,
            entry__status=EntryStatus.ENTERED,
        )
        .select_related("entry__angler")
        .order_by("entry__angler_id")
    )


def _demands(
    plans: Iterable[Plan],
) -> tuple[list[dict[str, str]], list[Need], dict[str, str], dict[str, Bait]]:
    demands: list[dict[str, str]] = []
    needs: list[Need] = []
    members: dict[str, str] = {}
    baits: dict[str, Bait] = {}
    faults: list[Fault] = []
    for plan in plans:
        angler = plan.entry.angler
        members[str(angler.pk)] = angler.name
        baits |= plan_baits(plan)
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
    return demands, needs, members, baits


def _packs(baits: Iterable[Bait], *, club_id: int) -> list[Pack]:
    return list(
        Pack.objects.filter(
            shop__club_id=club_id,
            shop__retired=False,
            retired=False,
            bait__in=[bait.pk for bait in baits],
        )
        .select_related("shop", "bait")
        .prefetch_related("breaks")
        .order_by("pk")
    )


def _pack_json(pack: Pack) -> dict[str, Any]:
    return {
        "id": str(pack.pk),
        "supplier": pack.shop.key,
        "bait": pack.bait.key,
        "amount": f"{pack.amount.normalize():f}",
        "unit": pack.unit,
        "price": pence_format(pack.price_pence),
        "breaks": [
            {"from_packs": step.from_packs, "price": pence_format(step.price_pence)}
            for step in sorted(pack.breaks.all(), key=lambda step: step.from_packs)
        ],
        "max_packs": pack.max_packs,
    }
