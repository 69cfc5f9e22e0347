"""The bait order of the match that is over, by the road every order takes, to its settled kitty."""

from __future__ import annotations

import datetime as dt
import uuid
from decimal import Decimal

from bait.models import Order
from bait.reads.kitty import kitty_of
from bait.reads.left_over import left_over, left_text
from bait.writes.kitty import pay_back, shop_pay
from bait.writes.left_over import LeftBack, leftovers_put
from bait.writes.order_life import order_bag, order_receive, order_settle
from bait.writes.orders import order_ask, order_place, order_version_make
from matches.models import Angler, DrawnPeg, Match, Person, Team

from .weighing import Phone

# Bait, amount, unit, line, the plan's stage, and the minute it went in.
FED = (
    ("hemp", "1", "pint", "long", 0, 0),
    ("caster", "0.5", "pint", "long", 1, 45),
    ("caster", "0.5", "pint", "long", 1, 110),
    ("caster", "0.25", "pint", "short", 3, 200),
)
PAYERS = ("Maud Ferris", "Hester Vane")


def order_prepare(captain: Person, *, match: Match, team: Team) -> Order:
    """Worked out, placed, received and bagged. Raises ValueError when it has no answer."""
    order, work = order_ask(captain, team=team, match=match)
    version = order_version_make(work.pk)
    if version is None:
        raise ValueError("the demo's first order could not be worked out")
    order_place(captain, order=order, version=version)
    order_receive(captain, order=order, version=version, lines={})
    return order_bag(captain, order=order)


def fed_log(captain: Person, *, match: Match) -> None:
    """What Maud noted on her phone as she fed it."""
    phone = Phone(captain, match=match)
    drawn = DrawnPeg.objects.select_related("section_peg__peg").get(
        match=match, entry__angler__person=captain
    )
    for bait, amount, unit, line, stage, minute in FED:
        phone.log(
            "feed_note",
            peg=drawn.section_peg.peg.number,
            body={"bait": bait, "amount": amount, "unit": unit, "line": line, "stage": stage},
            at=match.start_at + dt.timedelta(minutes=minute),
        )
    phone.send()


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
    """The team's part of what was left over goes back, whole packs that nobody had in a bag."""
    seen = left_over(captain, team_id=order.team_id, match_id=order.match_id)
    rows = [
        LeftBack(
            source=None, owner=None, bait=row.bait, amount=Decimal(left_text(row)), state=row.state
        )
        for part in seen.parts
        if part.angler is None
        for row in part.rows
        if row.left
    ]
    leftovers_put(captain, team=order.team, match=order.match, rows=rows, today=today)
