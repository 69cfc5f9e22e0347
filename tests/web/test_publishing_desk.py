"""The publishing page of the desk: objections, words for a message, and who comes in."""

from __future__ import annotations

from typing import Any

import pytest
from django.test import Client

from matches.models import Match, Objection
from matches.writes.bulletins import bulletin_publish
from matches.writes.objections import objection_note
from tests.clients import signed_in

pytestmark = pytest.mark.django_db


@pytest.fixture
def at(world: Any) -> str:
    """The address of the page; bulletin 1 is provisional."""
    Match.objects.update(objection_min=30)
    world.match.refresh_from_db()
    bulletin_publish(world.secretary, match=world.match)
    return f"/desk/matches/{world.match.pk}/publish/"


def test_the_page_has_the_words_for_a_message_and_the_time_left(world: Any, at: str) -> None:
    page = signed_in(world.secretary).get(at).content.decode()
    assert "Everything: http://localhost/board/otterbeck/june-open/1/" in page
    assert "minutes left." in page
    assert "Why does it differ, or why is it confirmed before the time is over?" in page


def test_an_objection_is_noted_and_answered(world: Any, at: str) -> None:
    client = signed_in(world.secretary)
    page = client.post(at + "objections/", {"peg": "1", "words": "Read wrongly."}, follow=True)
    assert "The objection is noted." in page.content.decode()
    made = Objection.objects.get()
    page = client.post(f"{at}objections/{made.pk}/", {"answer": "Upheld."}, follow=True)
    assert "The objection is answered." in page.content.decode()
    made.refresh_from_db()
    assert (made.peg, made.words, made.answer) == ("1", "Read wrongly.", "Upheld.")


def test_what_was_typed_comes_back_where_it_is_refused(world: Any, at: str) -> None:
    client = signed_in(world.secretary)
    page = client.post(at + "objections/", {"peg": "99", "words": "Fished two rods."})
    assert "No peg of that number is fished" in page.content.decode()
    assert 'value="Fished two rods."' in page.content.decode()
    made = objection_note(world.secretary, match=world.match, words="Read wrongly.")
    long = "x" * 401
    page = client.post(f"{at}objections/{made.pk}/", {"answer": long}).content.decode()
    assert f'value="{long}"' in page
    reason = "Everybody agreed."
    assert (
        f'value="{reason}"'
        in client.post(at, {"confirmed": "yes", "reason": reason}).content.decode()
    )


def test_the_words_of_an_objection_are_on_no_public_page(world: Any, at: str) -> None:
    objection_note(world.secretary, match=world.match, words="Fished two rods.")
    Match.objects.update(name="June Open at the Meadow")
    bulletin_publish(world.secretary, match=world.match, reason="The name was short.")
    for address in ("", "2/", "2/result.json", "2/result.txt"):
        page = Client().get(f"/board/otterbeck/june-open/{address}").content.decode()
        assert "two rods" not in page
    assert (
        "1 objection had been noted" in Client().get("/board/otterbeck/june-open/").content.decode()
    )
