"""Times as they are written in JSON."""

from __future__ import annotations

import datetime as dt


def time_write(when: dt.datetime) -> str:
    """UTC with three decimals and a Z, as a phone writes it; more decimals only if there are."""
    spec = "microseconds" if when.microsecond % 1000 else "milliseconds"
    return when.astimezone(dt.UTC).replace(tzinfo=None).isoformat(timespec=spec) + "Z"
