"""A junior's name is read by the public only while a parent or guardian agrees to it."""

from __future__ import annotations

from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from matches.models import Angler, AuditEntry, Bulletin
from matches.reckon.sheets.anglers import AnglerLine
from matches.writes.angler_files import anglers_import
from matches.writes.bulletins import bulletin_publish
from tests.clients import signed_in
from tests.fished import weigh
from web.integrity import faults_found

pytestmark = pytest.mark.django_db


@pytest.fixture
def press(world: Any) -> Any:
    for peg in "45":
        weigh(world, peg, 1000 * int(peg))
    bulletin_publish(world.secretary, match=world.match)
    client = signed_in(world.secretary)
    at = reverse("desk:juniors", args=["otterbeck"])
    angler = world.entries["Odette"].angler

    def act(do: str) -> str:
        sent = {"do": do, "angler": str(angler.pk)}
        return client.post(at, sent, follow=True).content.decode()

    return act


def board(world: Any) -> str:
    return Client().get(f"/board/otterbeck/{world.match.slug}/1/").content.decode()


def test_who_is_marked_a_junior_goes_by_initials_in_what_was_published_too(
    world: Any, press: Any
) -> None:
    assert "Odette Marl" in board(world)
    assert "The public reads “O. M.”" in press("junior")
    assert "Odette" not in board(world) and "O. M." in board(world)
    files = ("result.csv", "result.json", "result.txt")
    for file in files:
        told = Client().get(f"/board/otterbeck/{world.match.slug}/1/{file}")
        assert b"Odette" not in b"".join(told) if told.streaming else b"Odette" not in told.content
    assert list(faults_found()) == []


def test_a_roster_that_says_junior_hides_the_name_like_the_page_does(
    world: Any, press: Any
) -> None:
    angler = world.entries["Odette"].angler
    lines = [
        AnglerLine(
            row=2, name="Odette Marl", number=None, team=None, junior=True, guardian_consents=False
        )
    ]
    anglers_import(world.secretary, club=world.club, lines=lines)
    assert "Odette" not in board(world) and "O. M." in board(world)
    row = AuditEntry.objects.get(verb="junior_set")
    assert (row.person, row.detail["angler"]) == (world.secretary, angler.pk)
    assert list(faults_found()) == []


def test_an_agreement_says_who_noted_it_and_is_taken_back(world: Any, press: Any) -> None:
    press("junior")
    assert "Noted by Idris Pell on" in press("agreed")
    angler = Angler.objects.get(pk=world.entries["Odette"].angler_id)
    assert (angler.junior, angler.public_name) == (True, "Odette Marl")
    press("hide")
    angler.refresh_from_db()
    assert angler.public_name == "O. M."
    press("hide")
    press("what")
    angler.refresh_from_db()
    assert angler.junior
    press("grown")
    angler.refresh_from_db()
    assert (angler.junior, angler.public_name) == (False, "Odette Marl")
    rows = AuditEntry.objects.filter(verb="junior_set").order_by("number")
    said = [(row.detail["junior"], row.detail["guardian_consents"]) for row in rows]
    assert said == [(True, False), (True, True), (True, False), (False, False)]
    assert Bulletin.objects.get().redacted
    assert list(faults_found()) == []
