"""What clubs ask of the site on a match Saturday and the evening before: assumed, all in one place.

Nothing here is measured. Each number says what it stands for; change it and run again.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

MINUTES: Final = 24 * 60
Rates = NDArray[np.float64]


@dataclass(frozen=True)
class Club:
    """One club's Saturday: one match, fished 10:00 to 15:00, weighed in until 16:30."""

    anglers: int = 30
    logging: int = 15  # phones that note feed and fish
    notes: int = 60  # facts each of them makes in a day
    silent: float = 0.4  # of these phones have no signal until they walk off
    notes_a_push: int = 6  # while there is signal
    weighers: int = 2
    pull_minutes: int = 10  # an open app asks for the others' facts this often
    readers: int = 60  # people who look at the board
    refreshes: int = 5  # each, until the result is out
    pages: int = 40  # desk pages opened by captain and secretary
    orders: int = 2  # teams whose order is worked out the evening before
    matches_a_year: int = 30


#: An order is asked for until six: this part of a day's orders in each of the last hours.
ORDER_HOURS: Final = {14: 0.05, 15: 0.1, 16: 0.25, 17: 0.6}
CUT_OFF: Final = 18
#: Seconds of a worker for an order of many packs and shops, where the invented club's is quick.
HARD_ORDER: Final = 5.0


def between(begin: float, end: float, total: float) -> Rates:
    """`total` shared evenly over the minutes from `begin` to `end` (hours of the day)."""
    rates = np.zeros(MINUTES)
    rates[round(begin * 60) : round(end * 60)] = total / ((end - begin) * 60)
    return rates


def peaked(begin: float, top: float, end: float, total: float) -> Rates:
    """`total` as a triangle: nothing at `begin` and `end`, most at `top`."""
    hours = np.arange(MINUTES) / 60
    shape = np.clip(np.minimum((hours - begin) / (top - begin), (end - hours) / (end - top)), 0, 1)
    rates: Rates = shape * total / shape.sum()
    return rates


def asked(clubs: int, club: Club) -> dict[str, Rates]:
    """Requests a minute of the whole Saturday, by kind."""
    heard = club.logging * (1 - club.silent)
    silent = club.logging * club.silent
    pulls = 60 / club.pull_minutes
    one = {
        "push of 6 notes": between(10, 15, heard * club.notes / club.notes_a_push),
        "push of 60 notes": peaked(15, 15.25, 16.5, silent),
        "push of a weigh-in": peaked(15, 15.5, 16.5, club.anglers),
        "pull": between(10, 15, heard * 5 * pulls)
        + between(15, 16.5, (club.logging + club.weighers) * 1.5 * pulls),
        "board page": peaked(15, 16.25, 18, club.readers * club.refreshes),
        "desk page": between(7, 18, club.pages),
    }
    return {kind: rates * clubs for kind, rates in one.items()}


def orders_asked(clubs: int, club: Club) -> Rates:
    """Orders a minute over the day before."""
    rates = np.zeros(MINUTES)
    for hour, part in ORDER_HOURS.items():
        rates += between(hour, hour + 1, part * club.orders * clubs)
    return rates


def facts_a_day(clubs: int, club: Club) -> int:
    return clubs * (club.logging * club.notes + club.anglers)
