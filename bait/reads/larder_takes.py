"""Which lots an order's bags are filled from: as reckoned, then as the ledger has it."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from bait.models import LarderLot, LotMove, MoveKind, Order
from matches.reckon.errors import BadInput

from .order_bill import OrderBill
from .orders import order_inputs


@dataclass(frozen=True, slots=True)
class LotTaken:
    """`amount` of a lot, in its unit; `member` None: for whoever of the team needs it."""

    lot: LarderLot
    member: str | None
    amount: Fraction


def lots_taken(order: Order, *, bill: OrderBill) -> tuple[LotTaken, ...]:
    """What of the larder goes into the bags: nothing where the placed version counted on none.

    Before they are handed out, what the order counts on now, one query more than its inputs; then
    what was taken, one query.
    """
    if not bill.request.stock:
        return ()
    if order.bagged_at is not None:
        return _from_ledger(order)
    try:
        takes = order_inputs(order).takes
    except BadInput:
        return ()  # the order's page says which plan or lot no longer fits
    lots = LarderLot.objects.select_related("bait").in_bulk({take.lot for take in takes})
    return tuple(LotTaken(lots[t.lot], t.member, t.amount) for t in takes if t.lot in lots)


def _from_ledger(order: Order) -> tuple[LotTaken, ...]:
    moves = LotMove.objects.filter(order=order, kind=MoveKind.TAKEN).select_related("lot__bait")
    return tuple(
        LotTaken(
            move.lot,
            None if move.lot.angler_id is None else str(move.lot.angler_id),
            -Fraction(move.amount),
        )
        for move in moves.order_by("pk")
    )
