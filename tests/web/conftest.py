"""Time that stands still until a test lets it go on."""

from __future__ import annotations

import datetime as dt

import pytest
from django.utils import timezone


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
