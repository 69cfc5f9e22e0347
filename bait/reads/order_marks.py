"""What a captain marked on an order: what is sold out, shops left out, and what came."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from django.db.models import OuterRef, QuerySet

from bait.models import Order, ReceivedLine, ShopLeftOut, SoldOut
from matches.reads.rows_along import RowsAlong


@dataclass(frozen=True, slots=True)
class SoldOutPack:
    """A pack of which `packs` are still to be had, with the names of its bait and shop."""

    pack_id: int
    packs: int
    bait: str
    shop: str


@dataclass(frozen=True, slots=True)
class LeftOutShop:
    """A shop that nothing more is bought from."""

    pk: int
    key: str
    name: str


@dataclass(frozen=True, slots=True)
class CamePacks:
    """How many of a pack came, and what was noted with it."""

    packs: int
    note: str


@dataclass(frozen=True, slots=True)
class OrderMarks:
    """Sold-out packs by bait, shops by name; what `came` by pack, once somebody wrote it."""

    sold_out: tuple[SoldOutPack, ...]
    left_out: tuple[LeftOutShop, ...]
    came: Mapping[int, CamePacks]


def orders_marked(orders: QuerySet[Order]) -> QuerySet[Order]:
    """The orders with their marks, in one query."""
    order = OuterRef("pk")
    return orders.annotate(
        sold_out_rows=RowsAlong(
            SoldOut.objects.filter(order=order),
            *("pack__bait__name", "pack_id", "packs", "pack__shop__name"),
        ),
        left_out_rows=RowsAlong(
            ShopLeftOut.objects.filter(order=order), *("shop__name", "shop_id", "shop__key")
        ),
        came_rows=RowsAlong(
            ReceivedLine.objects.filter(order=order), *("pack_id", "packs", "note")
        ),
    )


def order_marks(order: Order) -> OrderMarks:
    """As they were read with an order of `orders_marked`; any other's are read now."""
    read = vars(order)
    if "sold_out_rows" not in read:
        read = vars(orders_marked(Order.objects.all()).get(pk=order.pk))
    return OrderMarks(
        sold_out=tuple(
            SoldOutPack(pack, packs, bait, shop)
            for bait, pack, packs, shop in sorted(read["sold_out_rows"])
        ),
        left_out=tuple(
            LeftOutShop(pk, key, name) for name, pk, key in sorted(read["left_out_rows"])
        ),
        came={pack: CamePacks(packs, note) for pack, packs, note in read["came_rows"]},
    )
