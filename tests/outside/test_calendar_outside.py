"""Calendars against the document that defines them: RFC 5545."""

from __future__ import annotations

import datetime as dt

from matches.reckon.calendars import Event, calendar_text

AT = dt.datetime(1997, 7, 14, 17, tzinfo=dt.UTC)
EVENT = Event(uid="19970901T130000Z-123401@example.com", at=AT, summary="", note="", stamp=AT)


def lines(event: Event) -> list[str]:
    """As whoever reads it unfolds it: a line end and one space is nothing (3.1)."""
    return calendar_text([event], product="Test").replace("\r\n ", "").split("\r\n")


def test_the_example_text_of_three_lines_is_written_as_one() -> None:
    """RFC 5545, 3.3.11, Example."""
    words = "Project XYZ Final Review\nConference Room - 3B\nCome Prepared."
    event = Event(EVENT.uid, AT, "", words, AT)
    said = "DESCRIPTION:Project XYZ Final Review\\nConference Room - 3B\\nCome Prepared."
    assert said in lines(event)


def test_the_example_moment_is_written_in_utc() -> None:
    """RFC 5545, 3.6.1, first example: DTSTART and DTEND with a Z; here from another zone."""
    zone = dt.timezone(dt.timedelta(hours=-5))
    event = Event(EVENT.uid, AT.astimezone(zone), "", "", AT, end=AT + dt.timedelta(hours=11))
    assert "DTSTART:19970714T170000Z" in lines(event)
    assert "DTEND:19970715T040000Z" in lines(event)


def test_a_day_is_a_date_without_a_time() -> None:
    """RFC 5545, 3.6.1, the example of an anniversary: DTSTART;VALUE=DATE:19971102."""
    event = Event(EVENT.uid, dt.date(1997, 11, 2), "", "", AT)
    assert "DTSTART;VALUE=DATE:19971102" in lines(event)


def test_every_line_of_any_length_is_cut_at_75_octets_and_comes_back_whole() -> None:
    """RFC 5545, 3.1: no more than 75 octets a line, without the line end."""
    for many in range(60, 170):
        event = Event(EVENT.uid, AT, "ü" * many, "", AT)
        raw = calendar_text([event], product="Test").encode()
        assert max(len(line) for line in raw.split(b"\r\n")) <= 75
        assert "SUMMARY:" + "ü" * many in lines(event)
