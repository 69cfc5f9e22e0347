"""Every bait page of the desk asks the database little, with fifty members and three seasons."""

from __future__ import annotations

from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from tests.big_club import big_club_make, page_addresses

QUERIES_MOST = 12
#: Pages that also ask whether the order still fits: all that goes into it is read again (thirteen
#: queries), as nothing else says for certain that no plan, lot, price or mark has changed.
WITH_THE_ORDERS_INPUTS = {"team": 20, "order": 26, "bags": 23, "labels": 23}


@pytest.fixture
def club(db: None) -> Any:
    return big_club_make()


def test_pages_of_a_large_old_club_take_few_queries(club: Any) -> None:
    counts: dict[str, int] = {}
    for name, who, address in page_addresses(club):
        client = Client()
        client.force_login(getattr(club, who))
        with CaptureQueriesContext(connection) as caught:
            assert client.get(address).status_code == 200, address
        counts[name] = len(caught)
    allowed = {name: WITH_THE_ORDERS_INPUTS.get(name, QUERIES_MOST) for name in counts}
    assert {name: n for name, n in counts.items() if n > allowed[name]} == {}
