"""The one place where a lot's amount changes: with a move beside it, and never below zero."""

from __future__ import annotations

import uuid
from decimal import Decimal

from django.db import IntegrityError, transaction
from django.utils.translation import gettext as _

from bait.models import LarderLot, LotMove, MoveKind, Order
from matches.models import Match, Person
from matches.problems import Code, Problem
from matches.reckon.decimals import decimal_plain


def move_twin(key: uuid.UUID, *, kind: MoveKind, lot_id: int | None = None) -> LotMove | None:
    """The move that was made with this key already.

    Raises Problem CONFLICT where the key belongs to another sort of move, or to another lot.
    """
    twin = LotMove.objects.filter(key=key).select_related("lot__bait", "lot__team").first()
    if twin is None:
        return None
    if twin.kind != kind or lot_id not in (None, twin.lot_id):
        raise key_used()
    return twin


def key_used() -> Problem:
    """What to answer to a key that another movement has."""
    return Problem(
        Code.CONFLICT, _("This page was used for something else. Open it again, then repeat.")
    )


def lot_lock(lot_id: int) -> LarderLot:
    """The lot, held for this transaction: whoever else moves it waits. Raises Problem NOT_FOUND."""
    lot = LarderLot.objects.select_for_update().filter(pk=lot_id).first()
    if lot is None:
        raise Problem(Code.NOT_FOUND, _("No such lot in the larder."))
    return lot


def lot_move(
    person: Person | None,
    *,
    lot: LarderLot,
    by: Decimal,
    kind: MoveKind,
    key: uuid.UUID,
    order: Order | None = None,
    match: Match | None = None,
) -> LotMove:
    """Change a locked lot by an amount in its unit, and write the move. Call it in a transaction.

    The new amount is written only over the one that was read, so two that move a lot at once
    never both count on the same bait, whatever the database locks. (Not `F`: SQLite would
    subtract in binary fractions.) Raises Problem CONFLICT where the lot holds less.
    """
    left = lot.amount + by
    if left < 0:
        raise Problem(
            Code.CONFLICT,
            _("Only %(left)s %(unit)s are left. Look again before you take more.")
            % {"left": decimal_plain(lot.amount), "unit": lot.unit},
        )
    changed = LarderLot.objects.filter(pk=lot.pk, amount=lot.amount).update(amount=left)
    if not changed:
        raise Problem(Code.CONFLICT, _("Somebody moved this lot meanwhile. Look again."))
    lot.amount = left
    try:
        with transaction.atomic():
            return LotMove.objects.create(
                key=key, lot=lot, kind=kind, amount=by, order=order, match=match, person=person
            )
    except IntegrityError as taken:
        raise key_used() from taken
