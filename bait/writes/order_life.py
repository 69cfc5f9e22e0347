"""An order's course once it is worked out: changed late, received, bagged, settled, and back.

Every step has a way back as long as the next has not happened. Each holds the order's row, so
that of two captains at once one is told.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from bait.models import Order, OrderVersion, ReceivedLine
from bait.reads.kitty import kitty_even
from bait.reads.order_inputs import is_stale
from bait.reads.order_life import changed_from
from bait.reckon.order.parse import MOST_COUNT
from matches.models import Person
from matches.problems import Code, Problem
from matches.reckon.errors import BadInput, Fault, pointer
from matches.reckon.reading import is_storable
from matches.writes.audit import audit_record

from .larder_orders import larder_give_back_for, larder_take_for
from .orders import captain_check

MOST_NOTE = 200


@dataclass(frozen=True, slots=True)
class Came:
    """How many packs of a line came, with what is to be said of it."""

    packs: int
    note: str = ""


def change_accept(person: Person, *, order: Order, version: OrderVersion) -> Order:
    """The shops were told of a late change: this version is the placed one now.

    Raises Problem NOT_ALLOWED, NOT_FOUND (a version of another order), and CONFLICT when it is no
    change of the placed version, when plans, prices or marks changed since, or bait has come.
    """
    _own_check(order, version=version)

    def accept(held: Order) -> dict[str, Any]:
        before = held.placed
        if before is None or held.received_at is not None:
            raise Problem(Code.CONFLICT, _("Nothing is placed that could still be changed."))
        if version.answer.get("changes") != before.number or is_stale(held, version=version):
            raise Problem(
                Code.CONFLICT,
                _(
                    "This version no longer fits what is placed and planned. Work the order out "
                    "again and look at what it costs."
                ),
            )
        held.placed, held.placed_at = version, timezone.now()
        ReceivedLine.objects.filter(order=held).delete()
        return {"from": before.number, "version": version.number}

    return _order_step(person, order=order, verb="order.change_accepted", act=accept)


def change_take_back(person: Person, *, order: Order, version: OrderVersion) -> Order:
    """The late change was cancelled with the shops: what was placed before it is placed again.

    Raises Problem NOT_ALLOWED, and CONFLICT when this version is not the placed one, was no
    change of another, or the bait has come.
    """
    _own_check(order, version=version)

    def take_back(held: Order) -> dict[str, Any]:
        before = changed_from(held, version=version)
        if held.placed_id != version.pk or before is None or held.received_at is not None:
            raise Problem(Code.CONFLICT, _("There is no change left that could be taken back."))
        held.placed, held.placed_at = before, timezone.now()
        ReceivedLine.objects.filter(order=held).delete()
        return {"version": version.number, "back_to": before.number}

    return _order_step(person, order=order, verb="order.change_taken_back", act=take_back)


def order_receive(
    person: Person, *, order: Order, version: OrderVersion, lines: Mapping[int, Came]
) -> Order:
    """Say what came of the placed version, by pack; a line left out came whole.

    Raises Problem NOT_ALLOWED, CONFLICT when another version is placed or it was received
    already, and BadInput (pointing at /lines/<pack>/packs or /note) for what is no count.
    """
    _own_check(order, version=version)
    _lines_check(lines)

    def receive(held: Order) -> dict[str, Any]:
        if held.placed_id != version.pk or held.received_at is not None:
            raise Problem(
                Code.CONFLICT,
                _("This was received already, or another version is placed now: look again."),
            )
        held.received_at = timezone.now()
        short = _received_keep(held, version=version, lines=lines)
        return {"version": version.number, "short_lines": short}

    return _order_step(person, order=order, verb="order.received", act=receive)


def _received_keep(order: Order, *, version: OrderVersion, lines: Mapping[int, Came]) -> int:
    rows = []
    placed = list(version.lines.all())
    for line in placed:
        came = lines.get(line.pack_id, Came(line.packs))
        rows.append(
            ReceivedLine(order=order, pack_id=line.pack_id, packs=came.packs, note=came.note)
        )
    ReceivedLine.objects.filter(order=order).delete()
    ReceivedLine.objects.bulk_create(rows)
    return sum(row.packs < line.packs for row, line in zip(rows, placed, strict=True))


def order_receive_back(person: Person, *, order: Order) -> Order:
    """It had not come after all (or other packs did): nothing of it counts, and what was written
    is kept to begin from, as long as the same version is placed.

    Raises Problem NOT_ALLOWED, and CONFLICT when nothing was received or bags are filled.
    """

    def back(held: Order) -> dict[str, Any]:
        if held.received_at is None or held.bagged_at is not None:
            raise Problem(
                Code.CONFLICT,
                _("Only bait that came and is not bagged yet can be received anew."),
            )
        held.received_at = None
        return {}

    return _order_step(person, order=order, verb="order.receive_taken_back", act=back)


def order_bag(person: Person, *, order: Order) -> Order:
    """The bags are filled: what they take of the larder leaves it now.

    Raises Problem NOT_ALLOWED, and CONFLICT when the bait has not come or was bagged already.
    """

    def bag(held: Order) -> dict[str, Any]:
        if held.received_at is None or held.bagged_at is not None:
            raise Problem(
                Code.CONFLICT, _("Bags are filled once, after the bait has come: look again.")
            )
        takes = larder_take_for(held, person=person)
        held.bagged_at = timezone.now()
        return {"lots": len(takes)}

    return _order_step(person, order=order, verb="order.bagged", act=bag)


def order_bag_back(person: Person, *, order: Order) -> Order:
    """The bags are open again: what they took of the larder is back in it.

    Raises Problem NOT_ALLOWED, and CONFLICT when no bags are filled or the kitty is settled.
    """

    def back(held: Order) -> dict[str, Any]:
        if held.bagged_at is None or held.settled_at is not None:
            raise Problem(
                Code.CONFLICT, _("Only filled bags can be opened, before the kitty is settled.")
            )
        held.bagged_at = None
        return {"lots": larder_give_back_for(held, person=person)}

    return _order_step(person, order=order, verb="order.bag_taken_back", act=back)


def order_settle(person: Person, *, order: Order) -> Order:
    """Close the order's kitty: every shop is paid and nobody owes anybody.

    Raises Problem NOT_ALLOWED, and CONFLICT while bags are open or money is owed.
    """

    def settle(held: Order) -> dict[str, Any]:
        if held.bagged_at is None or held.settled_at is not None:
            raise Problem(
                Code.CONFLICT, _("An order is settled once, after its bags are filled: look again.")
            )
        if not kitty_even(held):
            raise Problem(
                Code.CONFLICT,
                _("Money is still owed. Note who paid the shops and who paid back, then settle."),
            )
        held.settled_at = timezone.now()
        return {}

    return _order_step(person, order=order, verb="order.settled", act=settle)


def order_settle_back(person: Person, *, order: Order) -> Order:
    """Open the kitty again. Raises Problem NOT_ALLOWED, and CONFLICT when it is open."""

    def back(held: Order) -> dict[str, Any]:
        if held.settled_at is None:
            raise Problem(Code.CONFLICT, _("The kitty is open already."))
        held.settled_at = None
        return {}

    return _order_step(person, order=order, verb="order.settle_taken_back", act=back)


def _order_step(
    person: Person, *, order: Order, verb: str, act: Callable[[Order], dict[str, Any]]
) -> Order:
    """One step in one transaction: `act` changes the held row or raises; then it is recorded."""
    captain_check(person, team=order.team)
    with transaction.atomic():
        Order.objects.select_for_update().get(pk=order.pk)
        held = Order.objects.select_related("match__venue", "team__club", "placed").get(pk=order.pk)
        detail = act(held)
        held.save(
            update_fields=[
                "placed",
                "placed_at",
                "received_at",
                "bagged_at",
                "settled_at",
            ]
        )
        audit_record(
            club=held.team.club,
            person=person,
            verb=verb,
            subject=f"order {held.pk}",
            detail=detail,
        )
    order.refresh_from_db()
    return order


def _own_check(order: Order, *, version: OrderVersion) -> None:
    if version.order_id != order.pk:
        raise Problem(Code.NOT_FOUND, _("This order has no such version."))


def _lines_check(lines: Mapping[int, Came]) -> None:
    faults = []
    for pack_id, came in lines.items():
        if not 0 <= came.packs <= MOST_COUNT:
            place = pointer("lines", str(pack_id), "packs")
            faults.append(Fault(place, _("Write how many packs came, from 0 up.")))
        if len(came.note) > MOST_NOTE or not is_storable(came.note):
            place = pointer("lines", str(pack_id), "note")
            faults.append(Fault(place, _("Keep the note to 200 plain characters.")))
    if faults:
        raise BadInput(*faults)
