"""Times as they are written in JSON, and zones."""

from __future__ import annotations

import datetime as dt
import zoneinfo
from calendar import SATURDAY


def time_write(when: dt.datetime) -> str:
    """UTC with three decimals and a Z, as a phone writes it; more decimals only if there are."""
    spec = "microseconds" if when.microsecond % 1000 else "milliseconds"
    return when.astimezone(dt.UTC).replace(tzinfo=None).isoformat(timespec=spec) + "Z"


def zone_named(name: str) -> zoneinfo.ZoneInfo:
    """The zone of a venue; UTC where there is none of that name."""
    try:
        return zoneinfo.ZoneInfo(name)
    except (zoneinfo.ZoneInfoNotFoundError, ValueError):
        return zoneinfo.ZoneInfo("UTC")


def coming_saturday(today: dt.date) -> dt.date:
    """The next Saturday after `today`; on a Saturday the one in a week."""
    return today + dt.timedelta(days=(SATURDAY - today.weekday() - 1) % 7 + 1)
