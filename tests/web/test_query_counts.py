"""Every page and every read of the API asks the database as often of a large club as of a small
one: its address is found by itself, so a new one is counted too."""

from __future__ import annotations

import re
from typing import Any

from django.db import connection, transaction
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import NoReverseMatch, reverse

from bait.models import Order
from matches.models import Match, WorkRequest
from matches.writes.bulletins import bulletin_publish
from matches.writes.leagues import league_make, league_rounds_set
from tests.addresses import patterns
from tests.big_club import big_club_make
from tests.clients import signed_in
from tests.web.phone import Phone

WHO = ("secretary", "captain")
SMALL, LARGE = 2, 20
#: Pages whose number of statements may differ by a few: a list longer than one statement takes.
A_FEW = 2


def counts(size: int) -> dict[str, int]:
    """By address and who looks: how many statements it took. Nothing of it stays."""
    with transaction.atomic():
        club = big_club_make(members=size, matches=size)
        _noted(club, size=size)
        known = _known(club)
        found = {}
        for who in WHO:
            client = signed_in(getattr(club, who))
            for name, parts in patterns():
                address = _address(name, parts, known)
                if address and (taken := _taken(client, address)) is not None:
                    found[f"{name} ({who})"] = taken
        transaction.set_rollback(True)
    return found


def _noted(club: Any, *, size: int) -> None:
    """Facts of everybody's day, a result, and a league of all that was fished."""
    phone = Phone(club.weigher, club.match)
    for n in range(10 * size):
        phone.keep("peg_note", str(n % 6 + 1), {"note": str(n)})
        phone.keep("feed_note", "1", {"bait": "caster", "amount": "0.5", "unit": "pint"})
    for peg in ("1", "2", "4", "5"):
        phone.weigh(peg, 900 + int(peg))
    while phone.outbox:
        phone.take_in(phone.push(list(phone.outbox.values())[:400]))
    league = league_make(club.secretary, club=club.club, name="Wend", of="anglers", rules={})
    rounds = Match.objects.filter(club=club.club).values_list("pk", flat=True)
    league_rounds_set(club.secretary, league=league, matches=list(rounds))
    bulletin_publish(club.secretary, match=club.match)


def _known(club: Any) -> dict[str, Any]:
    work = WorkRequest.objects.filter(club=club.club).first()
    return {
        "match_id": club.match.pk,
        "team_id": club.alders.pk,
        "entry_id": club.entries["Wilmot"].pk,
        "venue_id": club.venue.pk,
        "peg_id": club.pegs["1"].peg_id,
        "pack_id": club.packs["caster"].pk,
        "work_id": work.pk if work else None,
        "order_id": Order.objects.filter(match=club.match).values_list("pk", flat=True).first(),
        "slug": club.club.slug,
        "club": club.club.slug,
        "match": club.match.slug,
        "league": "wend",
        "number": 1,
        "kind": "anglers",
        "key of shop": "hut",
        "key of price": "hut",
        "key of pack": "hut",
        "key of bait": "caster",
        "key of season": club.entries["Wilmot"].angler_id,
    }


def _address(name: str, parts: tuple[str, ...], known: dict[str, Any]) -> str | None:
    inner = re.split("[:-]", name)
    given = {part: known.get(f"key of {inner[1]}" if part == "key" else part) for part in parts}
    if None in given.values() or name.startswith(("bank:", "admin:")):
        return None
    try:
        return reverse(name, kwargs=given)
    except NoReverseMatch:
        return None


def _taken(client: Client, address: str) -> int | None:
    """None where there is no such page for them."""
    with CaptureQueriesContext(connection) as caught:
        answer = client.get(address)
        if answer.streaming:
            b"".join(answer)
    return len(caught) if answer.status_code == 200 else None


def test_ten_times_the_rows_take_as_many_statements(db: None) -> None:
    small, large = counts(SMALL), counts(LARGE)
    assert small.keys() == large.keys()
    assert len(large) > 150
    more = {name: (small[name], n) for name, n in large.items() if n > small[name] + A_FEW}
    assert more == {}
