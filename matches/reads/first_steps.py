"""A new club's way to its first published result, worked out from what the club has."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from django.db.models import Count, Q

from matches.models import (
    FISHING,
    Angler,
    Bulletin,
    Club,
    Entry,
    EntryStatus,
    Match,
    MatchState,
    Peg,
    SectionPeg,
    Venue,
    WeighIn,
)

#: Nobody wins against nobody.
ANGLERS_LEAST = 2


class Step(StrEnum):
    """What is done one after the other, in this order."""

    PEOPLE = "people"
    VENUE = "venue"
    MATCH = "match"
    ENTER = "enter"
    SECTIONS = "sections"
    DRAW = "draw"
    WEIGH = "weigh"
    PUBLISH = "publish"


@dataclass(frozen=True, slots=True)
class Begun:
    """What a club has: anglers in its book, pegs at its best-pegged venue, and of its newest match
    that is not called off (`match` None: there is none) who is entered, pegs in sections, whether
    it is drawn, and weights in and still to come."""

    anglers: int = 0
    pegs: int = 0
    match: Match | None = None
    entered: int = 0
    places: int = 0
    drawn: bool = False
    weighed: int = 0
    to_weigh: int = 0
    venue: Venue | None = None


@dataclass(frozen=True, slots=True)
class FirstSteps:
    """Each step with whether it is done; `next` is the first that is not."""

    club: Club
    begun: Begun
    done: dict[Step, bool]

    @property
    def next(self) -> Step:
        return next((step for step in Step if not self.done[step]), Step.PUBLISH)


def steps_done(begun: Begun) -> dict[Step, bool]:
    """Which steps are behind a club that has so much. Whether it published is asked before."""
    return {
        Step.PEOPLE: begun.anglers >= ANGLERS_LEAST,
        Step.VENUE: begun.pegs >= ANGLERS_LEAST,
        Step.MATCH: begun.match is not None,
        Step.ENTER: begun.entered >= ANGLERS_LEAST,
        Step.SECTIONS: begun.places >= max(begun.entered, 1),
        Step.DRAW: begun.drawn,
        Step.WEIGH: begun.weighed > 0 and begun.to_weigh == 0,
        Step.PUBLISH: False,
    }


def first_steps(clubs: list[Club]) -> dict[int, FirstSteps]:
    """The way of each of these clubs that has published nothing yet, by the club's key; the person
    runs them. One query for those that have, a few for each that has not."""
    keys = [club.pk for club in clubs]
    told = Bulletin.objects.filter(match__club__in=keys).values_list("match__club", flat=True)
    known = set(told.distinct()) if keys else set()
    return {club.pk: _steps(club) for club in clubs if club.pk not in known}


def _steps(club: Club) -> FirstSteps:
    begun = _begun(club)
    return FirstSteps(club, begun, steps_done(begun))


def _begun(club: Club) -> Begun:
    anglers = Angler.objects.filter(club=club).count()
    fished = Count("pegs", filter=Q(pegs__retired=False))
    venue = Venue.objects.filter(club=club).annotate(n=fished).order_by("-n", "pk").first()
    pegs = Peg.objects.filter(venue=venue, retired=False).count() if venue else 0
    match = Match.objects.filter(club=club, called_off="").order_by("-pk").first()
    if match is None:
        return Begun(anglers=anglers, pegs=pegs, venue=venue)
    entries = Entry.objects.filter(match=match)
    weighed = WeighIn.objects.filter(match=match, stands=True).values("section_peg").distinct()
    drawn = entries.filter(status=EntryStatus.ENTERED, drawn_peg__isnull=False)
    return Begun(
        anglers=anglers,
        pegs=pegs,
        venue=venue,
        match=match,
        entered=entries.filter(status__in=FISHING).count(),
        places=SectionPeg.objects.filter(match=match).count(),
        drawn=match.state != MatchState.PLANNED,
        weighed=weighed.count(),
        to_weigh=drawn.exclude(drawn_peg__section_peg__in=weighed).count(),
    )
