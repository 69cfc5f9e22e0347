"""Bait comes into the larder, goes out of it, and is counted again; every movement is kept.

Each write takes the `key` its page was made with: the same tap sent twice moves once.
"""

from __future__ import annotations

import datetime as dt
import uuid
from decimal import Decimal
from fractions import Fraction

from django.db import IntegrityError, transaction
from django.utils.translation import gettext as _

from bait.models import Bait, LarderLot, LotMove, LotState, MoveKind
from bait.reads.larder import UNDONE, may_move, undo_key
from bait.reckon.larder import use_by_default
from bait.reckon.units import UNITS, amount_convert
from matches.models import Angler, Match, Person, Team
from matches.problems import Code, Problem
from matches.reckon.decimals import decimal_plain
from matches.reckon.errors import BadInput, Fault
from matches.reckon.reading import is_storable
from matches.writes.audit import audit_record

from .lot_moves import key_used, lot_lock, lot_move, move_twin

MOST_AMOUNT = Decimal(10_000)
# Wider than any bait keeps; the calendar's last day has none after it.
DAY_FIRST, DAY_LAST = dt.date(2000, 1, 1), dt.date(2199, 12, 31)
PLACE = Decimal("0.0001")


def lot_bring(
    person: Person | None,
    *,
    team: Team,
    bait: Bait,
    amount: Decimal,
    unit: str,
    state: str,
    on: dt.date,
    key: uuid.UUID,
    angler: Angler | None = None,
    use_by: dt.date | None = None,
    note: str = "",
    kind: MoveKind = MoveKind.BROUGHT,
    match: Match | None = None,
) -> LarderLot:
    """Put bait in as a lot of its own: the team's, or a member's.

    `on`: bought, or put in, on that day; without a `use_by` the state's usual days count from it.
    The same key again gives the lot it made. `person` None: the app itself (the demo).

    Raises Problem NOT_ALLOWED, and BadInput for an amount that is none, a unit that does not fit
    the bait, an unknown state, a bait or member of another club, a day before it was bought.
    """
    if person is not None:
        _right_check(person, team=team, angler=angler)
    _bring_check(team, bait=bait, amount=amount, unit=unit, state=state, angler=angler)
    _days_and_note_check(on=on, use_by=use_by, note=note)
    if use_by is not None and use_by < on:
        raise BadInput(Fault("/use_by", _("Use by a day after it was bought, or leave it empty.")))
    twin = _brought_before(key, kind=kind, team=team)
    if twin is not None:
        return twin
    try:
        with transaction.atomic():
            lot = LarderLot.objects.create(
                team=team,
                angler=angler,
                bait=bait,
                amount=amount,
                unit=unit,
                state=state,
                note=note[:120],
                bought_on=on,
                use_by=use_by or use_by_default(state, kind=bait.kind, since=on),
            )
            LotMove.objects.create(
                key=key, lot=lot, kind=kind, amount=amount, match=match, person=person
            )
            _moved_record(person, lot=lot, verb="larder.brought", amount=amount)
    except IntegrityError:
        twin = _brought_before(key, kind=kind, team=team)  # the same tap, at the same moment
        if twin is None:
            raise
        return twin
    return lot


def _brought_before(key: uuid.UUID, *, kind: MoveKind, team: Team) -> LarderLot | None:
    """The lot this key made. Raises Problem CONFLICT for the key of another team's lot."""
    twin = move_twin(key, kind=kind)
    if twin is not None and twin.lot.team_id != team.pk:
        raise key_used()
    return None if twin is None else twin.lot


def lot_take(
    person: Person,
    *,
    lot: LarderLot,
    amount: Decimal,
    key: uuid.UUID,
    match: Match | None = None,
) -> LotMove:
    """Take some of a lot to feed. Raises Problem NOT_ALLOWED, NOT_FOUND and CONFLICT (less is
    there), BadInput for an amount that is none."""
    return _lot_lessen(person, lot=lot, amount=amount, kind=MoveKind.TAKEN, key=key, match=match)


def lot_throw(person: Person, *, lot: LarderLot, amount: Decimal, key: uuid.UUID) -> LotMove:
    """Throw some of a lot away. Raises as `lot_take`."""
    return _lot_lessen(person, lot=lot, amount=amount, kind=MoveKind.THROWN, key=key)


def _lot_lessen(
    person: Person,
    *,
    lot: LarderLot,
    amount: Decimal,
    kind: MoveKind,
    key: uuid.UUID,
    match: Match | None = None,
) -> LotMove:
    _right_check(person, team=lot.team, angler=lot.angler)
    _amount_check(amount)
    with transaction.atomic():
        held = lot_lock(lot.pk)
        twin = move_twin(key, kind=kind, lot_id=lot.pk)
        if twin is not None:
            return twin
        move = lot_move(person, lot=held, by=-amount, kind=kind, key=key, match=match)
        _moved_record(person, lot=held, verb=f"larder.{kind.value}", amount=-amount)
    return move


def lot_count_again(
    person: Person, *, lot: LarderLot, found: Decimal, seen: Decimal, key: uuid.UUID
) -> LotMove | None:
    """Say how much of a lot there really is; None where that is what the ledger said.

    `seen`: what the ledger said when it was counted. Raises Problem CONFLICT when it says
    something else by now (the count may be from before or after that), NOT_ALLOWED, NOT_FOUND;
    BadInput for an amount below zero or too fine.
    """
    _right_check(person, team=lot.team, angler=lot.angler)
    if found:
        _amount_check(found)
    with transaction.atomic():
        held = lot_lock(lot.pk)
        twin = move_twin(key, kind=MoveKind.CORRECTED, lot_id=lot.pk)
        if twin is not None:
            return twin
        if held.amount != seen:
            raise Problem(
                Code.CONFLICT, _("Somebody moved this lot meanwhile. Look, then count it again.")
            )
        if found == seen:
            return None
        move = lot_move(person, lot=held, by=found - seen, kind=MoveKind.CORRECTED, key=key)
        _moved_record(person, lot=held, verb="larder.corrected", amount=found - seen)
    return move


def move_undo(person: Person, *, move: LotMove) -> LotMove:
    """Put back what was taken out or thrown away by a slip; both moves stay in the ledger.

    Undone twice, it comes back once. Raises Problem NOT_ALLOWED, and CONFLICT for other moves:
    those of an order are undone where the order is.
    """
    lot = move.lot
    _right_check(person, team=lot.team, angler=lot.angler)
    if move.kind not in UNDONE or move.order_id is not None:
        raise Problem(Code.CONFLICT, _("Only what was taken out or thrown away comes back."))
    key = undo_key(move)
    with transaction.atomic():
        held = lot_lock(lot.pk)
        twin = move_twin(key, kind=MoveKind.CORRECTED, lot_id=lot.pk)
        if twin is not None:
            return twin
        back = lot_move(person, lot=held, by=-move.amount, kind=MoveKind.CORRECTED, key=key)
        _moved_record(person, lot=held, verb="larder.undone", amount=-move.amount)
    return back


def lot_freeze(person: Person, *, lot: LarderLot, on: dt.date) -> LarderLot:
    """Note that a whole lot went into the freezer on that day. A frozen one stays as it is.

    Raises Problem NOT_ALLOWED, NOT_FOUND, and CONFLICT for a dry lot, which needs no freezing, and
    for one past its day, which freezing does not make good again.
    """
    _right_check(person, team=lot.team, angler=lot.angler)
    with transaction.atomic():
        held = lot_lock(lot.pk)
        if held.state == LotState.DRY:
            raise Problem(Code.CONFLICT, _("Dry bait keeps as it is: store it dry and closed."))
        if held.use_by is not None and held.use_by < on:
            raise Problem(
                Code.CONFLICT, _("This lot is past its day: freezing does not make it good again.")
            )
        if held.state != LotState.FROZEN:
            held.state = LotState.FROZEN
            held.use_by = use_by_default(LotState.FROZEN, kind=held.bait.kind, since=on)
            held.save(update_fields=["state", "use_by"])
            _moved_record(person, lot=held, verb="larder.frozen", amount=held.amount)
    return held


def _right_check(person: Person, *, team: Team, angler: Angler | None) -> None:
    if not may_move(person, team=team, angler=angler):
        raise Problem(
            Code.NOT_ALLOWED,
            _("Only the team's captain moves the team's bait, and each member their own."),
        )


def _bring_check(
    team: Team, *, bait: Bait, amount: Decimal, unit: str, state: str, angler: Angler | None
) -> None:
    _amount_check(amount)
    if bait.club_id != team.club_id:
        raise BadInput(Fault("/bait", _("Choose one of the club's baits.")))
    if angler is not None and angler.club_id != team.club_id:
        raise BadInput(Fault("/angler", _("Choose one of the club's anglers.")))
    if state not in LotState.values:
        raise BadInput(Fault("/state", _("Choose one of the list.")))
    density = bait.bulk_density_kg_per_l
    fits = unit in UNITS and amount_convert(
        Fraction(amount),
        unit=unit,
        to=bait.unit,
        density=None if density is None else Fraction(density),
    )
    if not fits:
        words = _("“%(unit)s” does not fit %(bait)s, which is kept in “%(kept)s”.")
        named = {"unit": unit, "bait": bait.name, "kept": bait.unit}
        raise BadInput(Fault("/unit", words % named))


def _days_and_note_check(*, on: dt.date, use_by: dt.date | None, note: str) -> None:
    for name, day in (("bought_on", on), ("use_by", use_by)):
        if day is not None and not DAY_FIRST <= day <= DAY_LAST:
            raise BadInput(Fault(f"/{name}", _("Write a day such as 2026-06-20.")))
    if not is_storable(note):
        raise BadInput(Fault("/note", _("Write words here.")))


def _amount_check(amount: Decimal) -> None:
    words = amount_fault(amount)
    if words:
        raise BadInput(Fault("/amount", words))


def amount_fault(amount: Decimal) -> str:
    """What is wrong with an amount of a move; nothing for one the ledger can keep."""
    if not amount.is_finite() or not 0 < amount <= MOST_AMOUNT:
        return _("Write an amount above zero, and at most 10000.")
    if amount != amount.quantize(PLACE):
        return _("Write at most four places.")
    return ""


def _moved_record(person: Person | None, *, lot: LarderLot, verb: str, amount: Decimal) -> None:
    audit_record(
        club=lot.team.club,
        person=person,
        verb=verb,
        subject=f"lot {lot.pk}",
        detail={"amount": decimal_plain(amount), "unit": lot.unit},
    )
