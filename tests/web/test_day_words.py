"""How near a day is, said with its date."""

from __future__ import annotations

import datetime as dt

import pytest
from django.utils.formats import date_format

from web.day_words import day_words
from web.templatetags.days import day_dated, day_soon, moment_said

THURSDAY = dt.date(2026, 11, 26)


@pytest.mark.parametrize(
    ("away", "said"),
    [
        (-2, "Tuesday 24 November 2026"),
        (-1, "yesterday, Wednesday 25 November 2026"),
        (0, "today, Thursday 26 November 2026"),
        (1, "tomorrow, Friday 27 November 2026"),
        (2, "this Saturday 28 November 2026"),
        (3, "this Sunday 29 November 2026"),
        (4, "in 4 days, Monday 30 November 2026"),
        (14, "in 14 days, Thursday 10 December 2026"),
        (15, "Friday 11 December 2026"),
    ],
)
def test_a_day_near_today_says_so_and_every_day_its_date(away: int, said: str) -> None:
    assert day_words(THURSDAY + dt.timedelta(days=away), today=THURSDAY) == said


def test_a_moment_says_how_near_its_day_is_where_the_water_is(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    night = dt.datetime(2026, 11, 26, 23, 30, tzinfo=dt.UTC)
    monkeypatch.setattr("django.utils.timezone.now", lambda: night)
    cut_off = dt.datetime(2026, 11, 27, 8, 0, tzinfo=dt.UTC)
    assert moment_said(cut_off, "Europe/London") == "tomorrow, 27 Nov 2026, 08:00"
    assert moment_said(cut_off, "Europe/Warsaw") == "today, 27 Nov 2026, 09:00"
    assert moment_said(cut_off - dt.timedelta(days=9), "Europe/London") == "18 Nov 2026, 08:00"
    assert day_soon(dt.date(2026, 11, 29)) == "in 3 days, 29 Nov 2026"


def test_a_page_that_is_kept_has_the_date_alone_and_what_a_script_needs() -> None:
    assert day_dated(THURSDAY, "Europe/London") == (
        f'<time datetime="{THURSDAY}" data-near="Europe/London">'
        f"{date_format(THURSDAY, 'l j F Y')}</time>"
    )
