"""A club's matches as a calendar that anybody can follow. No person is asked."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence
from typing import Final

from django.db.models import Count, Max
from django.utils import timezone
from django.utils.translation import gettext as _

from matches.models import AuditEntry, Club, Match
from matches.problems import Code, Problem
from matches.reckon.calendars import Event, calendar_text
from matches.times import zone_named

#: So far back a calendar goes: what was fished before is on the board.
DAYS_BACK: Final = 400
MATCHES_MOST: Final = 500
ASK_AGAIN_H: Final = 6
#: When what was never changed here says it last was: never later than the first change.
UNCHANGED: Final = dt.datetime(1970, 1, 1, tzinfo=dt.UTC)
#: What changes a match's entry in the calendar, whoever did it.
CHANGES: Final = (
    "match_add",
    "match_call_back",
    "match_call_off",
    "match_change",
    "match_end_shift",
    "venue_change",
    "admin.changed",
)


def season_calendar(club_slug: str, *, address: Callable[[Match], str]) -> str:
    """The club's matches from the last 400 days on, as iCalendar; those called off stay and
    say so. `address` gives each match's page. Raises Problem NOT_FOUND for a club without matches.

    Every change of the programme is one revision of all its matches: a trail row is kept for
    good, so the number never falls. Three queries.
    """
    club = Club.objects.filter(slug=club_slug, matches__isnull=False).first()
    if club is None:
        raise Problem(Code.NOT_FOUND, _("No club of that address has matches here."))
    since = timezone.localdate() - dt.timedelta(days=DAYS_BACK)
    matches = club.matches.filter(date__gte=since).select_related("venue").order_by("date", "pk")
    changed = club_changed(club, verbs=CHANGES)
    events = (
        match_event(match, club=club, address=address(match), changed=changed)
        for match in matches[:MATCHES_MOST]
    )
    return calendar_text(events, product="Season", name=club.name, ask_again_h=ASK_AGAIN_H)


def club_changed(club: Club, *, verbs: Sequence[str]) -> tuple[int, dt.datetime | None]:
    """How often one of these was done in a club, and when last."""
    found = AuditEntry.objects.filter(club=club, verb__in=verbs).aggregate(
        many=Count("pk"), last=Max("at")
    )
    return found["many"], found["last"]


def match_event(
    match: Match,
    *,
    club: Club,
    address: str,
    changed: tuple[int, dt.datetime | None],
    own: Sequence[str] | None = None,
) -> Event:
    """A match as an entry of a calendar; `own` are lines for its reader alone, in the entry of
    their own calendar, which has a UID of its own."""
    venue = match.venue
    revision, last = changed
    off = _("called off: %(why)s") % {"why": match.called_off} if match.called_off else ""
    return Event(
        uid=f"{club.slug}-match-{match.pk}{'' if own is None else '-own'}@drawbag",
        at=min(match.draw_at or match.start_at, match.start_at),
        end=match.end_at,
        summary=f"{match.name} ({_('called off')})" if off else match.name,
        note="\n".join([*filter(None, [off]), *(own or ()), *_times(match), club.name]),
        place=f"{venue.name}, {venue.water}" if venue.water else venue.name,
        address=address,
        stamp=last or UNCHANGED,
        revision=revision,
        cancelled=bool(off),
    )


def _times(match: Match) -> list[str]:
    """What happens when, in the venue's time."""
    zone = zone_named(match.venue.timezone)
    said = (
        (_("Draw"), match.draw_at),
        (_("Start"), match.start_at),
        (_("End"), match.end_at),
    )
    return [f"{what} {at.astimezone(zone):%H:%M}" for what, at in said if at is not None]
