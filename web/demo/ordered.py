"""The bait order of the match that is over, by the road every order takes, to its settled kitty."""

from __future__ import annotations

import datetime as dt
import uuid
from decimal import Decimal
from fractions import Fraction
from itertools import cycle

from bait.models import Order
from bait.reads.bags import bags_of
from bait.reads.kitty import kitty_of
from bait.reads.left_over import LeftPart, LeftRow, left_over
from bait.reckon.units import amount_down
from bait.writes.bags import bag_tick
from bait.writes.kitty import pay_back, shop_pay
from bait.writes.left_over import LeftBack, leftovers_put
from bait.writes.order_life import order_bag, order_receive, order_settle
from bait.writes.orders import order_ask, order_place, order_version_make
from matches.models import Angler, Match, Person, Team
from matches.reckon.decimals import decimal_text

PAYERS = ("Maud Ferris", "Hester Vane")
#: How many hundredths of each bait came back, bag after bag.
LEFT_OF_A_BAG = (12, 5, 8, 3, 15, 6, 10)


def order_prepare(captain: Person, *, match: Match, team: Team, ticked: bool = True) -> Order:
    """Worked out, placed, received, every bag ticked (unless told otherwise) and filled. Raises
    ValueError when it has no answer."""
    order, work = order_ask(captain, team=team, match=match)
    version = order_version_make(work.pk)
    if version is None:
        raise ValueError("the demo's first order could not be worked out")
    order_place(captain, order=order, version=version)
    order_receive(captain, order=order, version=version, lines={})
    packing = bags_of(order) if ticked else None
    for bag in packing.bags if packing else ():
        keys = [item.key for item in bag.items]
        bag_tick(captain, order=order, angler_id=bag.angler.pk, keys=keys)
    return order_bag(captain, order=order)


def order_finish(captain: Person, *, order: Order, today: dt.date) -> None:
    """Two members paid the shops, the others paid them back, what was left went into the larder."""
    kitty = kitty_of(order)
    if kitty is None:
        raise ValueError("the demo's first order is not placed")
    for name, shop in zip(PAYERS, kitty.shops, strict=False):
        shop_pay(
            captain,
            order=order,
            shop_id=shop.shop.shop_id,
            angler_id=Angler.objects.get(club=order.team.club, name=name).pk,
            pence=shop.open,
            key=uuid.uuid4(),
        )
    kitty = kitty_of(order)
    for owed in kitty.owed if kitty else ():
        pay_back(
            captain,
            order=order,
            payer_id=owed.payer.pk,
            payee_id=owed.payee.pk,
            pence=owed.pence,
            key=uuid.uuid4(),
        )
    order_settle(captain, order=order)
    _left_put(captain, order=order, today=today)


def _left_put(captain: Person, *, order: Order, today: dt.date) -> None:
    """What was in nobody's bag goes back for the team, what was left of each bag for its member.

    Of bait she noted she knows; of all other everybody tells at the van how much is left.
    """
    seen = left_over(captain, team_id=order.team_id, match_id=order.match_id)
    hundredths = cycle(LEFT_OF_A_BAG)

    def told(row: LeftRow, *, of: LeftPart) -> Fraction:
        own = of.angler is not None and of.angler.person_id == captain.pk
        if of.angler is None or (own and row.fed):
            return row.left
        return min(row.left, row.bag * next(hundredths) / 100)

    rows = [
        LeftBack(part.angler, part.angler, row.bait, Decimal(decimal_text(amount)), row.state)
        for part in seen.parts
        for row in part.rows
        if (amount := amount_down(told(row, of=part), unit=row.bait.unit))
    ]
    leftovers_put(captain, team=order.team, match=order.match, rows=rows, today=today)
