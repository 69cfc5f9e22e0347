"""How near a day is, said with its date."""

from __future__ import annotations

import datetime as dt

import pytest

from web.day_words import day_words

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
