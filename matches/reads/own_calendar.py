"""A person's own matches for their calendar, under an address that only they know."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from typing import Final

from django.utils import timezone
from django.utils.translation import gettext as _

from matches.models import CalendarLink, Club, Entry, EntryStatus, Match, Person
from matches.problems import Code, Problem
from matches.reckon.calendars import Event

from .access import memberships_of
from .api_tokens import secret_digest
from .season_calendar import CHANGES, DAYS_BACK, MATCHES_MOST, club_changed, match_event

#: What changes an entry of one's own calendar beside what changes the club's.
OWN_CHANGES: Final = (*CHANGES, "draw_hold", "draw_tell", "entry_access_set", "entry_status_set")


def calendar_link_of(person: Person) -> CalendarLink | None:
    """The person's own, if there is one; what its address ends in is kept nowhere."""
    return CalendarLink.objects.filter(person_id=person.pk).first()


def person_of_calendar(secret: str) -> Person:
    """Whose calendar an address is. Raises Problem NOT_FOUND for one that never was, that was
    ended, or whose person may not sign in any more, all alike."""
    link = (
        CalendarLink.objects.filter(digest=secret_digest(secret), person__is_active=True)
        .select_related("person")
        .first()
    )
    if link is None:
        raise Problem(Code.NOT_FOUND, _("This is no calendar, or no longer. Make a new address."))
    return link.person


def own_entries(person: Person) -> list[Entry]:
    """What the person fishes, or stands by for, in the clubs they are in, from 400 days back on."""
    since = timezone.localdate() - dt.timedelta(days=DAYS_BACK)
    clubs = memberships_of(person).values("club_id")
    found = (
        Entry.objects.filter(angler__person_id=person.pk, match__date__gte=since)
        .filter(match__club_id__in=clubs)
        .exclude(status=EntryStatus.WITHDRAWN)
        .select_related("match__club", "match__venue", "team")
        .select_related("drawn_peg__section_peg__peg", "drawn_peg__section_peg__section")
        .order_by("match__date", "pk")
    )
    return list(found[:MATCHES_MOST])


def own_match_events(entries: list[Entry], *, address: Callable[[Match], str]) -> list[Event]:
    """An entry of the calendar each, with the peg once it is drawn, and with nobody's name."""
    changed: dict[int, tuple[int, dt.datetime | None]] = {}
    events = []
    for entry in entries:
        match, club = entry.match, entry.match.club
        if club.pk not in changed:
            changed[club.pk] = _changed(club)
        events.append(
            match_event(
                match,
                club=club,
                address=address(match),
                changed=changed[club.pk],
                own=_own_lines(entry),
            )
        )
    return events


def _changed(club: Club) -> tuple[int, dt.datetime | None]:
    return club_changed(club, verbs=OWN_CHANGES)


def _own_lines(entry: Entry) -> list[str]:
    drawn = getattr(entry, "drawn_peg", None)
    if drawn is not None:
        at = drawn.section_peg
        named = {"peg": at.peg.number, "section": at.section.label}
        return [_("Your peg: %(peg)s, section %(section)s") % named]
    if entry.status == EntryStatus.RESERVE:
        return [_("You are a reserve.")]
    if entry.status == EntryStatus.WAITING:
        return [_("You are on the waiting list.")]
    return []
