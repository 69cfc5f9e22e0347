"""Time that stands still until a test lets it go on, and the demo's club."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from typing import Any

import pytest
from django.db import transaction
from django.utils import timezone

from web.demo import Demo, demo_load


class Clock:
    def __init__(self) -> None:
        self.at = dt.datetime(2026, 6, 20, 8, tzinfo=dt.UTC)

    def on(self, seconds: float) -> None:
        self.at += dt.timedelta(seconds=seconds)


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> Clock:
    """What the site takes for now."""
    made = Clock()
    monkeypatch.setattr(timezone, "now", lambda: made.at)
    return made


@pytest.fixture(scope="module")
def demo_of_the_file(django_db_setup: None, django_db_blocker: Any) -> Iterator[Demo]:
    """Loaded once for all tests of a file, for it takes seconds."""
    with django_db_blocker.unblock(), transaction.atomic():
        demo = demo_load(today=dt.date(2026, 6, 17))
        with django_db_blocker.block():
            yield demo
        transaction.set_rollback(True)


@pytest.fixture
def demo(demo_of_the_file: Demo, db: None) -> Demo:
    """As of Wednesday 17 June 2026. What a test writes is taken back after it."""
    return demo_of_the_file
