"""One member's own statement of a placed order: what they asked, what it cost, whom they owe."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from bait.models import Bait, Order
from bait.reckon.order import Demand, Stock
from bait.reckon.order.shares import DELIVERY, GOODS, MOVED, SharePart
from bait.reckon.plans import amount_text
from matches.models import Angler, Entry, Person

from .kitty import Kitty, MemberRow, Owed, kitty_of
from .order_bill import LineCame, OrderBill
from .plans import entry_for_plan, own_entry_of


@dataclass(frozen=True, slots=True)
class Charge:
    """The member's part, in pence, of one line of packs."""

    came: LineCame
    pence: int


@dataclass(frozen=True, slots=True)
class BaitRow:
    """What was asked of a bait, what came of the member's own larder, and what the rest cost.

    `unit` is empty for a bait the member did not ask for and bears a part of: it was bought
    before the plans changed.
    """

    name: str
    asked: str
    own: str
    unit: str
    charges: tuple[Charge, ...]

    @property
    def pence(self) -> int:
        return sum(charge.pence for charge in self.charges)


@dataclass(frozen=True, slots=True)
class DeliveryRow:
    """The member's part of what a shop took beside its goods: `fee` delivery, and `otherwise`
    where it charged more than the order says (below zero: less)."""

    shop: str
    fee: int
    otherwise: int
    pence: int


@dataclass(frozen=True, slots=True)
class Statement:
    """Money in pence. Baits, delivery and `moved` add up to `due` exactly."""

    entry: Entry
    order: Order
    kitty: Kitty
    row: MemberRow | None
    baits: tuple[BaitRow, ...]
    delivery: tuple[DeliveryRow, ...]
    moved: int
    pays: tuple[Owed, ...]
    gets: tuple[Owed, ...]

    @property
    def due(self) -> int:
        return 0 if self.row is None else self.row.due

    def name_of(self, angler: Angler) -> str:
        """Members read each other's names; a junior's as the public does."""
        return angler.name if angler.pk == self.entry.angler_id else angler.public_name


def statement_entry(person: Person, *, match_id: int, entry_id: int | None = None) -> Entry:
    """The entry whose statement is asked for: one's own, or a member's for their captain.

    Nobody else's, whoever asks. Raises Problem NOT_FOUND or NOT_ALLOWED.
    """
    if entry_id is None:
        return own_entry_of(person, match_id=match_id)
    return entry_for_plan(person, match_id=match_id, entry_id=entry_id)


def statement_of(entry: Entry) -> Statement | None:
    """The statement of the team's placed order; None while nothing is placed. Seven queries."""
    if entry.team_id is None:
        return None
    order = (
        Order.objects.filter(match_id=entry.match_id, team_id=entry.team_id)
        .select_related("placed", "match", "team__club")
        .first()
    )
    kitty = kitty_of(order) if order is not None else None
    if order is None or kitty is None:
        return None
    member = str(entry.angler_id)
    parts = kitty.bill.parts.get(member, ())
    return Statement(
        entry=entry,
        order=order,
        kitty=kitty,
        row=kitty.row(entry.angler_id),
        baits=_bait_rows(kitty.bill, member=member, parts=parts, club_id=order.team.club_id),
        delivery=_delivery_rows(kitty.bill, parts=parts),
        moved=sum(part.pence for part in parts if part.kind == MOVED),
        pays=tuple(owed for owed in kitty.owed if owed.payer.pk == entry.angler_id),
        gets=tuple(owed for owed in kitty.owed if owed.payee.pk == entry.angler_id),
    )


def _bait_rows(
    bill: OrderBill, *, member: str, parts: Iterable[SharePart], club_id: int
) -> tuple[BaitRow, ...]:
    lines = {str(came.line.pack_id): came for came in bill.lines}
    charges: dict[str, list[Charge]] = {}
    for part in parts:
        if part.kind == GOODS:
            charges.setdefault(part.bait, []).append(Charge(lines[part.pack], part.pence))
    asked = [d for d in bill.request.demands if d.member == member]
    own = [s for s in bill.request.stock if s.member == member]
    keys = {d.bait for d in asked} | set(charges)
    names = dict(Bait.objects.filter(club_id=club_id, key__in=keys).values_list("key", "name"))
    rows = []
    for key in sorted(keys, key=lambda key: names.get(key, key)):
        unit = next((d.unit for d in asked if d.bait == key), "")
        rows.append(
            BaitRow(
                name=names.get(key, key),
                asked=_in_unit(bill, asked, bait=key, unit=unit),
                own=_in_unit(bill, own, bait=key, unit=unit),
                unit=unit,
                charges=tuple(charges.get(key, ())),
            )
        )
    return tuple(rows)


def _in_unit(bill: OrderBill, rows: Iterable[Demand | Stock], *, bait: str, unit: str) -> str:
    """What the rows of the bait come to in `unit`, as text; empty for nothing."""
    total = sum((bill.scales.in_base(row) for row in rows if row.bait == bait), Fraction(0))
    if not total or not unit:
        return ""
    return amount_text(bill.scales.out_of_base(total, bait=bait, unit=unit))


def _delivery_rows(bill: OrderBill, *, parts: Iterable[SharePart]) -> tuple[DeliveryRow, ...]:
    shops = {shop.key: shop for shop in bill.shops}
    found = []
    for part in parts:
        if part.kind == DELIVERY:
            shop = shops[part.supplier]
            otherwise = shop.total - shop.said
            found.append(DeliveryRow(shop.name, shop.delivery, otherwise, part.pence))
    return tuple(found)
