"""Baits, shops, plans and orders as JSON."""

from __future__ import annotations

from typing import Any

from bait.models import Bait, Order, OrderVersion, Pack, Shop
from bait.reads.order_inputs import is_stale
from bait.reads.orders import order_of, order_versions, order_work, version_whole
from bait.reads.phone import plan_json
from bait.reads.plan_shown import PlanShown
from bait.reckon.plans import amount_text
from matches.models import Match, Team, WorkRequest
from matches.reckon.decimals import decimal_plain
from matches.reckon.money import pence_format
from web.work_words import progress_words

NO_PLAN: dict[str, Any] = {
    "version": 0,
    "note": "",
    "spare_percent": 0,
    "mixes": [],
    "stages": [],
    "substitutes": [],
}


def bait_body(bait: Bait) -> dict[str, Any]:
    density = bait.bulk_density_kg_per_l
    return {
        "club": bait.club.slug,
        "key": bait.key,
        "name": bait.name,
        "kind": bait.kind,
        "unit": bait.unit,
        "bulk_density_kg_per_l": None if density is None else decimal_plain(density),
    }


def shop_body(shop: Shop) -> dict[str, Any]:
    free = shop.free_delivery_from_pence
    return {
        "club": shop.club.slug,
        "key": shop.key,
        "name": shop.name,
        "currency": shop.club.currency,
        "delivery_fee": pence_format(shop.delivery_fee_pence),
        "minimum_spend": pence_format(shop.minimum_spend_pence),
        "free_delivery_from": None if free is None else pence_format(free),
        "lead_days": shop.lead_days,
        "packs": [_pack_body(pack) for pack in shop.packs.all()],
    }


def _pack_body(pack: Pack) -> dict[str, Any]:
    return {
        "id": str(pack.pk),
        "bait": pack.bait.key,
        "amount": decimal_plain(pack.amount),
        "unit": pack.unit,
        "price": pence_format(pack.price_pence),
        "breaks": [
            {"from_packs": step.from_packs, "price": pence_format(step.price_pence)}
            for step in pack.breaks.all()
        ],
        "max_packs": pack.max_packs,
    }


def own_plan_body(shown: PlanShown) -> dict[str, Any]:
    return {
        "plan": NO_PLAN if shown.whole is None else plan_json(shown.whole),
        "totals": [
            {
                "bait": total.bait,
                "name": shown.baits[total.bait].name,
                "planned": amount_text(total.planned),
                "with_spare": amount_text(total.with_spare),
                "unit": total.unit,
            }
            for total in shown.totals
        ],
        "limits": [
            {
                "limit": use.name,
                "allowed_l": None if use.allowed_l is None else amount_text(use.allowed_l),
                "used_l": amount_text(use.used_l),
                "within": use.within,
                "unjudged": list(use.unjudged),
            }
            for use in shown.limits
        ],
    }


def work_body(work: WorkRequest) -> dict[str, Any]:
    return {
        "id": str(work.pk),
        "state": work.state,
        "percent": work.percent,
        "progress": progress_words(work),
        "problem": work.problem,
    }


def order_body(team: Team, *, match: Match) -> dict[str, Any]:
    order = order_of(team, match=match)
    if order is None:
        return {"current": None, "placed": None, "work": None, "versions": []}
    work = order_work(order)
    return {
        "current": _current_body(order),
        "placed": None
        if order.placed is None
        else {"number": order.placed.number, "at": order.placed_at},
        "work": None if work is None else work_body(work),
        "versions": [_version_body(version) for version in order_versions(order)],
    }


def _version_body(version: OrderVersion) -> dict[str, Any]:
    return {
        "number": version.number,
        "status": version.status,
        "made_at": version.made_at,
        "total": pence_format(version.total_pence),
    }


def _current_body(order: Order) -> dict[str, Any] | None:
    if order.current is None:
        return None
    version = version_whole(order.current)
    return {
        **_version_body(version),
        "goods": pence_format(version.goods_pence),
        "delivery": pence_format(version.delivery_pence),
        "inputs_digest": version.inputs_digest,
        "stale": is_stale(order, version=version),
        "lines": [
            {
                "shop": line.pack.shop.name,
                "bait": line.pack.bait.key,
                "pack_amount": decimal_plain(line.pack.amount),
                "unit": line.pack.unit,
                "packs": line.packs,
                "unit_price": pence_format(line.unit_price_pence),
                "cost": pence_format(line.cost_pence),
            }
            for line in version.lines.all()
        ],
        "shares": [
            {
                "member": share.angler.name,
                "due": pence_format(share.due_pence),
                "alone": None if share.alone_pence is None else pence_format(share.alone_pence),
            }
            for share in version.shares.all()
        ],
        "answer": version.answer,
    }
