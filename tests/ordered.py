"""Bait planned and ordered for the Alders, through the app's own doors."""

from __future__ import annotations

from typing import Any

from bait.models import Order, OrderVersion, Plan
from bait.writes.orders import order_ask, order_place, order_version_make
from bait.writes.plan_content import plan_content_parse
from bait.writes.plans import plan_save
from matches.models import Entry


def planned(
    world: Any, who: str | Entry, *, spare: int = 0, unit: str = "pint", **feeds: str
) -> Plan:
    """`planned(world, "Wilmot", caster="7")`: so much of each bait over the whole match, for a
    first name or an entry. Each call saves anew."""
    entry = world.entries[who] if isinstance(who, str) else who
    entry.refresh_from_db()
    amounts = [{"bait": bait, "amount": amount, "unit": unit} for bait, amount in feeds.items()]
    raw = {
        "version": entry.plan.version if hasattr(entry, "plan") else 0,
        "spare_percent": spare,
        "stages": [{"kind": "feed", "end_minute": 300, "feeds": amounts}],
    }
    plan = plan_save(world.secretary, entry=entry, content=plan_content_parse(raw))
    entry.refresh_from_db()
    return plan


def worked_out(world: Any) -> OrderVersion:
    """Asked for by the captain, and worked out at once, as a worker would."""
    order, work = order_ask(world.captain, team=world.alders, match=world.match)
    order_version_make(work.pk)
    version = Order.objects.get(pk=order.pk).current
    assert version is not None
    return version


def placed(world: Any) -> Order:
    version = worked_out(world)
    return order_place(world.captain, order=version.order, version=version)
