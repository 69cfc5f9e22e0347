"""The seasons of a river's year, parted where its close season parts it."""

from __future__ import annotations

import datetime as dt
from typing import Final, Literal

Season = Literal["spring", "summer", "autumn", "winter"]
#: The month and day each begins. Rivers of England and Wales are closed for coarse fish from 15
#: March to 15 June, both days among them (national byelaws): spring here. The others begin with a
#: month (common practice, no source).
_BEGINS: Final[tuple[tuple[tuple[int, int], Season], ...]] = (
    ((3, 15), "spring"),
    ((6, 16), "summer"),
    ((9, 1), "autumn"),
    ((12, 1), "winter"),
)
SEASONS: Final[tuple[Season, ...]] = tuple(season for _begins, season in _BEGINS)


def season_of(day: dt.date) -> Season:
    """The season that a day lies in; winter runs over the turn of the year."""
    begun = [season for begins, season in _BEGINS if (day.month, day.day) >= begins]
    return begun[-1] if begun else "winter"
