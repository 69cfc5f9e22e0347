"""A match still planned, for the tests of settings, entries and fees."""

from __future__ import annotations

import datetime as dt
from typing import Any

from matches.models import Angler, DrawnPeg, Entry, Match, MatchState
from matches.writes.match_content import MatchTerms, terms_parse, terms_typed


def undrawn(world: Any, **fields: Any) -> Match:
    """The world's match before its draw, in a week."""
    DrawnPeg.objects.filter(match=world.match).delete()
    match = world.match
    start = dt.datetime.now(dt.UTC).replace(hour=9, minute=0, second=0, microsecond=0)
    start += dt.timedelta(days=7)
    match.date, match.start_at, match.end_at = start.date(), start, start + dt.timedelta(hours=5)
    match.state = MatchState.PLANNED
    for key, value in fields.items():
        setattr(match, key, value)
    match.save()
    return match


def typed(match: Match, **changes: str) -> dict[str, str]:
    return {**terms_typed(match), **changes}


def terms(world: Any, match: Match, **changes: str) -> MatchTerms:
    return terms_parse(typed(match, **changes), venues=world.club.venues.all())


def anglers(world: Any, *names: str, team: Any = None) -> list[Angler]:
    return [Angler.objects.create(club=world.club, name=name, team=team) for name in names]


def status_of(match: Match) -> dict[str, str]:
    rows = Entry.objects.filter(match=match).values_list("angler__name", "status")
    return {name.split()[0]: status for name, status in rows}
