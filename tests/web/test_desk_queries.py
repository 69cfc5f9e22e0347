"""Every bait page of the desk asks the database little of a large old club."""

from __future__ import annotations

from typing import Any

from django.db import connection
from django.test.utils import CaptureQueriesContext

from bait.models import Order, OrderVersion, Pack
from bait.reads.order_inputs import order_inputs
from bait.reads.orders import orders_seen
from bait.writes.order_life import (
    Came,
    change_accept,
    order_bag,
    order_receive,
)
from bait.writes.order_marks import shop_leave_out, sold_out_mark
from bait.writes.orders import order_ask, order_version_make
from tests.big_club import big_club_make, page_addresses
from tests.clients import signed_in
from tests.thorough import trials

QUERIES_MOST = 12
MEMBERS, MATCHES = trials(20, in_full=50), trials(20, in_full=60)
OF_AN_ORDER = (
    "team",
    "order",
    "order-stands",
    "why",
    "kitty",
    "bags",
    "labels",
    "larder",
    "left-over",
)


def test_every_page_of_a_large_old_club_takes_few_queries(db: None) -> None:
    assert too_many(big_club_make(members=MEMBERS, matches=MATCHES)) == {}


def test_an_order_that_is_worked_out_and_not_placed_takes_few_queries(db: None) -> None:
    assert too_many(big_club_make(members=10, matches=10, placed=False), of=OF_AN_ORDER) == {}


def test_pages_of_an_order_take_few_queries_at_every_step_of_its_way(db: None) -> None:
    club = big_club_make(members=10, matches=10)
    found = {}
    for step in STEPS:
        step(club)
        found[step.__name__] = too_many(club, of=OF_AN_ORDER)
    assert not any(found.values()), found


def seen(club: Any) -> Order:
    return orders_seen().get(team=club.alders, match=club.match)


def placed(club: Any) -> OrderVersion:
    version = seen(club).placed
    assert version is not None
    return version


def marked(club: Any) -> None:
    for maggot in Pack.objects.filter(bait__key="maggot"):
        sold_out_mark(club.captain, order=seen(club), pack_id=maggot.pk)
    shop_leave_out(club.captain, order=seen(club), shop_id=club.shops["hut"].pk)
    assert order_inputs(seen(club)).instead


def worked_out_again(club: Any) -> None:
    _order, work = order_ask(club.captain, team=club.alders, match=club.match)
    later = order_version_make(work.pk)
    assert later is not None and later.pk != seen(club).placed_id


def accepted(club: Any) -> None:
    later = seen(club).current
    assert later is not None
    change_accept(club.captain, order=seen(club), version=later)


def received(club: Any) -> None:
    line = placed(club).lines.all()[0]
    came = {line.pack_id: Came(line.packs - 1, "one was wet")}
    order_receive(club.captain, order=seen(club), version=placed(club), lines=came)


def bagged(club: Any) -> None:
    order_bag(club.captain, order=seen(club))


STEPS = (marked, worked_out_again, accepted, received, bagged)


def too_many(club: Any, *, of: tuple[str, ...] = ()) -> dict[str, int]:
    """How many queries each page takes that takes more than it may."""
    counts: dict[str, int] = {}
    for name, who, address in page_addresses(club):
        if of and name not in of:
            continue
        client = signed_in(getattr(club, who))
        with CaptureQueriesContext(connection) as caught:
            assert client.get(address).status_code == 200, address
        counts[name] = len(caught)
    return {name: n for name, n in counts.items() if n > QUERIES_MOST}
