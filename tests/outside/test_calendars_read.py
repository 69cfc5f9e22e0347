"""Calendars read by another's reader of RFC 5545: the library icalendar, and the rules it names."""

from __future__ import annotations

import datetime as dt
import re
from typing import Any

import icalendar
import pytest
from django.test import Client

from matches.models import Match, Membership
from matches.writes.calendar_links import calendar_link_end, calendar_link_make
from matches.writes.matches import match_call_off
from tests.clients import signed_in
from tests.conftest import World
from tests.ordered import placed, planned

pytestmark = pytest.mark.django_db
HARD = "Überläufer; der große, große\\Wettkampf am Wehr, " + "ganz weit draußen " * 6


@pytest.fixture
def soon(world: World) -> World:
    """The match lies ahead, has hard words in its name, and the Alders' bait is ordered."""
    start = dt.datetime.combine(
        dt.datetime.now(dt.UTC).date() + dt.timedelta(days=30), dt.time(9), dt.UTC
    )
    Match.objects.update(
        name=HARD[:100], date=start.date(), start_at=start, end_at=start + dt.timedelta(hours=5)
    )
    world.match.refresh_from_db()
    planned(world, "Maud", caster="2")
    planned(world, "Wilmot", caster="2")
    placed(world)
    return world


def own(person: Any, **headers: str) -> Any:
    return Client(HTTP_HOST="localhost").get(
        f"/calendar/{calendar_link_make(person)}.ics", headers=headers
    )


def season() -> Any:
    return Client(HTTP_HOST="localhost").get("/board/otterbeck/season.ics")


def events(answer: Any) -> list[Any]:
    """Each event as the library reads it."""
    assert answer.status_code == 200
    return list(icalendar.Calendar.from_ical(answer.content).walk("VEVENT"))


@pytest.mark.parametrize("which", ["season", "own"])
def test_both_calendars_are_read_whole_by_another_reader(soon: World, which: str) -> None:
    answer = season() if which == "season" else own(soon.member)
    raw = answer.content
    # 3.1: lines end in CRLF and have at most 75 octets without it.
    assert b"\n" not in raw.replace(b"\r\n", b"")
    assert max(map(len, raw.split(b"\r\n"))) <= 75
    calendar = icalendar.Calendar.from_ical(raw)
    assert calendar["VERSION"] == "2.0" and calendar["PRODID"]  # 3.7.3, 3.7.4
    assert not calendar.errors
    found = events(answer)
    uids = [str(event["UID"]) for event in found]
    assert found and len(uids) == len(set(uids))
    for event in found:  # 3.6.1
        assert not event.errors
        assert event.decoded("DTSTAMP").utcoffset() == dt.timedelta(0)
        assert event["DTSTART"] and event["SUMMARY"]
    [match] = [event for event in found if "match" in event["UID"]]
    # 3.3.11: backslash, semicolon, comma and every letter come back as they were.
    assert str(match["SUMMARY"]) == HARD[:100]
    assert match.decoded("DTSTART") == soon.match.start_at
    assert match.decoded("DTEND") == soon.match.end_at
    assert str(match["STATUS"]) == "CONFIRMED"
    assert match.decoded("LAST-MODIFIED") and match["SEQUENCE"] >= 0


def test_ones_own_calendar_has_the_peg_and_the_order_and_names_nobody(soon: World) -> None:
    answer = own(soon.member)
    found = {str(event["UID"]).split("-")[0]: event for event in events(answer)}
    match = next(e for e in events(answer) if str(e["UID"]).endswith("-own@drawbag"))
    assert "Your peg: 4, section B" in match["DESCRIPTION"]
    assert "Order bait from Hobday's Hut by now" in [str(e["SUMMARY"]) for e in events(answer)]
    assert "order" in found
    text = answer.content.decode().replace("\r\n ", "")
    people = [entry.angler.name for entry in soon.match.entries.select_related("angler")]
    assert not [name for name in (*people, "Idris", "Tamsin") if name in text]
    # The rival's team has ordered nothing, and hears nothing of the Alders' order.
    assert not [event for event in events(own(soon.rival)) if "order" in event["UID"]]


def test_called_off_it_stays_cancelled_under_its_uid_and_is_newer(soon: World) -> None:
    """RFC 5545, 3.8.1.11 and 3.8.7.4; an order for a match that is off is no entry."""
    before = next(e for e in events(own(soon.member)) if "match" in e["UID"])
    match_call_off(soon.secretary, match=soon.match, reason="The river is over its banks.")
    [after] = events(own(soon.member))
    assert (after["UID"], str(after["STATUS"])) == (before["UID"], "CANCELLED")
    assert after["SEQUENCE"] > before["SEQUENCE"]
    assert after.decoded("DTSTAMP") >= before.decoded("DTSTAMP")


def test_it_is_private_and_answered_with_304_to_who_holds_it(soon: World) -> None:
    at = f"/calendar/{calendar_link_make(soon.member)}.ics"
    client = Client(HTTP_HOST="localhost")
    first = client.get(at)
    assert first["Cache-Control"] == "private, no-cache"
    assert first["Content-Type"] == "text/calendar; charset=utf-8"
    held = client.get(at, headers={"if-none-match": first["ETag"]})
    assert (held.status_code, held.content) == (304, b"")
    match_call_off(soon.secretary, match=soon.match, reason="Flood.")
    assert client.get(at, headers={"if-none-match": first["ETag"]}).status_code == 200


def test_an_address_is_long_and_dies_when_a_new_one_is_made_it_is_ended_or_its_person_leaves(
    soon: World,
) -> None:
    client = Client(HTTP_HOST="localhost")
    old, new = (calendar_link_make(soon.member) for _ in range(2))
    assert re.fullmatch(r"[A-Za-z0-9_-]{43}", new)  # 256 bits in base64url
    assert client.get(f"/calendar/{old}.ics").status_code == 404
    assert client.get(f"/calendar/{new}.ics").status_code == 200
    Membership.objects.filter(person=soon.member).update(ended_at=soon.match.start_at)
    assert not events(client.get(f"/calendar/{new}.ics"))
    soon.member.is_active = False
    soon.member.save()
    gone = client.get(f"/calendar/{new}.ics")
    never = client.get("/calendar/never.ics")
    assert gone.status_code == never.status_code == 404
    soon.member.is_active = True
    soon.member.save()
    calendar_link_end(soon.member)
    assert client.get(f"/calendar/{new}.ics").status_code == 404


def test_the_page_shows_the_address_once_and_ends_it(soon: World) -> None:
    client = signed_in(soon.member)
    page = client.post("/desk/calendar/", {"do": "make"}).content.decode()
    shown = re.search(r'id="secret">http://localhost:8000(\S+)</code>', page)
    assert shown is not None
    assert client.get(shown[1]).status_code == 200
    assert shown[1] not in client.get("/desk/calendar/").content.decode()
    client.post("/desk/calendar/", {"do": "end"})
    assert client.get(shown[1]).status_code == 404
