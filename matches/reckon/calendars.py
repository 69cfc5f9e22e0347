"""Calendars as text: iCalendar, RFC 5545, for a file or for a feed that a phone follows."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Final

LINE_OCTETS: Final = 75
_CONTROLS: Final = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u2028\u2029]")


@dataclass(frozen=True, slots=True)
class Event:
    """One entry of a calendar: a moment, or a whole day; times with their zone.

    `uid` is the same whenever the entry is written, `stamp` when what it says last changed,
    `revision` how often it did. `cancelled`: it will not take place, and stays to say so.
    """

    uid: str
    at: dt.datetime | dt.date
    summary: str
    note: str
    stamp: dt.datetime
    end: dt.datetime | None = None
    place: str = ""
    address: str = ""
    revision: int | None = None
    cancelled: bool = False


def calendar_text(
    events: Iterable[Event], *, product: str, name: str = "", ask_again_h: int | None = None
) -> str:
    """The whole calendar. `product` says what wrote it; `name` and after how many hours a feed is
    to be asked again are of RFC 7986, 5.1 and 5.7."""
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", f"PRODID:-//Drawbag//{product}//EN"]
    lines += ["CALSCALE:GREGORIAN"]
    lines += [f"NAME:{_escaped(name)}"] if name else []
    lines += [f"REFRESH-INTERVAL;VALUE=DURATION:PT{ask_again_h}H"] if ask_again_h else []
    for event in events:
        lines += _event_lines(event)
    return "".join(f"{_folded(line)}\r\n" for line in [*lines, "END:VCALENDAR"])


def _event_lines(event: Event) -> Iterator[str]:
    yield "BEGIN:VEVENT"
    yield f"UID:{_escaped(event.uid)}"
    yield f"DTSTAMP:{_utc(event.stamp)}"
    yield (
        f"DTSTART:{_utc(event.at)}"
        if isinstance(event.at, dt.datetime)
        else f"DTSTART;VALUE=DATE:{event.at:%Y%m%d}"
    )
    if event.end is not None:
        yield f"DTEND:{_utc(event.end)}"
    yield f"SUMMARY:{_escaped(event.summary)}"
    yield f"DESCRIPTION:{_escaped(event.note)}"
    if event.place:
        yield f"LOCATION:{_escaped(event.place)}"
    if event.address:
        yield f"URL:{event.address}"
    if event.revision is not None:
        yield f"SEQUENCE:{event.revision}"
        yield f"LAST-MODIFIED:{_utc(event.stamp)}"
        yield "STATUS:CANCELLED" if event.cancelled else "STATUS:CONFIRMED"
    yield "END:VEVENT"


def _utc(moment: dt.datetime) -> str:
    return f"{moment.astimezone(dt.UTC):%Y%m%dT%H%M%SZ}"


def _escaped(text: str) -> str:
    """A text value (RFC 5545, 3.3.11): backslash, semicolon, comma and line ends.

    What controls a terminal, or ends a line for some readers only, has no place in one.
    """
    for raw, safe in (("\\", "\\\\"), (";", "\\;"), (",", "\\,"), ("\r\n", "\n"), ("\r", "\n")):
        text = text.replace(raw, safe)
    return _CONTROLS.sub("", text).replace("\n", "\\n")


def _folded(line: str) -> str:
    """At most 75 octets a line (RFC 5545, 3.1), never cut within a character."""
    pieces, piece, octets = [], "", 0
    for letter in line:
        size = len(letter.encode())
        if octets + size > LINE_OCTETS:
            pieces.append(piece)
            piece, octets = " ", 1
        piece, octets = piece + letter, octets + size
    return "\r\n".join([*pieces, piece])
