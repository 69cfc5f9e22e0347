"""Which lots of the larder an order counts on, or has taken, and for whom."""

from __future__ import annotations

import uuid
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Any

from bait.models import LarderLot, LotMove, MoveKind, Order
from bait.reckon.larder import Taken
from matches.models import Angler, Entry
from matches.reckon.decimals import decimal_plain, decimal_text

from .order_inputs import OrderInputs, order_inputs

_SPACE = uuid.UUID("6f1c6a0e-5d4b-4c57-9a3e-2f3a7f0f8d11")
BACK = "given back"


@dataclass(frozen=True, slots=True)
class OrderTake:
    """What a member is given of a lot, in the lot's unit. `key`: of the move that took it out;
    None while it is still in the larder."""

    lot: LarderLot
    angler_id: int
    angler_name: str
    amount: Decimal
    key: uuid.UUID | None = None


def order_takes(order: Order, *, inputs: OrderInputs | None = None) -> list[OrderTake]:
    """Which lot goes to whom: as it was taken once the bags were filled, until then as the plans
    and the larder stand now. By bait, then by member.

    `inputs`, where the caller has them already, saves working them out. Raises BadInput as
    `order_inputs` does.
    """
    moved = order_takes_moved(order)
    if moved:
        return moved
    return order_takes_planned((inputs or order_inputs(order)).takes)


def order_takes_planned(takes: Iterable[Taken]) -> list[OrderTake]:
    """The lots and members behind what was reckoned. Two queries, none for nothing."""
    takes = list(takes)
    if not takes:
        return []
    lots = {
        lot.pk: lot
        for lot in LarderLot.objects.filter(pk__in={take.lot for take in takes}).select_related(
            "bait", "angler"
        )
    }
    names = dict(
        Angler.objects.filter(pk__in={int(take.member) for take in takes}).values_list("pk", "name")
    )
    return _sorted(
        OrderTake(
            lot=lots[take.lot],
            angler_id=int(take.member),
            angler_name=names[int(take.member)],
            amount=_decimal(take.amount),
        )
        for take in takes
    )


def takes_rows(takes: Iterable[Taken]) -> list[dict[str, Any]]:
    """The lots as a version keeps them, to say where its stock was to come from."""
    return [
        {
            "lot": take.lot.pk,
            "member": str(take.angler_id),
            "bait": take.lot.bait.key,
            "amount": decimal_plain(take.amount),
            "unit": take.lot.unit,
            "state": take.lot.state,
            "own": take.lot.angler_id is not None,
            "use_by": take.lot.use_by.isoformat() if take.lot.use_by else None,
        }
        for take in order_takes_planned(takes)
    ]


def order_takes_moved(order: Order) -> list[OrderTake]:
    """What the order took out of the larder and did not give back. Two queries."""
    moves = list(
        LotMove.objects.filter(order=order, kind__in=(MoveKind.TAKEN, MoveKind.CORRECTED))
        .select_related("lot__bait", "lot__angler")
        .order_by("pk")
    )
    if not moves:
        return []
    known = {move.key for move in moves}
    out = [m for m in moves if m.kind == MoveKind.TAKEN and uuid.uuid5(m.key, BACK) not in known]
    names = dict(
        Entry.objects.filter(match_id=order.match_id).values_list("angler_id", "angler__name")
    )
    turns = range(len(moves) - len([m for m in moves if m.kind == MoveKind.TAKEN]) + 1)
    whose = {
        take_key(order, lot_id=lot_id, angler_id=angler_id, turn=turn): angler_id
        for lot_id in {move.lot_id for move in out}
        for angler_id in names
        for turn in turns
    }
    return _sorted(
        OrderTake(move.lot, whose[move.key], names[whose[move.key]], -move.amount, key=move.key)
        for move in out
        if move.key in whose
    )


def take_key(order: Order, *, lot_id: int, angler_id: int, turn: int) -> uuid.UUID:
    """The key of the move that takes of a lot for a member: it says for whom, which the ledger
    does not, and lets an order take twice only after it gave back (`turn` counts those moves)."""
    return uuid.uuid5(_SPACE, f"order {order.pk} lot {lot_id} angler {angler_id} turn {turn}")


def _sorted(takes: Iterable[OrderTake]) -> list[OrderTake]:
    return sorted(
        takes, key=lambda t: (t.lot.bait.name, t.lot.bait.key, t.angler_name, t.angler_id, t.lot.pk)
    )


def _decimal(amount: Fraction) -> Decimal:
    return Decimal(decimal_text(amount))
