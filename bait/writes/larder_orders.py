"""An order takes its bait out of the larder when it is handed out, and can give it back."""

from __future__ import annotations

import uuid

from django.db import transaction
from django.db.models import QuerySet

from bait.models import LarderLot, LotMove, MoveKind, Order
from bait.reads.larder_orders import (
    BACK,
    OrderTake,
    order_takes,
    order_takes_moved,
    take_key,
)
from matches.models import Person
from matches.problems import Code, Problem
from matches.reckon.errors import BadInput
from matches.writes.audit import audit_record

from .lot_moves import lot_move


def larder_take_for(order: Order, *, person: Person | None = None) -> list[OrderTake]:
    """Take out of the larder what the order counts on, lot by lot, each for its member.

    Called when the bags are filled. An order that has taken its bait already takes no more: the
    answer is what it took. Who may do it, the caller has checked. Raises Problem CONFLICT where
    plans or lots no longer add up, with what to mend; nothing was moved then.
    """
    with transaction.atomic():
        _lots_lock(order)
        moved = order_takes_moved(order)
        if moved:
            return moved
        try:
            takes = order_takes(order)
        except BadInput as bad:
            raise Problem(Code.CONFLICT, " ".join(f.message for f in bad.faults)) from bad
        given_back = _backs(order).count()
        for take in takes:
            lot_move(
                person,
                lot=LarderLot.objects.get(pk=take.lot.pk),
                by=-take.amount,
                kind=MoveKind.TAKEN,
                key=take_key(order, lot_id=take.lot.pk, angler_id=take.angler_id, turn=given_back),
                order=order,
                match=order.match,
            )
        if takes:
            _record(order, person=person, verb="larder.taken_for_order", lots=len(takes))
    return takes


def larder_give_back_for(order: Order, *, person: Person | None = None) -> int:
    """Put back what the order took, into the same lots: the bags were not handed out after all.

    How many moves that made; none when nothing is out. Both ways stay in the ledger.
    """
    with transaction.atomic():
        _lots_lock(order)
        moved = order_takes_moved(order)
        for take, key in ((take, take.key) for take in moved if take.key):
            lot_move(
                person,
                lot=LarderLot.objects.get(pk=take.lot.pk),
                by=take.amount,
                kind=MoveKind.CORRECTED,
                key=uuid.uuid5(key, BACK),
                order=order,
                match=order.match,
            )
        if moved:
            _record(order, person=person, verb="larder.given_back", lots=len(moved))
    return len(moved)


def _lots_lock(order: Order) -> None:
    """Hold the order, then all lots of the team in the order of their ids, so that two never
    wait for each other."""
    Order.objects.select_for_update().get(pk=order.pk)
    list(
        LarderLot.objects.select_for_update()
        .filter(team_id=order.team_id)
        .order_by("pk")
        .values_list("pk")
    )


def _backs(order: Order) -> QuerySet[LotMove]:
    return LotMove.objects.filter(order=order, kind=MoveKind.CORRECTED)


def _record(order: Order, *, person: Person | None, verb: str, lots: int) -> None:
    audit_record(
        club=order.team.club,
        person=person,
        verb=verb,
        subject=f"order {order.pk}",
        detail={"lots": lots},
    )
