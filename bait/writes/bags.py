"""What went into whose bag: ticked, and unticked."""

from __future__ import annotations

from collections.abc import Collection

from django.db import transaction
from django.utils.translation import gettext as _

from bait.models import BagTick, Order
from bait.reads.bags import Bag, OrderBags, bags_of
from matches.models import Person
from matches.problems import Code, Problem
from matches.reads.access import captained_teams
from matches.reckon.reading import is_storable


def bag_tick(
    person: Person, *, order: Order, angler_id: int, keys: Collection[str]
) -> list[BagTick]:
    """Say that these things are in the member's bag. What is ticked already stays as it was.

    Each tick is a row of its own, so two who pack at once lose none of each other's. Raises
    Problem NOT_ALLOWED, NOT_FOUND (nobody of this order), and CONFLICT where something is not in
    the bag any more, or in another amount: then nothing is ticked.
    """
    with transaction.atomic():
        bag = _bag(person, order=order, angler_id=angler_id)
        gone = set(keys) - {item.key for item in bag.items}
        if gone:
            raise Problem(
                Code.CONFLICT,
                _("The bag of %(name)s changed meanwhile: look at it again.")
                % {"name": bag.angler.name},
            )
        return [
            BagTick.objects.get_or_create(
                order=order, angler=bag.angler, key=key, defaults={"ticked_by": person}
            )[0]
            for key in sorted(set(keys))
        ]


def bag_untick(person: Person, *, order: Order, angler_id: int, key: str) -> None:
    """Say that it is not in the bag after all. Doing it again changes nothing.

    Raises Problem NOT_ALLOWED, and CONFLICT once the order is settled.
    """
    _packing_check(person, order=order)
    if is_storable(key):
        BagTick.objects.filter(order=order, angler_id=angler_id, key=key).delete()


def _bag(person: Person, *, order: Order, angler_id: int) -> Bag:
    _packing_check(person, order=order)
    bags: OrderBags | None = bags_of(order)
    if bags is None:
        raise Problem(Code.CONFLICT, _("Nothing is placed yet, so there is nothing to pack."))
    found = next((bag for bag in bags.bags if bag.angler.pk == angler_id), None)
    if found is None:
        raise Problem(Code.NOT_FOUND, _("Nobody of that name has a bag in this order."))
    return found


def _packing_check(person: Person, *, order: Order) -> None:
    if not captained_teams(person).filter(pk=order.team_id).exists():
        raise Problem(
            Code.NOT_ALLOWED, _("Only the team's captain or the secretary packs its bags.")
        )
    if order.settled_at is not None:
        raise Problem(Code.CONFLICT, _("This order is settled: its bags are closed."))
