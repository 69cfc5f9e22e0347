"""What is done at once has Undo beside it, which is the very press that takes it back."""

from __future__ import annotations

import re
from typing import Any

import pytest

from matches.models import AuditEntry, EntryStatus
from tests.clients import signed_in
from tests.conftest import World

pytestmark = pytest.mark.django_db

FORM = re.compile(r'<form method="post" action="([^"]+)">(?:(?!</form>).)*?>Undo</button>', re.S)
FIELD = re.compile(r'<input type="hidden" name="([^"]+)" value="([^"]*)">')


def undo_in(body: str) -> tuple[str, dict[str, str]]:
    """Where the page's Undo sends, and what."""
    found = FORM.search(body)
    assert found, "there is no Undo"
    fields = dict(FIELD.findall(found.group(0)))
    return found.group(1), {k: v for k, v in fields.items() if k != "csrfmiddlewaretoken"}


def called_off(world: World) -> str:
    world.match.refresh_from_db()
    return str(world.match.called_off)


def marked(world: World) -> str:
    world.entries["Wilmot"].refresh_from_db()
    return str(world.entries["Wilmot"].status)


def fished(world: World) -> bool:
    world.pegs["1"].peg.refresh_from_db()
    return not world.pegs["1"].peg.retired


CASES: list[tuple[str, dict[str, str], Any]] = [
    ("/desk/matches/{match}/settings/", {"do": "call-off", "reason": "flood"}, called_off),
    (
        "/desk/matches/{match}/entrants/{entry}/",
        {"do": "status", "status": EntryStatus.ABSENT},
        marked,
    ),
    ("/desk/venues/{club}/{venue}/pegs/{peg}/", {"do": "retire"}, fished),
]


@pytest.mark.parametrize(("at", "sent", "state"), CASES)
def test_undo_puts_things_as_they_were_with_a_line_in_the_trail_and_twice_is_once(
    world: World, at: str, sent: dict[str, str], state: Any
) -> None:
    address = at.format(
        match=world.match.pk,
        entry=world.entries["Wilmot"].pk,
        club=world.club.slug,
        venue=world.venue.pk,
        peg=world.pegs["1"].peg_id,
    )
    client = signed_in(world.secretary)
    before = state(world)
    body = client.post(address, sent, follow=True).content.decode()
    assert state(world) != before
    where, fields = undo_in(body)
    lines = AuditEntry.objects.count()
    for _time in range(2):
        client.post(where, fields)
        assert state(world) == before
        assert AuditEntry.objects.count() == lines + 1
