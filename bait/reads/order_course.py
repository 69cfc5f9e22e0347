"""What an order has behind it: what is bought already, sold out, or not bought from any more."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from django.db.models import OuterRef

from bait.models import Bait, Order, Pack, PackBreak, Shop
from matches.reads.rows_along import RowsAlong
from matches.reckon.decimals import decimal_plain
from matches.reckon.money import pence_format

from .order_marks import order_marks

Row = dict[str, Any]


@dataclass(frozen=True, slots=True)
class OrderCourse:
    """By pack id as text: `bought` packs of the placed version, and `sold_out`, how many are still
    to be had. `packs`, `shops` (by key) and `baits` are the placed version's rows: what was agreed
    then holds for what is bought. `left_out`: keys of shops that nothing more is bought from.
    """

    bought: Mapping[str, int]
    sold_out: Mapping[str, int]
    left_out: frozenset[str]
    packs: Mapping[str, Row]
    shops: Mapping[str, Row]
    baits: Mapping[str, Row]

    @property
    def limited(self) -> bool:
        """Whether a shop cannot or shall not deliver what its price list says."""
        return bool(self.sold_out or self.left_out)


def order_course(order: Order) -> OrderCourse:
    """From its marks, and one query for the placed version where it is not there yet."""
    marks = order_marks(order)
    sold_out = {str(mark.pack_id): mark.packs for mark in marks.sold_out}
    placed = order.placed
    inputs: Row = placed.inputs if placed else {"packs": [], "suppliers": [], "baits": []}
    lines = placed.answer["lines"] if placed else []
    bought = {
        line["pack"]: min(line["packs"], sold_out.get(line["pack"], line["packs"]))
        for line in lines
    }
    return OrderCourse(
        bought={pack: packs for pack, packs in bought.items() if packs},
        sold_out=sold_out,
        left_out=frozenset(shop.key for shop in marks.left_out),
        packs={row["id"]: row for row in inputs["packs"]},
        shops={row["id"]: row for row in inputs["suppliers"]},
        baits={row["id"]: row for row in inputs.get("baits", [])},
    )


def packs_listed(baits: Iterable[Bait], *, club_id: int) -> list[Pack]:
    """The packs of these baits that the club's shops list, with their prices. One query."""
    return list(
        Pack.objects.filter(
            shop__club_id=club_id,
            shop__retired=False,
            retired=False,
            bait__in=[bait.pk for bait in baits],
        )
        .select_related("shop", "bait")
        .annotate(
            break_rows=RowsAlong(
                PackBreak.objects.filter(pack=OuterRef("pk")), "from_packs", "price_pence"
            )
        )
        .order_by("pk")
    )


def pack_rows(packs: Iterable[Pack], *, course: OrderCourse) -> list[Row]:
    """The calculator's packs, by id: `packs` as they are listed now, with what is bought already
    at what was agreed, also where it is not listed any more."""
    rows = {}
    for pack in packs:
        key = str(pack.pk)
        if pack.shop.key in course.left_out and key not in course.bought:
            continue
        rows[key] = _pack_row(pack, course=course)
    for key in course.bought.keys() - rows.keys():
        rows[key] = {**course.packs[key], "max_packs": course.bought[key]}
        rows[key]["bought"] = course.bought[key]
    return [rows[key] for key in sorted(rows, key=int)]


def _pack_row(pack: Pack, *, course: OrderCourse) -> Row:
    key, most = str(pack.pk), pack.max_packs
    bought = course.bought.get(key, 0)
    if key in course.sold_out:
        most = min(course.sold_out[key], course.sold_out[key] if most is None else most)
    if pack.shop.key in course.left_out:
        most = bought
    if not bought:
        return {**pack_json(pack), "max_packs": most}
    most = None if most is None else max(most, bought)
    return {**course.packs[key], "max_packs": most, "bought": bought}


def pack_json(pack: Pack) -> Row:
    """Of a pack of `packs_listed`."""
    return {
        "id": str(pack.pk),
        "supplier": pack.shop.key,
        "bait": pack.bait.key,
        "amount": decimal_plain(pack.amount),
        "unit": pack.unit,
        "price": pence_format(pack.price_pence),
        "breaks": [
            {"from_packs": from_packs, "price": pence_format(pence)}
            for from_packs, pence in sorted(vars(pack)["break_rows"])
        ],
        "max_packs": pack.max_packs,
    }


def supplier_rows(packs: Iterable[Pack], *, rows: Iterable[Row], course: OrderCourse) -> list[Row]:
    """The calculator's suppliers of `rows`, by key; those bought from on the terms agreed then."""
    listed = {pack.shop.key: pack.shop for pack in packs}
    bought = {row["supplier"] for row in rows if row.get("bought")}
    return [
        course.shops[key] if key in bought else shop_json(listed[key])
        for key in sorted({row["supplier"] for row in rows})
    ]


def shop_json(shop: Shop) -> Row:
    """A shop's terms as the calculator takes them; money as decimal text."""
    free = shop.free_delivery_from_pence
    return {
        "id": shop.key,
        "delivery_fee": pence_format(shop.delivery_fee_pence),
        "minimum_spend": pence_format(shop.minimum_spend_pence),
        "free_delivery_from": None if free is None else pence_format(free),
    }


def without_bought(request: Mapping[str, Any]) -> Row:
    """A request as if nothing were bought yet: the placed version fits as long as this stays."""
    packs = [{key: row[key] for key in row if key != "bought"} for row in request["packs"]]
    return {**request, "packs": packs}
