"""What happens at the door is a line of the log each, with a number and never what was typed."""

from __future__ import annotations

import logging
import re
from typing import Any

import pytest
from django.conf import settings as site
from django.test import Client

from matches.models import Scope
from matches.writes.attempts import Door
from matches.writes.recovery import recovery_make
from tests.conftest import PASSWORD
from tests.web.test_tokens import bearer, made

pytestmark = pytest.mark.django_db
NEW = "sedge-by-the-weir"


def sign_in(name: str = "wilmot", password: str = PASSWORD) -> Client:
    client = Client()
    client.post("/sign-in/", {"username": name, "password": password})
    return client


def told(caplog: pytest.LogCaptureFixture) -> list[str]:
    lines = [one.getMessage() for one in caplog.records if one.name == "drawbag.door"]
    assert not re.search(f"wilmot|nobody-here|{PASSWORD}|{NEW}|127.0.0.1", " ".join(lines))
    caplog.clear()
    return lines


def test_it_is_told_at_the_level_the_site_has_by_itself() -> None:
    given: Any = site.LOGGING["loggers"]
    assert given["drawbag.door"] == {"level": "INFO"}
    assert logging.getLogger("drawbag.door").isEnabledFor(logging.INFO)


def test_going_in_and_out_and_failing_to_are_told(
    world: Any, caplog: pytest.LogCaptureFixture
) -> None:
    pk = world.member.pk
    client = sign_in()
    client.post("/sign-out/")
    client.post("/sign-out/")
    assert told(caplog) == [f"signed in: person {pk}", f"signed out: person {pk}"]
    sign_in(password="wrong")
    sign_in("nobody-here")
    assert told(caplog) == [f"sign-in failed: person {pk}", "sign-in failed: person not known"]
    for _n in range(Door.ACCOUNT.free):
        sign_in(password="wrong")
    assert told(caplog)[-1] == "told to wait 5 s (account): person not known"


def test_codes_and_changed_passwords_are_told(world: Any, caplog: pytest.LogCaptureFixture) -> None:
    pk = world.member.pk
    code = recovery_make(world.secretary, club=world.club, member_id=pk)
    typed = {"username": "wilmot", "password": NEW, "again": NEW}
    Client().post("/recover/", typed | {"code": "AAAA-BBBB-CCCC"})
    Client().post("/recover/", typed | {"code": code, "username": "nobody-here"})
    client = Client()
    client.post("/recover/", typed | {"code": code})
    assert told(caplog) == [
        f"recovery code made: person {pk}",
        f"recovery code refused: person {pk}",
        "recovery code refused: person not known",
        f"new password (recovery_use): person {pk}",
        f"signed in: person {pk}",
    ]
    client.post("/desk/account/", {"own": "wrong", "password": NEW, "again": NEW})
    client.post("/desk/account/", {"own": NEW, "password": PASSWORD, "again": PASSWORD})
    assert told(caplog) == [
        f"password asked once more, failed: person {pk}",
        f"new password (password_change): person {pk}",
    ]


def test_a_token_that_is_refused_is_told(world: Any, caplog: pytest.LogCaptureFixture) -> None:
    secret = made(world.member, Scope.MATCHES_READ)
    bearer("drawbag_none").get("/api/v1/me")
    bearer(secret).get(f"/api/v1/matches/{world.match.pk}/bulletins")
    assert told(caplog) == [
        "token refused: person not known",
        f"token refused, not its scope: person {world.member.pk}",
    ]
