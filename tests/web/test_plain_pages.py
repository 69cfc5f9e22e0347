"""The front door, signing in, and what a person reads when something is refused."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
from django.test import Client, RequestFactory
from django.views.defaults import server_error

from tests.clients import signed_in
from tests.conftest import PASSWORD

pytestmark = pytest.mark.django_db


def page(address: str, **given: Any) -> Any:
    return Client(HTTP_HOST="localhost").get(address, **given)


def test_the_front_page_says_where_each_goes_and_asks_the_database_nothing_once_there_is_a_club(
    world: Any, django_assert_num_queries: Any
) -> None:
    page("/")
    with django_assert_num_queries(0):
        answer = page("/")
    body = answer.content.decode()
    assert 'href="/desk/"' in body
    assert 'href="/bank/"' in body
    assert 'href="/board/"' in body


@pytest.mark.parametrize(
    ("address", "marked"), [("/", []), ("/desk/", ["/desk/"]), ("/board/", ["/board/"])]
)
def test_the_menu_marks_the_room_one_is_in(world: Any, address: str, marked: list[str]) -> None:
    body = signed_in(world.member).get(address).content.decode()
    assert re.findall(r'<a href="([^"]+)" aria-current="true">', body) == marked


def test_every_page_has_a_language_a_skip_link_and_the_apps_manifest() -> None:
    body = page("/").content.decode()
    assert '<html lang="en-gb" dir="ltr">' in body
    assert '<a class="skip" href="#main">' in body
    assert '<link rel="manifest" href="/manifest.json">' in body
    assert '<meta name="theme-color" content="#0d3b3a">' in body


def test_signing_in_leads_to_the_desk_and_out_to_the_front_page(world: Any) -> None:
    client = Client(HTTP_HOST="localhost")
    answer = client.post("/sign-in/", {"username": "idris", "password": PASSWORD})
    assert (answer.status_code, answer["Location"]) == (302, "/desk/")
    assert "Idris Pell" in client.get("/desk/").content.decode()
    assert client.post("/sign-out/")["Location"] == "/"
    assert client.get("/desk/").status_code == 302


def test_a_wrong_password_says_what_to_look_at_and_keeps_the_name(world: Any) -> None:
    answer = Client(HTTP_HOST="localhost").post(
        "/sign-in/", {"username": "idris", "password": "perch"}
    )
    body = answer.content.decode()
    assert "That name and password do not go together." in body
    assert 'value="idris"' in body


def test_signing_in_leads_nowhere_outside(world: Any) -> None:
    answer = Client(HTTP_HOST="localhost").post(
        "/sign-in/?next=https://elsewhere.example/",
        {"username": "idris", "password": PASSWORD, "next": "https://elsewhere.example/"},
    )
    assert answer["Location"] == "/desk/"


def test_a_wrong_address_says_what_to_do() -> None:
    answer = page("/no-such-page/")
    assert answer.status_code == 404
    assert "There is nothing at this peg" in answer.content.decode()


def test_a_form_from_an_old_page_is_refused_with_what_to_do(world: Any) -> None:
    client = Client(HTTP_HOST="localhost", enforce_csrf_checks=True)
    client.force_login(world.secretary)
    answer = client.post(f"/desk/matches/{world.match.pk}/publish/", {"confirmed": "no"})
    assert answer.status_code == 403
    assert "This page was open too long" in answer.content.decode()
    assert world.match.bulletins.count() == 0


def test_when_something_breaks_the_page_needs_nothing_that_may_be_broken(
    django_assert_num_queries: Any,
) -> None:
    with django_assert_num_queries(0):
        answer = server_error(RequestFactory().get("/"))
    assert answer.status_code == 500
    assert "Something broke on our side" in answer.content.decode()


@pytest.mark.parametrize("file", ["css/tokens.css", "css/site.css", "css/results.css", "icons.svg"])
def test_what_pages_link_to_is_there(file: str) -> None:
    assert page(f"/static/{file}").status_code == 200


def test_every_icon_a_page_uses_is_in_the_sprite() -> None:
    web = Path(__file__).parents[2] / "web"
    sprite = set(re.findall(r'<symbol id="([a-z-]+)"', (web / "static/icons.svg").read_text()))
    used = {
        name
        for template in (web / "templates").rglob("*.html")
        for name in re.findall(r'"_icon\.html" with name="([a-z-]+)"', template.read_text())
    }
    assert used - sprite == set()
