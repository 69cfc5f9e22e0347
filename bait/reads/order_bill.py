"""What a placed order costs as it came, shop by shop, and each member's part of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from bait.models import Order, OrderLine, OrderVersion
from bait.reckon.order import OrderRequest, order_parse
from bait.reckon.order.prepare import Needs, Scales, member_needs
from bait.reckon.order.shares import Bill, SharePart, shares_break_down
from matches.models import Angler

from .order_marks import CamePacks, order_marks
from .orders import versions_fill


@dataclass(frozen=True, slots=True)
class LineCame:
    """A placed line with how many of its packs are to be paid: those that came, once it came."""

    line: OrderLine
    packs: int

    @property
    def cost(self) -> int:
        """Pence at the price each pack was placed at."""
        return self.packs * self.line.unit_price_pence

    @property
    def short(self) -> int:
        """Packs that were placed and did not come."""
        return max(0, self.line.packs - self.packs)


@dataclass(frozen=True, slots=True)
class ShopBill:
    """What one shop is due, in pence; nothing at all from it is not delivered either.

    `charged`: what it took in the end, where that is not what the order says.
    """

    shop_id: int
    key: str
    name: str
    goods: int
    delivery: int
    charged: int | None = None

    @property
    def said(self) -> int:
        """What the order says."""
        return self.goods + self.delivery

    @property
    def total(self) -> int:
        """What is paid: what the shop took, where that was said."""
        return self.said if self.charged is None else self.charged

    @property
    def other(self) -> int:
        """Everything but goods: delivery, and what was charged otherwise (may be below zero)."""
        return self.total - self.goods


@dataclass(frozen=True, slots=True)
class OrderBill:
    """Bills by shop and what each member must bear; both add up to the same pence."""

    version: OrderVersion
    request: OrderRequest
    scales: Scales
    needs: Needs
    lines: tuple[LineCame, ...]
    shops: tuple[ShopBill, ...]
    parts: Mapping[str, tuple[SharePart, ...]]
    alone: Mapping[str, int | None]
    anglers: Mapping[str, Angler]

    @property
    def total(self) -> int:
        return sum(shop.total for shop in self.shops)

    @property
    def short(self) -> bool:
        """Whether packs that were placed did not come."""
        return any(line.short for line in self.lines)

    def due(self, member: str) -> int:
        return sum(part.pence for part in self.parts.get(member, ()))


def order_bill(order: Order) -> OrderBill | None:
    """The bill of the order's placed version, None while none is: three queries, one where the
    version has its lines and shares already; one more for an order without its marks.

    Once the order is received only the packs that came are charged, each at its placed price; a
    shop's delivery stays as it was placed. Where a shop charged otherwise, the difference is
    shared as its delivery is. Without either the dues are the version's shares.
    """
    version = order.placed
    if version is None:
        return None
    request = order_parse(version.inputs)
    scales = Scales(request)
    needs = member_needs(request, scales=scales)
    versions_fill(version)
    came = order_marks(order).came if order.received_at else {}
    lines = tuple(_line_came(line, came=came) for line in version.lines.all())
    shares = version.shares.all()
    charged = {charge.shop_id: charge.pence for charge in order.shop_charges.all()}
    shops = _shops(lines, request=request, charged=charged)
    alone = {str(share.angler_id): share.alone_pence for share in shares}
    parts = shares_break_down(
        [_bill(came) for came in lines],
        delivery={shop.key: shop.other for shop in shops},
        needs=needs,
        alone=alone,
    )
    return OrderBill(
        version=version,
        request=request,
        scales=scales,
        needs=needs,
        lines=lines,
        shops=shops,
        parts=parts,
        alone=alone,
        anglers={str(share.angler_id): share.angler for share in shares},
    )


def _line_came(line: OrderLine, *, came: Mapping[int, CamePacks]) -> LineCame:
    """A line nobody wrote anything about came whole."""
    mine = came.get(line.pack_id)
    return LineCame(line, mine.packs if mine else line.packs)


def _bill(came: LineCame) -> Bill:
    pack = came.line.pack
    return Bill(pack.shop.key, pack.bait.key, came.cost, str(pack.pk))


def _shops(
    lines: tuple[LineCame, ...], *, request: OrderRequest, charged: Mapping[int, int]
) -> tuple[ShopBill, ...]:
    """By shop; the terms are those of the version, the delivery that of the goods as placed."""
    terms = {supplier.id: supplier for supplier in request.suppliers}
    by_shop: dict[str, list[LineCame]] = {}
    for came in lines:
        by_shop.setdefault(came.line.pack.shop.key, []).append(came)
    found = []
    for key, mine in by_shop.items():
        placed = sum(came.line.cost_pence for came in mine)
        free = terms[key].free_from
        waived = free is not None and placed >= free
        fee = 0 if waived or not any(came.packs for came in mine) else terms[key].fee
        shop = mine[0].line.pack.shop
        goods = sum(came.cost for came in mine)
        found.append(ShopBill(shop.pk, key, shop.name, goods, fee, charged.get(shop.pk)))
    return tuple(found)
