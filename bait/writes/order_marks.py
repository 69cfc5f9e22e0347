"""What a shop is out of, and shops that nothing more is bought from: marked on one order.

A mark only takes effect when the order is worked out again, so each asks for that.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _

from bait.models import Order, Pack, Shop, ShopLeftOut, SoldOut
from bait.reckon.order.parse import MOST_COUNT
from matches.models import Person
from matches.problems import Code, Problem
from matches.reckon.errors import BadInput, Fault
from matches.writes.audit import audit_record

from .orders import captain_check, order_ask


def sold_out_mark(person: Person, *, order: Order, pack_id: int, packs: int = 0) -> None:
    """A shop has only `packs` more of a pack for this order, counting what it was placed with.

    Marking again changes the count. The order is asked to be worked out again. Raises Problem
    NOT_ALLOWED, NOT_FOUND (no such pack in the club), CONFLICT once the bait has come, and
    BadInput for what is no count.
    """
    if not 0 <= packs <= MOST_COUNT:
        raise BadInput(Fault("/packs", _("Write how many packs can still be had, from 0 up.")))

    def mark() -> dict[str, Any]:
        pack = Pack.objects.filter(shop__club_id=order.team.club_id, pk=pack_id).first()
        if pack is None:
            raise Problem(Code.NOT_FOUND, _("No such pack in this club."))
        SoldOut.objects.update_or_create(
            order=order, pack=pack, defaults={"packs": packs, "marked_by": person}
        )
        return {"pack": pack.pk, "packs": packs}

    _mark(person, order=order, verb="order.sold_out_marked", act=mark)


def sold_out_unmark(person: Person, *, order: Order, pack_id: int) -> None:
    """The shop has it after all. Raises Problem NOT_ALLOWED, and CONFLICT once bait has come."""

    def unmark() -> dict[str, Any]:
        SoldOut.objects.filter(order=order, pack_id=pack_id).delete()
        return {"pack": pack_id}

    _mark(person, order=order, verb="order.sold_out_unmarked", act=unmark)


def shop_leave_out(person: Person, *, order: Order, shop_id: int) -> None:
    """Buy nothing more from a shop for this order; what is bought there stays.

    Raises Problem NOT_ALLOWED, NOT_FOUND (no such shop in the club), CONFLICT once bait has come.
    """

    def leave() -> dict[str, Any]:
        shop = Shop.objects.filter(club_id=order.team.club_id, pk=shop_id).first()
        if shop is None:
            raise Problem(Code.NOT_FOUND, _("No such shop in this club."))
        ShopLeftOut.objects.get_or_create(order=order, shop=shop)
        return {"shop": shop.pk}

    _mark(person, order=order, verb="order.shop_left_out", act=leave)


def shop_back(person: Person, *, order: Order, shop_id: int) -> None:
    """Buy from the shop again. Raises Problem NOT_ALLOWED, and CONFLICT once bait has come."""

    def back() -> dict[str, Any]:
        ShopLeftOut.objects.filter(order=order, shop_id=shop_id).delete()
        return {"shop": shop_id}

    _mark(person, order=order, verb="order.shop_back", act=back)


def _mark(person: Person, *, order: Order, verb: str, act: Callable[[], dict[str, Any]]) -> None:
    captain_check(person, team=order.team)
    with transaction.atomic():
        held = Order.objects.select_for_update().get(pk=order.pk)
        if held.received_at is not None:
            raise Problem(Code.CONFLICT, _("The bait has come: say there what is short, not here."))
        detail = act()
        order_ask(person, team=order.team, match=order.match)
        audit_record(
            club=order.team.club,
            person=person,
            verb=verb,
            subject=f"order {order.pk}",
            detail=detail,
        )
