"""The kitty: who paid a shop, who paid whom back, and taking back what was noted wrongly."""

from __future__ import annotations

from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from bait.models import Order, PaidBack, ShopCharge, ShopPayment
from bait.reads.kitty import Kitty, kitty_of
from matches.models import Angler, AuditEntry, Person
from matches.problems import Code, Problem
from matches.reads.access import captained_teams
from matches.reckon.money import pence_format
from matches.writes.audit import audit_record

#: More than any order: a slip of the finger rather than a payment.
MOST_PENCE = 100_000_00


def shop_pay(
    person: Person, *, order: Order, shop_id: int, angler_id: int, pence: int, key: UUID
) -> ShopPayment | None:
    """Note that a member paid a shop so much for the team.

    `key` is made where the payment was meant: the same one again changes nothing, and returns the
    payment, or None where it was taken back meanwhile. Raises Problem NOT_ALLOWED, NOT_FOUND,
    BAD_INPUT, and CONFLICT where the order is settled or the shop is not owed so much any more:
    of two captains who note the same payment one is told.
    """
    with transaction.atomic():
        held = _order_hold(person, order=order)
        known = ShopPayment.objects.filter(key=key).first()
        if known is not None or _taken_back(held, key=key):
            _same_order_check(known, order=held)
            return known
        kitty = _kitty_open(held)
        _amount_check(pence)
        owed = next((s for s in kitty.shops if s.shop.shop_id == shop_id), None)
        if owed is None:
            raise Problem(Code.NOT_FOUND, _("This order buys nothing from that shop."))
        angler = _angler(held, angler_id=angler_id)
        if pence > owed.open:
            raise Problem(
                Code.CONFLICT,
                _(
                    "%(shop)s is owed only %(open)s more: look whether somebody noted the payment "
                    "already."
                )
                % {"shop": owed.shop.name, "open": pence_format(max(0, owed.open))},
            )
        paid = ShopPayment.objects.create(
            key=key, order=held, shop_id=shop_id, angler=angler, pence=pence, noted_by=person
        )
        _note(person, held, "kitty.shop_paid", key=key, who=angler.name, pence=pence)
    return paid


def shop_charge(person: Person, *, order: Order, shop_id: int, pence: int) -> int | None:
    """Note what a shop charged for all in the end, such as 79.50 where the order says 79.30.

    The difference is shared as the shop's delivery is. What the order says itself takes the note
    away again. The pence noted, None for none; noting the same again changes nothing. Raises
    Problem NOT_ALLOWED, NOT_FOUND, BAD_INPUT, and CONFLICT where nothing is placed or all is
    settled.
    """
    with transaction.atomic():
        held = _order_hold(person, order=order)
        bill = next((s for s in _kitty_open(held).bill.shops if s.shop_id == shop_id), None)
        if bill is None:
            raise Problem(Code.NOT_FOUND, _("This order buys nothing from that shop."))
        if not 0 <= pence <= MOST_PENCE:
            raise Problem(Code.BAD_INPUT, _("Write an amount above zero, such as 12.40."))
        charged = None if pence == bill.said else pence
        if charged == bill.charged:
            return charged
        if charged is None:
            ShopCharge.objects.filter(order=held, shop_id=shop_id).delete()
        else:
            ShopCharge.objects.update_or_create(
                order=held, shop_id=shop_id, defaults={"pence": charged, "noted_by": person}
            )
        audit_record(
            club=held.team.club,
            person=person,
            verb="kitty.shop_charged",
            subject=f"order {held.pk}",
            detail={"shop": bill.key, "amount": pence_format(pence)},
        )
    return charged


def pay_back(
    person: Person, *, order: Order, payer_id: int, payee_id: int, pence: int, key: UUID
) -> PaidBack | None:
    """Note that one member paid another their share, or part of it.

    Idempotent by `key` as `shop_pay`. Raises Problem NOT_ALLOWED, NOT_FOUND, BAD_INPUT, and
    CONFLICT where the order is settled, a shop is not paid yet, or it is more than the one still
    owes or the other is still owed.
    """
    with transaction.atomic():
        held = _order_hold(person, order=order)
        known = PaidBack.objects.filter(key=key).first()
        if known is not None or _taken_back(held, key=key):
            _same_order_check(known, order=held)
            return known
        kitty = _kitty_open(held)
        _amount_check(pence)
        payer, payee = kitty.row(payer_id), kitty.row(payee_id)
        if payer is None or payee is None:
            raise Problem(Code.NOT_FOUND, _("Only members with a part in this order pay back."))
        if not kitty.shops_paid:
            raise Problem(Code.CONFLICT, _("Note first who paid the shops."))
        if pence > min(-payer.balance, payee.balance):
            raise Problem(
                Code.CONFLICT,
                _(
                    "%(payer)s does not owe %(payee)s that much: look whether somebody noted it "
                    "already."
                )
                % {"payer": payer.angler.name, "payee": payee.angler.name},
            )
        back = PaidBack.objects.create(
            key=key,
            order=held,
            payer=payer.angler,
            payee=payee.angler,
            pence=pence,
            noted_by=person,
        )
        who = f"{payer.angler.name} → {payee.angler.name}"
        _note(person, held, "kitty.paid_back", key=key, who=who, pence=pence)
    return back


def payment_take_back(person: Person, *, order: Order, key: UUID) -> None:
    """Undo a payment to a shop, or among members, that was noted wrongly.

    Doing it again changes nothing. Raises Problem NOT_ALLOWED, NOT_FOUND where there never was
    such a payment, and CONFLICT where the order is settled.
    """
    with transaction.atomic():
        held = _order_hold(person, order=order)
        paid: ShopPayment | PaidBack | None = (
            ShopPayment.objects.filter(order=held, key=key).first()
            or PaidBack.objects.filter(order=held, key=key).first()
        )
        if paid is None:
            if _taken_back(held, key=key):
                return
            raise Problem(Code.NOT_FOUND, _("No such payment was noted."))
        _settled_check(held)
        who, pence = str(paid), paid.pence
        paid.delete()
        _note(person, held, "kitty.taken_back", key=key, who=who, pence=pence)


def _order_hold(person: Person, *, order: Order) -> Order:
    """The order's row, locked: of two payments at once the second sees the first."""
    if not captained_teams(person).filter(pk=order.team_id).exists():
        raise Problem(
            Code.NOT_ALLOWED, _("Only the team's captain or the secretary keeps its kitty.")
        )
    Order.objects.select_for_update().get(pk=order.pk)
    return Order.objects.select_related("placed", "match", "team__club").get(pk=order.pk)


def _kitty_open(order: Order) -> Kitty:
    _settled_check(order)
    kitty = kitty_of(order)
    if kitty is None:
        raise Problem(Code.CONFLICT, _("Nothing is placed yet, so there is nothing to pay."))
    return kitty


def _settled_check(order: Order) -> None:
    if order.settled_at is not None:
        raise Problem(Code.CONFLICT, _("This order is settled: its kitty is closed."))


def _amount_check(pence: int) -> None:
    if not 0 < pence <= MOST_PENCE:
        raise Problem(Code.BAD_INPUT, _("Write an amount above zero, such as 12.40."))


def _angler(order: Order, *, angler_id: int) -> Angler:
    found = Angler.objects.filter(club_id=order.team.club_id, pk=angler_id).first()
    if found is None:
        raise Problem(Code.NOT_FOUND, _("No such member in this club."))
    return found


def _same_order_check(known: ShopPayment | PaidBack | None, *, order: Order) -> None:
    if known is not None and known.order_id != order.pk:
        raise Problem(Code.CONFLICT, _("That payment was noted for another order: load the page."))


def _taken_back(order: Order, *, key: UUID) -> bool:
    return AuditEntry.objects.filter(
        club_id=order.team.club_id, verb="kitty.taken_back", subject=f"payment {key}"
    ).exists()


def _note(person: Person, order: Order, verb: str, *, key: UUID, who: str, pence: int) -> None:
    audit_record(
        club=order.team.club,
        person=person,
        verb=verb,
        subject=f"payment {key}",
        detail={"order": order.pk, "who": who, "amount": pence_format(pence)},
    )
