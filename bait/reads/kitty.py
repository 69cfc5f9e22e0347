"""An order's kitty: who paid the shops, who owes whom, and one member's own statement."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from django.db.models import OuterRef, Q, Subquery

from bait.models import Order, PaidBack, ShopPayment
from bait.reckon.kitty import Settlement, Transfer, balances_work_out, transfers_fewest
from matches.models import Angler, Entry

from .order_bill import OrderBill, ShopBill, order_bill


@dataclass(frozen=True, slots=True)
class ShopPaid:
    """A shop's bill and what was paid of it, in pence; `open` below zero: paid too much."""

    shop: ShopBill
    paid: int

    @property
    def open(self) -> int:
        return self.shop.total - self.paid


@dataclass(frozen=True, slots=True)
class MemberRow:
    """One line of the captain's table, in pence; `balance` above zero is owed to the member."""

    angler: Angler
    due: int
    alone: int | None
    paid: int
    given: int
    taken: int
    balance: int

    @property
    def paid_in(self) -> int:
        """To shops and to others, less what others paid back."""
        return self.paid + self.given - self.taken

    @property
    def saving(self) -> int | None:
        return None if self.alone is None else self.alone - self.due


@dataclass(frozen=True, slots=True)
class Owed:
    """A transfer still to be made."""

    payer: Angler
    payee: Angler
    pence: int


@dataclass(frozen=True, slots=True)
class Kitty:
    """Everything about the money of one placed order. `owed` is empty until shops are paid."""

    bill: OrderBill
    shops: tuple[ShopPaid, ...]
    payments: tuple[ShopPayment, ...]
    paid_back: tuple[PaidBack, ...]
    rows: tuple[MemberRow, ...]
    owed: tuple[Owed, ...]
    fewest: bool

    @property
    def shops_paid(self) -> bool:
        """Whether every shop has exactly its bill: only then do the balances add up to zero."""
        return all(not shop.open for shop in self.shops)

    @property
    def even(self) -> bool:
        return self.shops_paid and not self.owed

    @property
    def paid(self) -> int:
        """To all shops together."""
        return sum(payment.pence for payment in self.payments)

    @property
    def balance(self) -> int:
        """All balances together: zero once the shops have exactly their bills."""
        return sum(row.balance for row in self.rows)

    def row(self, angler_id: int) -> MemberRow | None:
        return next((row for row in self.rows if row.angler.pk == angler_id), None)


def kitty_of(order: Order) -> Kitty | None:
    """The kitty of the order's placed version; None while nothing is placed. Five queries."""
    bill = order_bill(order)
    if bill is None:
        return None
    payments = tuple(order.shop_payments.select_related("angler", "shop", "noted_by"))
    back = tuple(order.paid_back.select_related("payer", "payee", "noted_by"))
    anglers = dict(bill.anglers)
    anglers |= {str(paid.angler_id): paid.angler for paid in payments}
    for one in back:
        anglers |= {str(one.payer_id): one.payer, str(one.payee_id): one.payee}
    balances = _balances(bill, payments=payments, back=back)
    shops = tuple(
        ShopPaid(shop, sum(p.pence for p in payments if p.shop_id == shop.shop_id))
        for shop in _shops_billed_or_paid(bill, payments=payments)
    )
    settled = all(not shop.open for shop in shops)
    plan = transfers_fewest(balances) if settled else Settlement((), False)
    return Kitty(
        bill=bill,
        shops=shops,
        payments=payments,
        paid_back=back,
        rows=_rows(bill, anglers=anglers, balances=balances, payments=payments, back=back),
        owed=tuple(Owed(anglers[t.payer], anglers[t.payee], t.pence) for t in plan.transfers),
        fewest=plan.fewest,
    )


@dataclass(frozen=True, slots=True)
class Payer:
    """Somebody who may have paid, with their entry in the order's match if they have one."""

    angler: Angler
    entry_id: int | None


def kitty_even(order: Order) -> bool:
    """Whether the order can be settled: each shop has exactly its bill and nobody owes anybody."""
    kitty = kitty_of(order)
    return kitty is not None and kitty.even


def payers_of(order: Order, *, kitty: Kitty) -> list[Payer]:
    """Who may have paid a shop: the team's anglers and everybody in the kitty. One query."""
    known = [row.angler.pk for row in kitty.rows]
    entry = Entry.objects.filter(match_id=order.match_id, angler=OuterRef("pk")).values("pk")
    found = (
        Angler.objects.filter(club_id=order.team.club_id)
        .filter(Q(team_id=order.team_id) | Q(pk__in=known))
        .annotate(entry_found=Subquery(entry[:1]))
        .order_by("name", "pk")
    )
    return [Payer(angler, angler.entry_found) for angler in found]


def _shops_billed_or_paid(
    bill: OrderBill, *, payments: tuple[ShopPayment, ...]
) -> tuple[ShopBill, ...]:
    """Also a shop that was paid and has no bill any more: what it was paid must come back."""
    billed = {shop.shop_id for shop in bill.shops}
    others = {p.shop_id: p.shop for p in payments if p.shop_id not in billed}
    return (*bill.shops, *(ShopBill(s.pk, s.key, s.name, 0, 0) for s in others.values()))


def _balances(
    bill: OrderBill, *, payments: tuple[ShopPayment, ...], back: tuple[PaidBack, ...]
) -> dict[str, int]:
    return balances_work_out(
        {member: bill.due(member) for member in bill.parts},
        paid=[(str(p.angler_id), p.pence) for p in payments],
        given=[Transfer(str(b.payer_id), str(b.payee_id), b.pence) for b in back],
    )


def _rows(
    bill: OrderBill,
    *,
    anglers: Mapping[str, Angler],
    balances: Mapping[str, int],
    payments: tuple[ShopPayment, ...],
    back: tuple[PaidBack, ...],
) -> tuple[MemberRow, ...]:
    rows = [
        MemberRow(
            angler=anglers[member],
            due=bill.due(member),
            alone=bill.alone.get(member),
            paid=sum(p.pence for p in payments if str(p.angler_id) == member),
            given=sum(b.pence for b in back if str(b.payer_id) == member),
            taken=sum(b.pence for b in back if str(b.payee_id) == member),
            balance=balance,
        )
        for member, balance in balances.items()
    ]
    return tuple(sorted(rows, key=lambda row: (row.angler.name, row.angler.pk)))
