"""Over the invented club: every link leads somewhere, every page leads on, every field is named."""

from __future__ import annotations

import datetime as dt
from html.parser import HTMLParser
from urllib.parse import urldefrag, urljoin, urlsplit

import pytest
from django.test import Client
from django.urls import Resolver404, resolve

from matches.models import Person
from web.demo import demo_load

pytestmark = pytest.mark.django_db

ROLES = ("maud", "idris", "tamsin", "wilmot")
#: Of each address by its name so many are looked at: more say nothing new.
OF_EACH = 1
#: What ends a session or hands out a file of a whole club is not followed.
NOT_FOLLOWED = ("/sign-out/", "/static/", "/admin/", "/bank/", "/serviceworker.js")
#: Fields whose meaning nobody should have to guess, by name: each has help beside it.
NEEDS_HELP = {
    "like", "venue-timezone", "timezone", "cautions", "places_most", "fee", "order_by",
    "objection_min", "last_call_min", "delivery_fee", "minimum_spend", "free_delivery_from",
    "lead_days", "density", "bag", "spare_percent", "along_m", "latitude", "longitude", "board_cm",
    "net_cap", "names",
}  # fmt: skip


class Page(HTMLParser):
    """What a page links to from its own part, its fields with what describes them, its labels, and
    what each choice of a form that is sent offers, by its name."""

    def __init__(self) -> None:
        super().__init__()
        self.links: list[tuple[str, bool]] = []
        self.fields: list[dict[str, str]] = []
        self.labelled: set[str] = set()
        self.ids: set[str] = set()
        self.forms = 0
        self.offered: dict[str, set[str]] = {}
        self._sent = False
        self._choice = ""
        self._main = 0
        self._label = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        of = {name: value or "" for name, value in attrs}
        if "id" in of:
            self.ids.add(of["id"])
        self._main += tag == "main"
        self._label += tag == "label"
        if tag == "a" and "href" in of:
            self.links.append((of["href"], bool(self._main)))
        elif tag == "label":
            self.labelled.add(of.get("for", ""))
        elif tag == "form":
            self.forms += self._main > 0
            self._sent = of.get("method") == "post"
        elif tag == "option" and self._choice:
            self.offered[self._choice].add(of.get("value", "as it reads"))
        elif tag in ("input", "select", "textarea") and of.get("type") != "hidden":
            self.fields.append({**of, "in label": "yes" if self._label else ""})
            if tag == "select" and self._sent:
                self._choice = of.get("name", "")
                self.offered[self._choice] = set()

    def handle_endtag(self, tag: str) -> None:
        self._main -= tag == "main"
        self._label -= tag == "label"
        if tag == "select":
            self._choice = ""


def looked_at(client: Client, start: str, *, dead: set[str]) -> dict[str, Page]:
    """Every page reached by links from `start`, a few of each kind; `dead` gets what refuses."""
    waiting, seen, of_kind = [(start, "")], set(), dict[str, int]()
    pages: dict[str, Page] = {}
    while waiting:
        address, came_from = waiting.pop(0)
        path = urlsplit(address).path
        if address in seen or path.startswith(NOT_FOLLOWED):
            continue
        seen.add(address)
        try:
            kind = resolve(path).view_name
        except Resolver404:
            dead.add(f"{came_from} to {address}")
            continue
        if of_kind.get(kind, 0) >= OF_EACH:
            continue
        of_kind[kind] = of_kind.get(kind, 0) + 1
        answer = client.get(address)
        if answer.status_code not in (200, 302):
            dead.add(f"{came_from} to {address}: {answer.status_code}")
        if answer.status_code != 200 or not answer["Content-Type"].startswith("text/html"):
            continue
        page = pages[address] = Page()
        page.feed(answer.content.decode())
        for href, _in_main in page.links:
            onward = urldefrag(urljoin(address, href)).url
            if not urlsplit(onward).scheme:
                waiting.append((onward, address))
    return pages


def test_for_every_role_links_lead_somewhere_pages_lead_on_and_fields_are_named() -> None:
    demo_load(today=dt.date(2026, 6, 18))
    dead, nowhere, unnamed, unhelped = set[str](), set[str](), set[str](), set[str]()
    for role in (None, *ROLES):
        client = Client(HTTP_HOST="localhost")
        if role:
            client.force_login(Person.objects.get(username=role))
        pages = looked_at(client, "/desk/" if role else "/", dead=dead)
        assert len(pages) > 3, role
        for address, page in pages.items():
            if not any(in_main and not href.startswith("#") for href, in_main in page.links):
                nowhere.add(resolve(urlsplit(address).path).view_name)
            for of in page.fields:
                said = of.get("aria-describedby", "")
                named = of.get("id") in page.labelled or of["in label"] or of.get("aria-label")
                where = f"{resolve(urlsplit(address).path).view_name}: {of.get('name')}"
                if of.get("type") not in ("submit", "button") and not (
                    named or of.get("aria-labelledby")
                ):
                    unnamed.add(where)
                if of.get("name") in NEEDS_HELP and not (set(said.split()) & page.ids):
                    unhelped.add(where)
    found = {"dead": dead, "nowhere": nowhere, "unnamed": unnamed, "unhelped": unhelped}
    assert {what: sorted(of) for what, of in found.items() if of} == {}
