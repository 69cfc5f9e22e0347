"""A cursor that no server gave makes nobody read anew but who made it up."""

from __future__ import annotations

import base64
import json
from typing import Any

import pytest

from matches.models import AuditEntry
from tests.clients import signed_in
from tests.web.phone import Phone

URL = "/api/v1/sync/facts"


def plain(cursor: str) -> list[Any]:
    return list(json.loads(base64.urlsafe_b64decode(cursor + "=" * (-len(cursor) % 4))))


def written(parts: list[Any]) -> str:
    return base64.urlsafe_b64encode(json.dumps(parts).encode()).decode().rstrip("=")


@pytest.fixture
def page(world: Any) -> Any:
    phone = Phone(world.weigher, world.match)
    for n in range(3):
        phone.keep("peg_note", "1", {"note": str(n)})
    phone.sync()
    return signed_in(world.member).get(URL, {"match": world.match.pk, "limit": 2}).json()


@pytest.mark.parametrize("signature", [None, "kept", "00" * 12, 7, "\ud800"])
def test_a_number_made_up_begins_again_and_changes_nothing(
    world: Any, page: Any, signature: Any
) -> None:
    parts = plain(page["next"])
    parts[2] = 2**62
    forged = (
        parts[:3]
        if signature is None
        else parts
        if signature == "kept"
        else [*parts[:3], signature]
    )
    before = AuditEntry.objects.count()
    answer = signed_in(world.member).get(URL, {"match": world.match.pk, "after": written(forged)})
    assert answer.status_code == 200
    assert answer.json()["epoch"] == page["epoch"]
    assert len(answer.json()["facts"]) == 3
    assert AuditEntry.objects.count() == before


def test_a_cursor_of_before_cursors_were_signed_goes_on(world: Any, page: Any) -> None:
    old = written(plain(page["next"])[:3])
    answer = signed_in(world.member).get(URL, {"match": world.match.pk, "after": old}).json()
    assert [fact["cseq"] for fact in answer["facts"]] == [3]


def test_another_clubs_cursor_leads_to_none_of_its_facts(world: Any, page: Any) -> None:
    answer = signed_in(world.outsider).get(URL, {"after": page["next"]})
    assert answer.status_code == 400
    club_wide = signed_in(world.member).get(URL, {"limit": 2}).json()["next"]
    assert signed_in(world.outsider).get(URL, {"after": club_wide}).json()["facts"] == []
