"""Every address asked by every role, read and written to: the answer is the table's."""

from __future__ import annotations

import re
from collections.abc import Iterator
from copy import copy
from pathlib import Path
from typing import Any
from uuid import uuid4

import pytest
from django.db import connection, transaction
from django.template import Template
from django.test import Client
from django.test.utils import CaptureQueriesContext

from matches.models import FactKind, Match
from tests.addresses import addresses, patterns
from tests.rights import FACTS, ROLES, VERBS, answers, by_name, in_short
from tests.rights_rows import Rows, rows_make
from tests.thorough import IN_FULL
from tests.web.phone import Phone

STRANGERS = ("out", "other club", "removed", "keeper")
LOOKING = STRANGERS[:3]  # the keeper is in no club, as who was removed
#: A verb that an address does not have nobody has, and what anyone may, who is out may: asked by
#: these alone, for time.
OF_ALL_ALIKE = ROLES if IN_FULL else ("out", "other club", "secretary")
#: What an empty form names nothing of: past the door there is nothing of that name.
NAMES_NOTHING = ("desk:phones", "desk:bags", "desk:larder")
BODIES: dict[str, dict[str, Any]] = {
    "weigh_in": {"net": 1, "weight": 900, "unit": "g"},
    "feed_note": {"bait": "caster", "amount": "0.5", "unit": "pint"},
    "fish_note": {"species": "Roach", "count": 1},
    "peg_note": {"note": "deep"},
    "line_note": {"line": "pole"},
    "feed_test": {"bait": "caster", "jar_cm": 20, "ms": 2500},
    "feed_throw": {"upstream_cm": 200, "bait": "caster"},
    "scratch": {"why": "a slip"},
    "signal": {"signal": "end"},
    "ruling": {"disagreement": 1, "stands": None},
}


@pytest.fixture
def rows(db: None) -> Rows:
    return rows_make()


@pytest.fixture(autouse=True)
def contact_is_set(settings: Any) -> None:
    settings.SECURITY_CONTACTS = ["mailto:keeper@club.example"]


@pytest.fixture(autouse=True)
def any_rate(monkeypatch: pytest.MonkeyPatch) -> None:
    from web.api.reckon import ReckonThrottle

    monkeypatch.setattr(ReckonThrottle, "allow_request", lambda *_: True)


def clients(rows: Rows, *roles: str) -> dict[str, Client]:
    made = {role: Client(HTTP_HOST="localhost", raise_request_exception=False) for role in roles}
    for role, client in made.items():
        if (person := rows.people[role]) is not None:
            client.force_login(person)
    return made


def ask(client: Client, name: str, verb: str, address: str) -> Any:
    """The answer; what the asking wrote is taken back, and who was signed in still is."""
    cookies = copy(client.cookies)
    with transaction.atomic():
        if name.startswith("api:") and verb != "get":
            answer = getattr(client, verb)(address, "{}", content_type="application/json")
        else:
            answer = getattr(client, verb)(address)
        transaction.set_rollback(True)
    client.cookies = cookies
    return answer


def told(answer: Any) -> str:
    status = answer.status_code
    if status == 401 or (status == 302 and "/sign-in/" in answer.headers["Location"]):
        return "in"
    return "may" if status in (200, 202, 302, 400) else "no" if status == 405 else str(status)


def fits(got: str, wanted: str, *, role: str, name: str) -> bool:
    """Signed out one is asked to sign in before one is told that there is no such verb."""
    if wanted == "no" and role == "out":
        return got in ("no", "in")
    return got == wanted or (wanted == "may" and got == "404" and name in NAMES_NOTHING)


def test_every_address_has_one_row_and_every_row_an_address() -> None:
    assert sorted(name for name, _parts in patterns()) == sorted(by_name())
    assert all(set(answers(of)) == set(ROLES) for row in by_name().values() for of in row[1:3])


def test_every_role_is_answered_as_the_table_says(
    rows: Rows, monkeypatch: pytest.MonkeyPatch
) -> None:
    # What a page says is another's matter, and takes a third of the time.
    monkeypatch.setattr(Template, "render", lambda *_: "")
    wrong = []
    asked = clients(rows, *ROLES)
    for name, address in addresses(rows.known):
        row = by_name()[name]
        for verb, whose in (("get", row.reads), (VERBS.get(name, "post"), row.writes)):
            for role, wanted in answers(whose).items():
                if whose in ("nobody", "anyone") and role not in OF_ALL_ALIKE:
                    continue
                got = told(ask(asked[role], name, verb, address))
                if not fits(got, wanted, role=role, name=name):
                    wrong.append(f"{verb} {name} by {role}: {got}, not {wanted}")
    assert not wrong, "\n".join(wrong)


def test_for_a_stranger_what_is_there_is_as_what_never_was(rows: Rows) -> None:
    """By status, by every word, and by the number of questions to the database."""
    wrong = []
    asked = clients(rows, *STRANGERS)
    within = {"slug": "larkmill", "club": "larkmill"}  # the outsider's own club
    plain = dict(addresses(rows.known))
    for role, own in [*((role, {}) for role in LOOKING), ("other club", within)]:
        there = dict(addresses(rows.known | own))
        nowhere = dict(addresses(rows.never | own))
        for name, verb in hidden():
            if there[name] == nowhere[name] or (own and there[name] == plain[name]):
                continue
            one, other = (seen(asked[role], name, verb, at[name]) for at in (there, nowhere))
            if one != other:
                wrong.append(f"{verb} {there[name]} by {role}: {one}, {other}")
    assert not wrong, "\n".join(wrong)


def test_nobody_reads_of_another_club_in_their_own_lists(rows: Rows) -> None:
    told_of = []
    asked = clients(rows, *STRANGERS)
    there = dict(addresses(rows.known))
    for name, row in by_name().items():
        for role in STRANGERS if row.reads == "signed in" else ():
            # What is packed is read in tests/web/test_own_data.py.
            words = b"".join(ask(asked[role], name, "get", there[name])).decode(errors="replace")
            if re.search("Otterbeck|June Open|Tolling|Alders|Caster|Hobday", words):
                told_of.append(f"{name} by {role}: {words[:2000]}")
    assert not told_of, "\n".join(told_of)


def hidden() -> Iterator[tuple[str, str]]:
    """Each address and verb that is not for anyone."""
    for name, row in by_name().items():
        for verb, whose in (("get", row.reads), (VERBS.get(name, "post"), row.writes)):
            if whose not in ("anyone", "nobody"):
                yield name, verb


def seen(client: Client, name: str, verb: str, address: str) -> tuple[int, str, int]:
    """Status, words without the address and without the form's own secret, and queries."""
    with CaptureQueriesContext(connection) as caught:
        answer = ask(client, name, verb, address)
    words = answer.headers.get("Location", "") + answer.content.decode()
    words = re.sub(r'name="csrfmiddlewaretoken" value="\w+"', "", words.replace(address, "here"))
    return answer.status_code, words, len(caught)


def test_each_kind_of_fact_is_taken_from_whom_the_table_says(rows: Rows) -> None:
    assert set(FACTS) == set(FactKind.values)
    match, wrong = Match.objects.get(pk=rows.known["match_id"]), []
    for role in ROLES[1:]:
        phone = Phone(rows.people[role], match)
        for kind, body in BODIES.items():
            more = {"supersedes": str(uuid4())} if kind == "scratch" else {}
            (outcome,) = phone.push(
                [phone.keep(kind, "" if kind == "signal" else "1", body, **more)]
            )
            status = outcome["problem"]["status"] if outcome["outcome"] == "refused" else 200
            nothing_to_settle = (kind, status) == ("ruling", 400)
            got = "may" if status == 200 or nothing_to_settle else str(status)
            if got != answers(FACTS[kind])[role]:
                wrong.append(f"{kind} by {role}: {got}, not {answers(FACTS[kind])[role]}")
    assert not wrong, "\n".join(wrong)


def test_the_table_in_the_book_for_developers_is_this_one() -> None:
    book = (Path(__file__).parents[2] / "web/docs/rights.md").read_text(encoding="utf-8")
    assert in_short() in book, "put what `python -m tests.rights` prints into web/docs/rights.md"
