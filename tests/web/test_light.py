"""The light of the screen is chosen without JavaScript, and is on the page before it is drawn."""

from __future__ import annotations

from typing import Any

import pytest
from django.test import Client

from matches.models import Person
from tests.clients import signed_in


@pytest.fixture
def person(db: None) -> Person:
    return Person.objects.create_user("ada", password="heron-on-the-wend")


def drawn_in(client: Client, address: str = "/") -> str:
    opening = client.get(address).content.decode().split("<head>")[0]
    return opening.split('data-light="')[1].split('"')[0] if "data-light" in opening else ""


def choose(client: Client, light: str, came_from: str = "/board/") -> Any:
    return client.post("/light/", {"light": light, "from": came_from})


@pytest.mark.parametrize("light", ["day", "sun", "night"])
def test_who_has_no_account_keeps_the_light_on_the_device(db: None, light: str) -> None:
    client = Client()
    assert drawn_in(client) == ""
    assert choose(client, light).headers["Location"] == "/board/"
    assert drawn_in(client, "/board/") == light
    choose(client, "")
    assert drawn_in(client) == ""


def test_an_account_brings_its_light_to_a_new_device(person: Person) -> None:
    choose(signed_in(person), "night")
    other = signed_in(person)
    assert drawn_in(other) == "night"
    choose(other, "sun")
    other.post("/sign-out/")
    assert drawn_in(other) == "sun"  # what this device chose stays on it


def test_what_is_no_light_is_refused_and_changes_nothing(person: Person) -> None:
    client = signed_in(person)
    choose(client, "sun")
    assert choose(client, "dusk").status_code == 400
    client.cookies["light"] = 'x" onload="'
    assert drawn_in(client) == "sun"


@pytest.mark.parametrize("elsewhere", ["https://elsewhere.example/", "//elsewhere.example", "x:y"])
def test_nobody_is_sent_off_the_site(db: None, elsewhere: str) -> None:
    assert choose(Client(), "sun", elsewhere).headers["Location"] == "/"
