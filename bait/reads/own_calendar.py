"""By when a person's team must order bait for what they fish, for their own calendar."""

from __future__ import annotations

from bait.models import Order, Shop
from matches.models import Entry
from matches.reckon.calendars import Event

from .shop_sheets import shop_events


def own_order_events(entries: list[Entry]) -> list[Event]:
    """Cut-offs and collections of the orders of the person's own team, of the version that is
    placed, else the latest. Nothing of a match that was called off. Two queries."""
    teams = {(entry.match_id, entry.team_id) for entry in entries if not entry.match.called_off}
    orders = Order.objects.filter(
        match_id__in={match for match, _team in teams},
        team_id__in={team for _match, team in teams if team is not None},
    ).select_related("match__venue", "placed", "current")
    events: list[Event] = []
    for order in orders.order_by("match__date", "pk"):
        version = order.placed or order.current
        if version is None or (order.match_id, order.team_id) not in teams:
            continue
        shops = Shop.objects.filter(packs__order_lines__version=version).distinct()
        for shop in shops.order_by("key"):
            events += shop_events(order, shop=shop, stamp=version.made_at)
    return events
