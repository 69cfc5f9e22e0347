"""The invented matches: one finished, one being weighed in today, one this coming Saturday."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from decimal import Decimal
from zoneinfo import ZoneInfo

from matches.models import (
    Angler,
    Club,
    Entry,
    Match,
    Membership,
    Peg,
    Person,
    Role,
    Section,
    SectionPeg,
    Venue,
)

LIMITS_SOURCE = "Rule 7 of the invented club, made up for this demo"
BOTH_LIMITS = (Decimal("20"), Decimal("2.5"))


def match_make(
    club: Club,
    *,
    name: str,
    slug: str,
    date: dt.date,
    venue: str,
    sections: Mapping[str, Sequence[int]],
    entrants: Sequence[str],
) -> Match:
    """A planned match from 10 to 3 with its sections and entries, weighed by Tamsin."""
    water = Venue.objects.get(club=club, name=venue)
    match = Match.objects.create(
        club=club,
        venue=water,
        name=name,
        slug=slug,
        date=date,
        draw_at=_local(date, 8, water),
        prepare_at=_local(date, 9, water),
        feed_at=_local(date, 9, water, minute=50),
        start_at=_local(date, 10, water),
        end_at=_local(date, 15, water),
        order_by=_local(date - dt.timedelta(days=2), 12, water),
        groundbait_limit_l=BOTH_LIMITS[0],
        bait_limit_l=BOTH_LIMITS[1],
        limits_source=LIMITS_SOURCE,
    )
    for position, (label, pegs) in enumerate(sections.items(), 1):
        section = Section.objects.create(match=match, label=label, position=position)
        for peg in Peg.objects.filter(venue=water, position__in=pegs):
            SectionPeg.objects.create(match=match, section=section, peg=peg)
    for angler_name in entrants:
        angler = Angler.objects.get(club=club, name=angler_name)
        Entry.objects.create(match=match, angler=angler, team=angler.team)
    tamsin = Person.objects.get(username="tamsin")
    Membership.objects.create(club=club, person=tamsin, role=Role.WEIGHER, match=match)
    return match


def _local(date: dt.date, hour: int, venue: Venue, *, minute: int = 0) -> dt.datetime:
    return dt.datetime.combine(date, dt.time(hour, minute), ZoneInfo(venue.timezone))
