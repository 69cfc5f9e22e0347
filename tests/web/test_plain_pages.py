"""The front door, signing in, and what a person reads when something is refused."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
from django.test import Client, RequestFactory
from django.views.defaults import server_error

from tests.conftest import PASSWORD

pytestmark = pytest.mark.django_db


def page(address: str, **given: Any) -> Any:
    return Client(HTTP_HOST="localhost").get(address, **given)


def test_the_front_page_says_where_each_goes_and_asks_the_database_nothing(
    django_assert_num_queries: Any,
) -> None:
    with django_assert_num_queries(0):
        answer = page("/")
    body = answer.content.decode()
    assert 'href="/desk/"' in body
    assert 'href="/bank/"' in body
    assert 'href="/board/"' in body


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


def test_text_is_seven_to_one_in_the_sun_theme() -> None:
    """WCAG 2.2, 1.4.6 (enhanced contrast), worked out from the tokens themselves."""
    css = (Path(__file__).parents[2] / "web/static/css/tokens.css").read_text()
    block = css.split(':root[data-light="sun"] {')[1].split("}")[0]
    colour = dict(re.findall(r"--([a-z-]+): (#[0-9a-f]{6});", block))

    def light(name: str) -> float:
        parts = [int(colour[name][i : i + 2], 16) / 255 for i in (1, 3, 5)]
        r, g, b = (p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
        return 0.2126 * r + 0.7152 * g + 0.0722 * b

    def ratio(one: str, other: str) -> float:
        pale, dark = sorted((light(one), light(other)), reverse=True)
        return (pale + 0.05) / (dark + 0.05)

    pairs = [
        *((text, ground) for text in ("ink", "ink-soft", "link") for ground in ("paper", "sunk")),
        *((t, f"{t}-pale") for t in ("good", "warn", "bad", "calm")),
        ("on-water", "water"),
        ("on-water", "water-scale"),
        ("on-float", "float"),
        ("bad", "paper"),
    ]
    assert {p: round(ratio(*p), 1) for p in pairs if ratio(*p) < 7} == {}
