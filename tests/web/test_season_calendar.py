"""The season as a calendar feed: read back as RFC 5545 says, stable, and open to everybody."""

from __future__ import annotations

import datetime as dt
import zoneinfo
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from matches.models import Match
from matches.writes.matches import match_call_back, match_call_off

pytestmark = pytest.mark.django_db

AT = "/board/otterbeck/season.ics"


@pytest.fixture(autouse=True)
def soon(world: Any) -> None:
    """The match lies ahead, whatever day it is."""
    start = dt.datetime.combine(
        dt.datetime.now(dt.UTC).date() + dt.timedelta(days=30), dt.time(9), dt.UTC
    )
    world.match.date, world.match.start_at = start.date(), start
    world.match.end_at = start + dt.timedelta(hours=5)
    world.match.save()


def feed(**headers: Any) -> Any:
    return Client(HTTP_HOST="localhost", **headers).get(AT)


def lines() -> list[str]:
    return feed().content.decode().replace("\r\n ", "").split("\r\n")


def event() -> dict[str, str]:
    """The only event: what stands before the first colon, and after it."""
    found = lines()
    inside = found[found.index("BEGIN:VEVENT") + 1 : found.index("END:VEVENT")]
    return dict(line.split(":", 1) for line in inside)


def test_a_match_is_an_event_with_its_times_place_and_page(world: Any) -> None:
    world.match.draw_at = world.match.start_at - dt.timedelta(hours=2)
    world.match.save()
    told = event()
    day = f"{world.match.start_at:%Y%m%d}"
    assert (told["DTSTART"], told["DTEND"]) == (f"{day}T070000Z", f"{day}T140000Z")
    assert told["SUMMARY"] == "June Open"
    assert told["LOCATION"] == "Tolling Meadow\\, Wend"
    assert told["URL"] == "http://localhost/board/otterbeck/june-open/"
    assert told["STATUS"] == "CONFIRMED"
    local = world.match.draw_at.astimezone(zoneinfo.ZoneInfo("Europe/London"))
    assert f"Draw {local:%H:%M}\\nStart " in told["DESCRIPTION"]


def test_a_match_called_off_stays_cancelled_under_the_same_uid_with_a_higher_revision(
    world: Any,
) -> None:
    first = event()
    match_call_off(world.secretary, match=world.match, reason="The river is over its banks.")
    off = event()
    assert (off["UID"], off["STATUS"]) == (first["UID"], "CANCELLED")
    assert int(off["SEQUENCE"]) > int(first["SEQUENCE"])
    assert off["DESCRIPTION"].startswith("called off: The river is over its banks.")
    match_call_back(world.secretary, match=world.match)
    again = event()
    assert again["STATUS"] == "CONFIRMED"
    assert int(again["SEQUENCE"]) > int(off["SEQUENCE"])


def test_every_line_is_folded_at_75_octets_and_ends_as_the_standard_says(world: Any) -> None:
    """RFC 5545, 3.1: CRLF line ends, at most 75 octets without them, and no cut in a character."""
    Match.objects.update(name="Überläufer; der große Wettkampf am " + "Wehr, " * 12)
    raw = feed().content
    assert all(len(line) <= 75 for line in raw.split(b"\r\n"))
    assert b"\n" not in raw.replace(b"\r\n", b"")
    assert "Überläufer\\; der große Wettkampf am Wehr\\, " in event()["SUMMARY"]


def test_the_required_properties_are_there_once(world: Any) -> None:
    """RFC 5545, 3.6: PRODID and VERSION once; 3.6.1: DTSTAMP and UID once in an event, and DTSTART
    where the calendar has no METHOD."""
    found = lines()
    for name in ("PRODID", "VERSION", "UID", "DTSTAMP", "DTSTART"):
        assert sum(line.startswith(f"{name}:") for line in found) == 1
    assert found[0] == "BEGIN:VCALENDAR" and found[-2:] == ["END:VCALENDAR", ""]


def test_a_feed_that_did_not_change_is_answered_with_304(world: Any) -> None:
    first = feed()
    assert first["Content-Type"] == "text/calendar; charset=utf-8"
    assert first["Cache-Control"] == "public, max-age=600"
    assert feed(HTTP_IF_NONE_MATCH=first["ETag"]).status_code == 304
    match_call_off(world.secretary, match=world.match, reason="Flood.")
    assert feed(HTTP_IF_NONE_MATCH=first["ETag"]).status_code == 200


def test_nobody_is_named_and_another_club_has_its_own(world: Any) -> None:
    text = feed().content.decode()
    for name in ("Maud", "Idris", "Tamsin"):
        assert name not in text
    assert Client().get("/board/larkmill/season.ics").status_code == 404
    assert Client().get("/board/nobody/season.ics").status_code == 404


def test_a_season_of_sixty_matches_takes_three_queries(world: Any) -> None:
    for n in range(60):
        world.match.pk, world.match.slug = None, f"m-{n}"
        world.match.save()
    with CaptureQueriesContext(connection) as caught:
        text = feed().content.decode()
    assert (len(caught), text.count("BEGIN:VEVENT")) == (3, 61)
