"""Every bait page of the desk asks the database little, with fifty members and three seasons."""

from __future__ import annotations

from typing import Any

from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from matches.writes.audit import audit_record
from tests.big_club import big_club_make, page_addresses

QUERIES_MOST = 12
#: On the first look after a change all that goes into the order is read again.
FIRST_LOOK = {"team": 17, "order": 24, "order-stands": 17, "bags": 21, "labels": 21}


def test_pages_of_a_large_old_club_take_few_queries_the_first_look_after_a_change_too(
    db: None,
) -> None:
    club = big_club_make()
    assert {name: n for name, n in looked_at(club).items() if n > QUERIES_MOST} == {}
    counts: dict[str, int] = {}
    for name in FIRST_LOOK:
        audit_record(club=club.club, person=None, verb="changed", subject="", detail={})
        counts |= looked_at(club, only=name, times=1)
    assert {name: n for name, n in counts.items() if n > FIRST_LOOK[name]} == {}


def looked_at(club: Any, *, only: str = "", times: int = 2) -> dict[str, int]:
    """How many queries each page takes at the last of so many looks."""
    counts: dict[str, int] = {}
    for name, who, address in page_addresses(club):
        if only not in ("", name):
            continue
        client = Client()
        client.force_login(getattr(club, who))
        for _ in range(times):
            with CaptureQueriesContext(connection) as caught:
                assert client.get(address).status_code == 200, address
            counts[name] = len(caught)
    return counts
