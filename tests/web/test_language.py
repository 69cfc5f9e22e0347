"""Everybody is spoken to in the language they chose, and no kept answer mixes two."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import pytest
from django.core import mail
from django.test import Client
from django.utils import translation

from matches.models import LetterKind
from matches.writes.choices import choices_set
from matches.writes.letters import letter_write
from tests.big_club import big_club_make, page_addresses
from tests.clients import signed_in
from web.letters import letters_send

pytestmark = pytest.mark.django_db

FRENCH = {"HTTP_ACCEPT_LANGUAGE": "fr-FR,fr;q=0.9,en;q=0.5"}


@pytest.fixture(autouse=True)
def language_put_back() -> Iterator[None]:
    """A request leaves its language behind, until the next one comes."""
    with translation.override(translation.get_language()):
        yield


def test_the_board_speaks_as_the_browser_asks_and_says_which_language_it_is(db: None) -> None:
    for asked, spoken in ((FRENCH, "fr"), ({"HTTP_ACCEPT_LANGUAGE": "de"}, "en-gb")):
        page = Client().get("/board/", **asked)
        assert page["Content-Language"] == spoken
        assert f'<html lang="{spoken}"' in page.content.decode()
        assert "Accept-Language" in page["Vary"]


def test_a_visitors_choice_counts_before_the_browsers_wish_and_leads_back(db: None) -> None:
    visitor = Client()
    answer = visitor.post("/language/", {"language": "fr", "next": "/board/"})
    assert (answer.status_code, answer["Location"]) == (302, "/board/")
    assert visitor.get("/board/", HTTP_ACCEPT_LANGUAGE="en")["Content-Language"] == "fr"
    away = visitor.post("/language/", {"language": "", "next": "//elsewhere.example/"})
    assert away["Location"] == "/"
    assert visitor.get("/board/", HTTP_ACCEPT_LANGUAGE="en")["Content-Language"] == "en-gb"


def test_a_language_that_there_is_not_is_refused_in_words(world: Any) -> None:
    answer = signed_in(world.member).post("/language/", {"language": "xx", "measures": "metric"})
    assert answer.status_code == 200
    assert "field-error" in answer.content.decode()
    world.member.refresh_from_db()
    assert (world.member.language, world.member.measures) == ("", "written")


def test_the_desk_speaks_as_its_person_chose_on_every_device(world: Any) -> None:
    signed_in(world.member).post("/language/", {"language": "fr", "measures": "metric"})
    world.member.refresh_from_db()
    assert (world.member.language, world.member.measures) == ("fr", "metric")
    assert (
        signed_in(world.member).get("/desk/", HTTP_ACCEPT_LANGUAGE="en")["Content-Language"] == "fr"
    )


def test_a_letter_is_in_its_readers_language(world: Any, settings: Any) -> None:
    settings.EMAIL_URL = "smtp://mail.example"
    said = {}
    for language in ("", "fr"):
        choices_set(world.member, language=language, measures="uk")
        letter_write(world.member, kind=LetterKind.CHANGED, address="m@otterbeck.example")
        letters_send()
        said[language] = mail.outbox[-1].subject
    assert said[""] == "Your account at Drawbag was changed"
    assert said["fr"] not in ("", said[""])


def test_a_problem_keeps_its_code_and_takes_the_language_asked_for(db: None) -> None:
    english, french = (Client().get("/api/v1/me", **asked).json() for asked in ({}, FRENCH))
    assert english["type"] == french["type"] == "/problems/sign-in"
    assert english["title"] == "Sign in first."
    assert french["title"] not in ("", english["title"])


def test_what_is_kept_of_a_result_is_another_answer_in_another_language(published: str) -> None:
    for kind in ("", "result.txt", "card.svg"):
        english, french = (Client().get(published + kind, **asked) for asked in ({}, FRENCH))
        assert english["ETag"] != french["ETag"]
        assert {"Accept-Language", "Cookie"} <= {*french["Vary"].replace(" ", "").split(",")}
        held = Client().get(published + kind, HTTP_IF_NONE_MATCH=english["ETag"], **FRENCH)
        assert held.status_code == 200


def test_a_bulletins_own_body_is_the_same_in_every_language(published: str) -> None:
    for kind in ("result.json", "result.csv"):
        english, french = (Client().get(published + kind, **asked) for asked in ({}, FRENCH))
        assert english.content == french.content
        assert english["ETag"] == french["ETag"]


@pytest.fixture
def published(world: Any) -> str:
    """The address of a numbered bulletin's page."""
    from tests.web.test_board import publish, weigh

    weigh(world, "1", 4250)
    return f"/board/otterbeck/june-open/{publish(world).number}/"


def test_every_bait_page_of_the_desk_is_shown_in_french_with_metric_measures() -> None:
    world = big_club_make(members=6, matches=2)
    for who in (world.captain, world.member, world.secretary):
        choices_set(who, language="fr", measures="metric")
    beside = 0
    for name, who, address in page_addresses(world):
        page = signed_in(getattr(world, who)).get(address)
        assert (page.status_code, page["Content-Language"]) == (200, "fr"), name
        text = page.content.decode()
        assert "Skip to the page" not in text, name
        beside += len(re.findall(r"pintes? \(\d+,\d\d L\)", text))
    assert beside > 3
