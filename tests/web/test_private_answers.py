"""What an answer to somebody who is signed in says to the browser, and what is said to nobody."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from django.core.checks import run_checks
from django.core.exceptions import ImproperlyConfigured
from django.db import OperationalError
from django.test import Client

from matches.models import Scope
from tests.web.test_tokens import bearer, made
from web.environment import secret
from web.webhooks.sending import message_send

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize("page", ["/desk/", "/desk/leagues/", "/desk/phones/", "/api/v1/me", "/"])
def test_no_browser_keeps_what_somebody_was_told(world: Any, client: Client, page: str) -> None:
    where = page.replace("leagues/", f"clubs/{world.club.slug}/leagues/")
    client.force_login(world.member)
    answer = client.get(where)
    assert answer.status_code == 200
    assert "no-store" in answer["Cache-Control"]


def test_a_programs_token_is_answered_so_too(world: Any) -> None:
    secret = made(world.member, Scope.MATCHES_READ)
    answer = bearer(secret).get(f"/api/v1/matches/{world.match.pk}/entries")
    assert "no-store" in answer["Cache-Control"]


@pytest.mark.parametrize("page", ["/healthz", "/static/css/account.css", "/bank/"])
def test_what_is_the_same_for_all_may_be_kept(world: Any, client: Client, page: str) -> None:
    client.force_login(world.member)
    assert "no-store" not in client.get(page).get("Cache-Control", "")


@pytest.mark.parametrize(("page", "kind"), [("/desk/", "text/plain"), ("/api/v1/me", "problem")])
def test_a_session_that_cannot_be_read_is_a_database_away_and_no_error_of_ours(
    world: Any, client: Client, monkeypatch: pytest.MonkeyPatch, page: str, kind: str
) -> None:
    def away(_self: Any) -> Any:
        raise OperationalError("the connection is closed")

    client.force_login(world.member)
    monkeypatch.setattr("matches.sessions.SessionStore.load", away)
    answer = client.get(page)
    assert (answer.status_code, answer["Retry-After"]) == (503, "2")
    assert kind in answer["Content-Type"]


def test_signing_out_drops_what_the_browser_kept_and_nothing_of_the_phone(
    world: Any, client: Client
) -> None:
    client.force_login(world.member)
    assert client.post("/sign-out/")["Clear-Site-Data"] == '"cache"'


def test_json_of_the_api_is_a_file_and_no_page(world: Any, client: Client) -> None:
    client.force_login(world.member)
    for path in ("/api/v1/me", "/api/v1/matches/0"):
        assert client.get(path)["Content-Disposition"] == 'attachment; filename="api.json"'
    assert "Content-Disposition" not in client.get("/desk/")


def test_a_secret_may_lie_in_a_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    file = tmp_path / "secret"
    file.write_text("of a file\n")
    monkeypatch.delenv("SECRET_KEY", raising=False)
    monkeypatch.setenv("SECRET_KEY_FILE", str(file))
    assert secret("SECRET_KEY") == "of a file"
    monkeypatch.setenv("SECRET_KEY", "of the environment")
    with pytest.raises(ImproperlyConfigured, match="both"):
        secret("SECRET_KEY")
    monkeypatch.delenv("SECRET_KEY")
    file.unlink()
    with pytest.raises(ImproperlyConfigured, match="cannot be read"):
        secret("SECRET_KEY")


@pytest.mark.parametrize(
    ("host", "options", "broker", "cache", "told"),
    [
        ("", {}, "filesystem://localhost", "", []),
        ("/run/postgresql", {}, "redis://127.0.0.1/0", "redis://localhost/1", []),
        ("db.example", {"sslmode": "verify-full"}, "rediss://mq.example", "rediss://c.example", []),
        ("db.example", {}, "amqps://mq.example", "", ["DATABASE_URL"]),
        ("db.example", {"sslmode": "prefer"}, "amqp://mq.example", "", ["DATABASE_URL", "BROKER"]),
        ("", {}, "redis://localhost", "redis://c.example", ["CACHE_URL"]),
    ],
)
def test_a_line_to_another_machine_without_tls_is_warned_of(
    settings: Any,
    monkeypatch: pytest.MonkeyPatch,
    host: str,
    options: Any,
    broker: str,
    cache: str,
    told: list[str],
) -> None:
    for name, value in (("HOST", host), ("OPTIONS", options)):
        monkeypatch.setitem(settings.DATABASES["default"], name, value)
    settings.CELERY_BROKER_URL, settings.CACHE_URL = broker, cache
    found = [str(one.msg) for one in run_checks() if one.id == "drawbag.W002"]
    assert len(found) == len(told)
    assert all(word in line for word, line in zip(told, found, strict=True))


def test_messages_go_only_to_hosts_of_the_list_where_there_is_one(settings: Any) -> None:
    settings.WEBHOOK_HOSTS = frozenset({"told.example"})
    sent = message_send("https://other.example/", key=b"k" * 32, message_id="1", body=b"{}")
    assert (sent.taken, "other hosts only" in sent.answer) == (False, True)
