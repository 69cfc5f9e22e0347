"""Every form of every page, found by looking: where it is sent, and its fields as they stand."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from html.parser import HTMLParser
from typing import Any
from urllib.parse import urldefrag, urljoin

from django.test import Client

from tests.addresses import addresses
from tests.rights_rows import Rows

ROLES = ("secretary", "captain", "own", "weigher")


@dataclass(frozen=True, slots=True)
class Form:
    """`fields` in order; `presses` are its buttons' names and values."""

    who: str
    address: str
    fields: tuple[tuple[str, str], ...]
    presses: tuple[tuple[str, str], ...]


class _Finder(HTMLParser):
    def __init__(self, page: str) -> None:
        super().__init__()
        self.page = page
        self.found: list[tuple[str, list[tuple[str, str]], list[tuple[str, str]]]] = []
        self.open = False
        self.select = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        if tag == "form":
            self.open = given.get("method", "").lower() == "post"
            if self.open:
                self.found.append((urljoin(self.page, given.get("action", "")), [], []))
        elif self.open and tag in ("input", "textarea", "button", "select", "option"):
            self._field(tag, given)

    def _field(self, tag: str, given: dict[str, str]) -> None:
        name, value = given.get("name", ""), given.get("value", "")
        _address, fields, presses = self.found[-1]
        if tag == "select":
            self.select = name
        elif tag == "option":
            if self.select and self.select not in dict(fields):
                fields.append((self.select, value))
        elif tag == "button" and name:
            presses.append((name, value))
        elif name and name != "csrfmiddlewaretoken":
            fields.append((name, value or ("on" if given.get("type") == "checkbox" else "")))

    def handle_endtag(self, tag: str) -> None:
        if tag == "form":
            self.open = False
        elif tag == "select":
            self.select = ""


def forms_of(rows: Rows, *, roles: Sequence[str] = ROLES) -> list[Form]:
    """Those of all pages that these roles are shown, each once."""
    found: dict[Any, Form] = {}
    for who in roles:
        client = Client(HTTP_HOST="localhost")
        client.force_login(rows.people[who])  # type: ignore[arg-type]
        for name, address in addresses(rows.known):
            if name.startswith(("api:", "sign-out", "bank:")):
                continue
            for form in _forms_on(client, who, address):
                key = (form.address, tuple(name for name, _value in form.fields))
                found.setdefault(key, form)
    return list(found.values())


def _forms_on(client: Client, who: str, address: str) -> list[Form]:
    answer = client.get(address)
    if answer.status_code != 200 or not answer["Content-Type"].startswith("text/html"):
        return []
    finder = _Finder(address)
    finder.feed(b"".join(answer).decode())
    return [
        Form(who, urldefrag(where)[0], tuple(fields), tuple(presses))
        for where, fields, presses in finder.found
        if "sign-out" not in where
    ]
