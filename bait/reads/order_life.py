"""How far an order has come, and by when each shop must have it."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from django.db.models import TextChoices
from django.utils.translation import gettext_lazy as _

from bait.models import Order, OrderVersion, Shop
from matches.models import Match
from matches.times import zone_named


class OrderState(TextChoices):
    """In the order in which they come."""

    DRAFT = "draft", _("draft")
    WORKED_OUT = "worked_out", _("worked out")
    PLACED = "placed", _("placed")
    RECEIVED = "received", _("received")
    BAGGED = "bagged", _("bagged")
    SETTLED = "settled", _("settled")


@dataclass(frozen=True, slots=True)
class OrderStep:
    """One step of the strip: `reached`, and whether it is where the order stands `now`."""

    state: OrderState
    reached: bool
    now: bool
    at: dt.datetime | None


def order_state(order: Order | None) -> OrderState:
    """The last step the order has come to."""
    if order is None or (order.current_id is None and order.placed_id is None):
        return OrderState.DRAFT
    for state, at in (
        (OrderState.SETTLED, order.settled_at),
        (OrderState.BAGGED, order.bagged_at),
        (OrderState.RECEIVED, order.received_at),
        (OrderState.PLACED, order.placed_at),
    ):
        if at is not None:
            return state
    return OrderState.WORKED_OUT


def order_steps(order: Order | None) -> list[OrderStep]:
    """All steps, with when each was reached where that is kept: once a version is placed, its own
    making counts, not that of a later one."""
    states = list(OrderState)
    now = states.index(order_state(order))
    version = (order.placed or order.current) if order else None
    times = {
        OrderState.WORKED_OUT: version.made_at if version else None,
        OrderState.PLACED: order.placed_at if order else None,
        OrderState.RECEIVED: order.received_at if order else None,
        OrderState.BAGGED: order.bagged_at if order else None,
        OrderState.SETTLED: order.settled_at if order else None,
    }
    return [
        OrderStep(state, reached=n <= now, now=n == now, at=times.get(state) if n <= now else None)
        for n, state in enumerate(states)
    ]


def worked_out_later(order: Order | None) -> OrderVersion | None:
    """The version that was worked out after the placed one, until the bait comes."""
    if order is None or order.placed is None or order.current is None or order.received_at:
        return None
    return order.current if order.current.number > order.placed.number else None


def cut_off_at(shop: Shop, *, match: Match) -> dt.datetime:
    """By when the shop must have an order for this match: on the day so many days before it, at
    the shop's time, both at the venue."""
    day = match.date - dt.timedelta(days=shop.lead_days)
    return dt.datetime.combine(day, shop.cut_off, tzinfo=zone_named(match.venue.timezone))


def changed_from(order: Order, *, version: OrderVersion) -> OrderVersion | None:
    """The version that this one was worked out as a change of, by its own word. One query."""
    number = version.answer.get("changes")
    return order.versions.filter(number=number).first() if number else None
