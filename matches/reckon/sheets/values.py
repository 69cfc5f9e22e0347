"""Values as people write them: yes and no, days, whole numbers, names."""

from __future__ import annotations

import datetime as dt
import re
from typing import Final

YES: Final = ("yes", "y", "true", "on", "1", "x", "✓", "✔")
NO: Final = ("no", "n", "false", "off", "0", "-", "–")
MONTHS: Final = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_ISO: Final = re.compile(r"([0-9]{4})[-/.]([0-9]{1,2})[-/.]([0-9]{1,2})(?:[T ]00:00(?::00)?)?")
_DAY_FIRST: Final = re.compile(r"([0-9]{1,2})[-/. ]+([0-9]{1,2})[-/. ]+([0-9]{4}|[0-9]{2})")
_NAMED: Final = re.compile(
    r"(?:[a-z]+,? )?([0-9]{1,2})(?:st|nd|rd|th)?[-/. ]+"
    r"([a-z]{3})[a-z]*\.?[-/., ]+([0-9]{4}|[0-9]{2})",
    re.IGNORECASE,
)


def flag_read(text: str) -> bool | None:
    """Yes or no, a tick or a cross in a box (both are yes); None for anything else."""
    plain = text.strip().casefold()
    return True if plain in YES else False if plain in NO else None


def day_read(text: str) -> dt.date | None:
    """A day written 2024-06-08, 8/6/2024, 8.6.24 or 8 June 2024: the day before the month, as in
    Britain; the year first or last. Two digits are a year of 2000 to 2068 or of 1969 to 1999, as
    POSIX has it (strptime, %y). None for anything else."""
    plain = " ".join(text.split())
    if found := _ISO.fullmatch(plain):
        return _day(found[1], found[2], found[3])
    if found := _DAY_FIRST.fullmatch(plain):
        return _day(found[3], found[2], found[1])
    found = _NAMED.fullmatch(plain)
    if found and found[2].casefold() in MONTHS:
        return _day(found[3], str(MONTHS.index(found[2].casefold()) + 1), found[1])
    return None


def _day(year: str, month: str, day: str) -> dt.date | None:
    full = int(year) if len(year) == 4 else int(year) + (2000 if int(year) < 69 else 1900)
    try:
        return dt.date(full, int(month), int(day))
    except ValueError:
        return None


def whole_read(text: str, *, least: int, most: int) -> int | None:
    """A whole number in that range, also written 12.0, 12,0 or 1st; None for anything else."""
    found = re.fullmatch(r"([0-9]{1,9})(?:[.,]0+|st|nd|rd|th|=)?", text.strip().casefold())
    value = int(found[1]) if found and found[1].isascii() else -1
    return value if found and least <= value <= most else None


def point_put(text: str) -> str:
    """A number whose decimals a comma parts, with a point; thousands are not parted here."""
    return text.replace(",", ".", 1) if "." not in text else text


def name_plain(text: str) -> str:
    """A name with single blanks."""
    return " ".join(text.split())
