"""What a person finds on the desk: their clubs, the matches, and what each waits for."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from django.db.models import Count, Exists, F, IntegerField, OuterRef, QuerySet, Subquery

from matches.models import (
    FISHING,
    Bulletin,
    Club,
    Disagreement,
    Draw,
    Entry,
    EntryStatus,
    Match,
    MatchState,
    Membership,
    Person,
    Role,
    SectionPeg,
    Team,
    WeighIn,
)

from .access import DESK_ROLES, clubs_of, matches_of, memberships_of

MATCHES_SHOWN = 60


@dataclass(frozen=True, slots=True)
class DeskMatch:
    """One match and what the person may go on to. Counts are those of the moment."""

    match: Match
    runs: bool
    weighs: bool
    fishes: bool
    teams: tuple[Team, ...]
    entered: int
    to_weigh: int
    disagreements: int
    bulletins: int
    committed: bool
    cut: bool

    @property
    def weighed(self) -> int:
        """How many of the entered need no weighing any more."""
        return self.entered - self.to_weigh

    @property
    def next_step(self) -> str:
        """What the secretary's match waits for: a word the page turns into a sentence."""
        if self.match.called_off:
            return "called_off"
        if self.disagreements:
            return "settle"
        if self.match.state == MatchState.PLANNED:
            return self._before_the_draw
        if self.match.state in (MatchState.DRAWN, MatchState.WEIGHING):
            return "weigh" if self.to_weigh else "publish"
        return "confirm" if self.match.state == MatchState.PROVISIONAL else "done"

    @property
    def _before_the_draw(self) -> str:
        if self.committed:
            return "hold"
        if not self.entered:
            return "enter"
        return "commit" if self.cut else "cut"


@dataclass(frozen=True, slots=True)
class DeskClub:
    """A club with the person's roles in it; `runs`: as one who runs its desk."""

    club: Club
    roles: tuple[str, ...]
    runs: bool
    coming: tuple[DeskMatch, ...]
    past: tuple[DeskMatch, ...]


def desk_clubs(person: Person, *, today: dt.date) -> list[DeskClub]:
    """The person's clubs by name; matches from `today` on soonest first, past ones latest first.

    Four queries, however many clubs and matches.
    """
    held: defaultdict[int, list[Membership]] = defaultdict(list)
    for membership in memberships_of(person).select_related("team").order_by("pk"):
        held[membership.club_id].append(membership)
    clubs = list(clubs_of(person))
    own_teams: defaultdict[int, list[Team]] = defaultdict(list)
    for team in Team.objects.filter(club__in=clubs, visitors=False):
        own_teams[team.club_id].append(team)
    matches: defaultdict[int, list[DeskMatch]] = defaultdict(list)
    for row in _counted(matches_of(person), person)[:MATCHES_SHOWN]:
        mine = held[row.club_id]
        matches[row.club_id].append(_desk_match(row, mine, own_teams[row.club_id]))
    return [
        DeskClub(
            club=club,
            roles=tuple(dict.fromkeys(m.get_role_display() for m in held[club.pk])),
            runs=any(m.role in DESK_ROLES for m in held[club.pk]),
            coming=tuple(
                sorted(
                    (m for m in matches[club.pk] if _is_open(m.match, today)),
                    key=lambda m: (m.match.date, m.match.pk),
                )
            ),
            past=tuple(m for m in matches[club.pk] if not _is_open(m.match, today)),
        )
        for club in clubs
    ]


def _is_open(match: Match, today: dt.date) -> bool:
    return match.date >= today or match.state in (MatchState.WEIGHING, MatchState.PROVISIONAL)


def _desk_match(row: Match, held: Iterable[Membership], teams: Iterable[Team]) -> DeskMatch:
    runs = any(m.role in DESK_ROLES for m in held)
    captained = [m.team for m in held if m.role == Role.CAPTAIN and m.team is not None]
    # What `_counted` annotates is not in the model's type.
    return DeskMatch(
        match=row,
        runs=runs,
        weighs=runs or any(m.match_id == row.pk for m in held),
        fishes=row.fishes,  # type: ignore[attr-defined]
        teams=tuple(teams if runs else captained),
        entered=row.entered or 0,  # type: ignore[attr-defined]
        to_weigh=row.to_weigh or 0,  # type: ignore[attr-defined]
        disagreements=row.open_disagreements or 0,  # type: ignore[attr-defined]
        bulletins=row.bulletins_out or 0,  # type: ignore[attr-defined]
        committed=row.committed,  # type: ignore[attr-defined]
        cut=row.cut,  # type: ignore[attr-defined]
    )


def _counted(matches: QuerySet[Match], person: Person) -> QuerySet[Match]:
    """The matches with their counts, each by a subquery of its own."""
    entries = Entry.objects.filter(match=OuterRef("pk")).filter(
        status__in=[EntryStatus.ENTERED, EntryStatus.RETIRED]
    )
    unweighed = entries.filter(status=EntryStatus.ENTERED, drawn_peg__isnull=False).exclude(
        Exists(
            WeighIn.objects.filter(section_peg=OuterRef("drawn_peg__section_peg_id"), stands=True)
        )
    )
    return matches.annotate(
        entered=_count(entries),
        to_weigh=_count(unweighed),
        open_disagreements=_count(
            Disagreement.objects.filter(match=OuterRef("pk"), ruling__isnull=True)
        ),
        bulletins_out=_count(Bulletin.objects.filter(match=OuterRef("pk"))),
        committed=Exists(Draw.objects.filter(match=OuterRef("pk"))),
        cut=Exists(SectionPeg.objects.filter(match=OuterRef("pk"))),
        fishes=Exists(
            Entry.objects.filter(match=OuterRef("pk"), angler__person_id=person.pk).exclude(
                status=EntryStatus.WITHDRAWN
            )
        ),
    )


def _count(rows: QuerySet) -> Subquery:  # type: ignore[type-arg]
    counted = rows.order_by().values("match").annotate(n=Count("pk")).values("n")
    return Subquery(counted, output_field=IntegerField())


def match_entries(match: Match) -> QuerySet[Entry]:
    """Everybody with a place, with their peg, in bank order; those without a peg last."""
    return (
        Entry.objects.filter(match=match, status__in=FISHING)
        .select_related("angler", "team", "drawn_peg__section_peg__section")
        .select_related("drawn_peg__section_peg__peg")
        .order_by(F("drawn_peg__section_peg__peg__position").asc(nulls_last=True), "angler__name")
    )
