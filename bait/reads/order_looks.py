"""What an order's inputs came to when they were last read, for as long as nothing has changed.

For pages only. What must be right (placing, accepting a change, filling bags, the worker) reads
the inputs themselves.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable

from django.utils import timezone

from bait.models import Order, OrderLook, OrderVersion
from matches.reckon.errors import BadInput

from .orders import order_inputs, orders_seen, version_fits
from .plan_whole import WholePlan

#: A new release may reckon otherwise, and the database may be mended by hand: neither is in the
#: trail, so that a look is not believed for long.
KEPT_FOR = dt.timedelta(hours=1)


def looks_stale(
    order: Order, *, version: OrderVersion, plans: Iterable[WholePlan] | None = None
) -> bool:
    """`is_stale` from the look that is kept; `plans` as for `order_look`."""
    if order.received_at is not None:
        return version.pk != order.placed_id
    look = order_look(order, plans=plans)
    if version.pk == look.placed_id:
        return not look.placed_fits
    return version.inputs_digest != look.digest


def order_look(order: Order, *, plans: Iterable[WholePlan] | None = None) -> OrderLook:
    """The order's look: the kept one while the club's trail is as long as it was then, else the
    inputs are read, and what they came to is kept.

    For an order of `orders_seen`, no query where the look holds: the trail's length was read with
    it, before everything else, so a change that comes in between makes the new look void and never
    right by mistake. Any other order is fetched again. `plans`, read after the order, are used
    where the inputs must be read. Never call it after a change in the same transaction.
    """
    trail: int | None = getattr(order, "trail", None)
    if trail is None:
        order, plans = orders_seen().get(pk=order.pk), None
        trail = int(getattr(order, "trail"))  # noqa: B009 - the query's own column
    kept: OrderLook | None = getattr(order, "look", None)
    if kept is not None and _holds(kept, order=order, trail=trail):
        return kept
    return _look(order, trail=trail, plans=plans)


def _holds(look: OrderLook, *, order: Order, trail: int) -> bool:
    fresh = look.read_at > timezone.now() - KEPT_FOR
    return fresh and look.trail == trail and look.placed_id == order.placed_id


def _look(order: Order, *, trail: int, plans: Iterable[WholePlan] | None) -> OrderLook:
    look = OrderLook(order=order, placed=order.placed, trail=trail, read_at=timezone.now())
    try:
        inputs = order_inputs(order, plans=plans)
    except BadInput:
        pass  # nothing fits and no lot is taken; the worker says which plan or lot it is
    else:
        look.digest = inputs.digest
        look.placed_fits = order.placed is not None and version_fits(
            order, version=order.placed, inputs=inputs
        )
        look.takes = [
            {"lot": take.lot, "member": take.member, "amount": str(take.amount)}
            for take in inputs.takes
        ]
    OrderLook.objects.bulk_create(
        [look],
        update_conflicts=True,
        unique_fields=["order"],
        update_fields=["placed", "trail", "digest", "placed_fits", "takes", "read_at"],
    )
    return look
