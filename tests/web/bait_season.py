"""Matches with bags, of which some came back: what pages of bait are tried with."""

from __future__ import annotations

import datetime as dt
import uuid
from decimal import Decimal
from typing import Any

from bait.models import Order
from bait.writes.left_over import LeftBack, leftovers_put
from bait.writes.orders import order_ask, order_place, order_version_make
from matches.models import (
    Entry,
    Fact,
    FactKind,
    Match,
    MatchState,
)
from tests.ordered import planned

TODAY = dt.date(2026, 7, 1)


def placed(world: Any, match: Match) -> Order:
    order, work = order_ask(world.captain, team=world.alders, match=match)
    version = order_version_make(work.pk)
    assert version is not None
    return order_place(world.captain, order=order, version=version)


def came_back(world: Any, match: Match, entry: Entry, amount: str) -> None:
    row = LeftBack(entry.angler, entry.angler, world.baits["caster"], Decimal(amount), "fresh")
    leftovers_put(world.captain, team=world.alders, match=match, rows=[row], today=TODAY)


def fed(world: Any, minute: int, amount: str) -> None:
    n = Fact.objects.count() + 1
    Fact.objects.create(
        club=world.club,
        match=world.match,
        author=world.member,
        device=uuid.UUID(int=1),
        seq=n,
        cseq=n,
        kind=FactKind.FEED_NOTE,
        peg="4",
        recorded_at=world.match.start_at + dt.timedelta(minutes=minute),
        clock_offset_ms=0,
        body={"bait": "caster", "amount": amount, "unit": "pint"},
        digest="",
    )


def one_match(world: Any) -> Any:
    """Maud planned 2 pints and Wilmot 4, each with a tenth spare; 7 were bought.

    Wilmot noted 2 of his in the first half of the match, and 0.4 came back.
    """
    planned(world, "Maud", caster="2", spare=10)
    planned(world, "Wilmot", caster="4", spare=10)
    placed(world, world.match)
    for minute in (5, 60, 120):
        fed(world, minute, "0.5")
    fed(world, 130, "0.5")
    came_back(world, world.match, world.entries["Wilmot"], "0.4")
    return world


def earlier(world: Any, days: int, *, back: str) -> Match:
    """A match so long before, for which both planned 5 pints with 20 % spare."""
    match = Match.objects.create(
        club=world.club,
        venue=world.venue,
        name=f"Before {days}",
        slug=f"before-{days}",
        date=world.match.date - dt.timedelta(days=days),
        start_at=world.match.start_at - dt.timedelta(days=days),
        end_at=world.match.end_at - dt.timedelta(days=days),
        state=MatchState.CONFIRMED,
    )
    for first in ("Maud", "Wilmot"):
        angler = world.entries[first].angler
        entry = Entry.objects.create(match=match, angler=angler, team=world.alders)
        planned(world, entry, caster="5", spare=20)
        came_back(world, match, entry, back)
    placed(world, match)
    return match


def matches_before(world: Any, matches: int) -> None:
    for n in range(matches):
        earlier(world, 7 * (n + 1), back="0.5")
    for first, spare in (("Maud", 0), ("Wilmot", 20)):
        planned(world, first, caster="4", spare=spare)


def spare_address(world: Any) -> str:
    return f"/api/v1/teams/{world.alders.pk}/matches/{world.match.pk}/order/spare"
