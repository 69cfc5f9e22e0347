"""Who names a shop, a pack or a bait: what is named is retired, never deleted.

An order's version names more than it buys: its inputs hold every pack it was chosen from.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

from bait.models import Bait, LarderLot, OrderVersion, Pack, Plan, PlanTemplate, Shop

Inputs = dict[str, Any]


def orders_naming_shop(shop: Shop) -> int:
    """How many orders chose from the shop's packs."""
    return _orders(shop.club_id, lambda found: any(s["id"] == shop.key for s in found["suppliers"]))


def orders_naming_pack(pack: Pack) -> int:
    """How many orders chose from the pack, bought or not."""
    key = str(pack.pk)
    return _orders(pack.shop.club_id, lambda found: any(p["id"] == key for p in found["packs"]))


def orders_naming_bait(bait: Bait) -> int:
    """How many orders name the bait, as asked for or as a pack."""
    return _orders(
        bait.club_id,
        lambda found: any(
            entry["bait"] == bait.key for entry in (*found["demands"], *found["packs"])
        ),
    )


def plans_naming_bait(bait: Bait) -> int:
    """How many plans feed it, mix it, hook it, or have it as a substitute."""
    plans = Plan.objects.filter(entry__match__club_id=bait.club_id)
    named: set[int] = set()
    for path in ("stages__feeds__bait", "mixes__parts__bait", "substitutes__bait"):
        named.update(plans.filter(**{path: bait}).values_list("pk", flat=True))
    named.update(plans.filter(substitutes__instead=bait).values_list("pk", flat=True))
    return len(named)


def templates_naming_bait(bait: Bait) -> int:
    """How many of the teams' templates name its key anywhere."""
    templates = PlanTemplate.objects.filter(team__club_id=bait.club_id)
    return sum(bait.key in _words(template.content) for template in templates)


def lots_of_bait(bait: Bait) -> int:
    """How many lots the larders keep a ledger of, used up or not."""
    return LarderLot.objects.filter(bait=bait).count()


def _words(content: object) -> Iterator[str]:
    """Every string in a JSON value."""
    if isinstance(content, str):
        yield content
    elif isinstance(content, dict):
        for value in content.values():
            yield from _words(value)
    elif isinstance(content, list):
        for value in content:
            yield from _words(value)


def _orders(club_id: int, names: Callable[[Inputs], bool]) -> int:
    versions = OrderVersion.objects.filter(order__match__club_id=club_id)
    rows = versions.values_list("order_id", "inputs").iterator()
    return len({order for order, inputs in rows if names(inputs)})
