"""Which lots an order's bags are filled from: as reckoned, then as the ledger has it."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from bait.models import LarderLot, Order
from matches.reckon.errors import BadInput

from .larder_orders import order_takes_moved
from .order_bill import OrderBill
from .order_inputs import order_inputs


@dataclass(frozen=True, slots=True)
class LotTaken:
    """`amount` of a lot, in its unit, for a member."""

    lot: LarderLot
    member: str
    amount: Fraction


def lots_taken(order: Order, *, bill: OrderBill) -> tuple[LotTaken, ...]:
    """What of the larder goes into the bags: nothing where the placed version counted on none.

    Once the bags are filled, what was taken (two queries); until then what the order counts on as
    plans and larder stand now (those of `order_inputs` and one more); nothing where those do not
    add up, which the order's page says.
    """
    if not bill.request.stock:
        return ()
    if order.bagged_at is not None:
        return tuple(
            LotTaken(take.lot, str(take.angler_id), Fraction(take.amount))
            for take in order_takes_moved(order)
        )
    try:
        takes = order_inputs(order).takes
    except BadInput:
        return ()
    lots = LarderLot.objects.select_related("bait").in_bulk({take.lot for take in takes})
    return tuple(
        LotTaken(lots[take.lot], take.member, take.amount) for take in takes if take.lot in lots
    )
