"""A cache that is away takes nothing else down."""

from __future__ import annotations

import logging
import socket
from collections.abc import Iterator
from typing import Any

import pytest
from django.core.cache import caches
from django.test import Client

from bait.reckon.mix import MIX_EXAMPLE
from web.running.shared_cache import PlainJson, SharedCache

BACKEND = "web.running.shared_cache.SharedCache"


@pytest.fixture
def away(settings: Any, monkeypatch: pytest.MonkeyPatch) -> Iterator[Any]:
    """The cache of the settings at a port where nobody listens; gives it."""
    monkeypatch.setattr(SharedCache, "away_until", 0.0)
    with socket.socket() as nobody:
        nobody.bind(("127.0.0.1", 0))
        port = nobody.getsockname()[1]
        settings.CACHES = {
            "default": {"BACKEND": BACKEND, "LOCATION": f"redis://127.0.0.1:{port}/0"}
        }
        yield caches["default"]


def test_calls_are_let_through_while_the_cache_is_away_and_the_log_says_so_once(
    away: Any, settings: Any, caplog: pytest.LogCaptureFixture
) -> None:
    rates = {"DEFAULT_THROTTLE_RATES": {"reckon": "1/min"}}
    settings.REST_FRAMEWORK = {**settings.REST_FRAMEWORK, **rates}
    client = Client(HTTP_HOST="localhost")
    with caplog.at_level(logging.WARNING, "web.running.shared_cache"):
        for _ in range(3):
            answer = client.post("/api/v1/reckon/mix", MIX_EXAMPLE, content_type="application/json")
            assert answer.status_code == 200
    assert len([r for r in caplog.records if "let through" in r.message]) == 1


def test_every_way_to_use_the_cache_is_answered_as_if_it_were_empty(away: Any) -> None:
    answers = [
        away.add("k", 1),
        away.get("k", "none"),
        away.set("k", 1),
        away.touch("k"),
        away.delete("k"),
        away.get_many(["k"]),
        away.has_key("k"),
        "k" in away,
        away.incr("k"),
        away.decr("k", 2),
        away.get_or_set("k", 7),
        away.set_many({"k": 1}),
        away.delete_many(["k"]),
        away.clear(),
    ]
    nothing = [True, "none", None, False, False, {}, False, False, 1, -2, 7, [], None, None]
    assert answers == nothing


def test_cache_that_came_back_is_asked_again_after_some_seconds(away: Any) -> None:
    away.get("k")
    assert SharedCache.away_until > 0
    SharedCache.away_until = 0.0
    assert away._reached(lambda: "asked", "not asked") == "asked"


def test_what_is_kept_is_json_and_nothing_that_could_be_run() -> None:
    plain = PlainJson()
    assert plain.loads(plain.dumps([1.5, "two"])) == [1.5, "two"]
    assert plain.dumps(3) == b"3"  # Redis itself counts on from it
    with pytest.raises(TypeError):
        plain.dumps(object())
