"""What a team's season is worked out from: every member's notes of every published match."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any

from django.db.models import QuerySet
from django.utils import timezone

from bait.models import Bait, Stage, ThrowSize
from bait.reckon.plans import BaitFacts, Feed, Throws, feed_amount
from bait.reckon.season import AnglerDay, Column, FeedGiven
from bait.reckon.units import amount_convert
from matches.models import Entry, Fact, FactKind, Team
from matches.reads.newest_bulletins import newest_bulletins
from matches.reads.peg_form import FISHED
from matches.reckon.canonical import canonical_digest
from matches.reckon.errors import BadInput

from .baits import bait_facts
from .fed import DAY_KINDS
from .feed_throws import NOT_LOOSE
from .plan_whole import throws_of
from .review import match_begun

#: Raised when the same notes and results are to be worked out anew.
FORM = 1


@dataclass(frozen=True, slots=True)
class SeasonInputs:
    """The days of the team's members, in order; their matches by the entry's match and angler."""

    days: tuple[AnglerDay, ...]
    digest: str
    read_at: dt.datetime


@dataclass(slots=True)
class _Weights:
    """Of one entry: its own weight and those of who else fished in its section."""

    own: int | None
    others: tuple[int, ...]


@dataclass(slots=True)
class _Notes:
    """Of one angler in one match."""

    feeds: list[FeedGiven] = field(default_factory=list)
    moments: list[int] = field(default_factory=list)
    fish: int = 0


def season_inputs(team: Team) -> SeasonInputs:
    """Read for a worker. The number of queries grows only with the matches whose start was tapped.

    A day is named by the pk of its match and of its angler, as text.
    """
    read_at = timezone.now()
    fished = Entry.objects.filter(team=team, match__called_off="")
    weights = _weights(fished)
    entries = [
        entry
        for entry in fished.select_related("match", "angler").order_by("match__start_at", "pk")
        if entry.pk in weights
    ]
    read = _NotesRead(team, entries)
    notes = read.by_entry()
    days = tuple(
        AnglerDay(
            match=str(entry.match_id),
            angler=str(entry.angler_id),
            seconds=read.length(entry),
            own=weights[entry.pk].own,
            others=weights[entry.pk].others,
            feeds=tuple(notes[entry.pk].feeds),
            moments=tuple(notes[entry.pk].moments),
            fish=notes[entry.pk].fish,
        )
        for entry in entries
    )
    body = [FORM, team.pk, [_day_json(day) for day in days]]
    return SeasonInputs(days, canonical_digest(body), read_at)


def _day_json(day: AnglerDay) -> list[Any]:
    feeds = [
        [f.second, f.column.of, f.column.key, f.column.unit, str(f.amount), f.ball]
        for f in day.feeds
    ]
    return [
        *(day.match, day.angler, day.seconds, day.own),
        *(list(day.others), feeds, list(day.moments), day.fish),
    ]


def _weights(fished: QuerySet[Entry]) -> dict[int, _Weights]:
    """By entry, as the latest bulletin of each match has it. Two queries."""
    bodies = newest_bulletins().filter(match__in=fished.values("match"))
    ours = set(fished.values_list("pk", flat=True))
    found = {}
    for body in bodies.values_list("body", flat=True):
        for section in body["sections"]:
            weights = {
                row["entry"]: row["weight"]
                for row in section["entries"]
                if row["status"] == FISHED and row["weight"] is not None
            }
            for row in section["entries"]:
                if row["entry"] in ours:
                    others = tuple(w for e, w in weights.items() if e != row["entry"])
                    found[row["entry"]] = _Weights(weights.get(row["entry"]), others)
    return found


class _NotesRead:
    """The notes in force of these entries' own people, each as reckoning takes it."""

    def __init__(self, team: Team, entries: Iterable[Entry]) -> None:
        self.entries = {(entry.match_id, entry.angler.person_id): entry for entry in entries}
        self.baits = {b.key: bait_facts(b) for b in Bait.objects.filter(club=team.club_id)}
        self.throws = _throws(team)
        self.balls = _ball_stages(team)
        self.begun = _begun(self.entries.values())
        self.known: dict[tuple[Any, ...], tuple[Column, Fraction | None]] = {}

    def length(self, entry: Entry) -> int:
        """Of the entry's match, in seconds from when it began."""
        return max(1, int((entry.match.end_at - self.begun[entry.match_id]).total_seconds()))

    def by_entry(self) -> dict[int, _Notes]:
        """An entry without a note has empty ones."""
        notes: dict[int, _Notes] = defaultdict(_Notes)
        for entry, kind, at, body in self._in_force():
            second = int((at - self.begun[entry.match_id]).total_seconds())
            # A body that was erased holds nothing of this.
            if kind == FactKind.FEED_NOTE and "bait" in body:
                notes[entry.pk].feeds.append(self._feed(entry, second, body))
            elif kind == FactKind.FISH_NOTE and "count" in body:
                notes[entry.pk].fish += body["count"]
            elif kind != FactKind.LINE_NOTE or "line" not in body:
                continue
            notes[entry.pk].moments.append(second)
        return notes

    def _in_force(self) -> Iterator[tuple[Entry, str, dt.datetime, dict[str, Any]]]:
        """As `bait.reads.fed.notes_in_force`, for all at once; whose entry, what, when, its body.
        Two queries."""
        facts = Fact.objects.filter(
            match__in={match for match, _person in self.entries},
            author__in={person for _match, person in self.entries if person is not None},
        )
        withdrawn = facts.filter(kind__in=(*DAY_KINDS, FactKind.SCRATCH), supersedes__isnull=False)
        gone = set(withdrawn.values_list("match_id", "author_id", "supersedes"))
        rows = facts.filter(kind__in=DAY_KINDS).order_by("cseq")
        for pk, match, author, kind, at, offset, body in rows.values_list(
            *("pk", "match_id", "author_id", "kind", "recorded_at", "clock_offset_ms", "body")
        ).iterator(chunk_size=5_000):
            entry = self.entries.get((match, author))
            if entry is not None and (match, author, pk) not in gone:
                yield entry, kind, at + dt.timedelta(milliseconds=offset), body

    def _feed(self, entry: Entry, second: int, body: dict[str, Any]) -> FeedGiven:
        asked = (entry.angler_id, body["bait"], body["amount"], body["unit"])
        if asked not in self.known:
            feed = Feed(body["bait"], Fraction(body["amount"]), body["unit"])
            self.known[asked] = self._amount(feed, throws=self.throws[entry.angler_id])
        column, amount = self.known[asked]
        bait = self.baits.get(body["bait"])
        ball = bait is not None and bait.kind in NOT_LOOSE
        return FeedGiven(
            second, column, amount, ball or (entry.pk, body.get("stage")) in self.balls
        )

    def _amount(self, feed: Feed, *, throws: Throws) -> tuple[Column, Fraction | None]:
        bait = self.baits.get(feed.bait)
        if bait is None:
            return Column("bait", feed.bait, feed.unit), None
        column = _column(bait)
        try:
            amount = feed_amount(feed, baits=self.baits, throws=throws)
        except BadInput:
            return column, None
        to = column.unit
        return column, amount_convert(amount, unit=bait.unit, to=to, density=bait.density)


def _column(bait: BaitFacts) -> Column:
    """Groundbaits go together, and soils, where they can be told in litres; else each by itself."""
    if bait.kind in NOT_LOOSE and (
        amount_convert(Fraction(1), unit=bait.unit, to="L", density=bait.density) is not None
    ):
        return Column("kind", str(bait.kind), "L")
    return Column("bait", bait.key, bait.unit)


def _throws(team: Team) -> Mapping[int, Throws]:
    """What each angler has measured. One query."""
    rows: dict[int, list[Any]] = defaultdict(list)
    anglers = Entry.objects.filter(team=team).values("angler")
    sizes = ThrowSize.objects.filter(angler__in=anglers)
    for angler, *row in sizes.values_list("angler_id", "throw", "bait__key", "ml"):
        rows[angler].append(row)
    return defaultdict(dict, {angler: throws_of(found) for angler, found in rows.items()})


def _ball_stages(team: Team) -> set[tuple[int, int]]:
    """Entries with the places in their plans, from 0, of the stages that feed balls. One query."""
    places: dict[int, int] = defaultdict(int)
    found = set()
    stages = Stage.objects.filter(plan__entry__team=team).order_by("plan", "position")
    for entry, balls in stages.values_list("plan__entry_id", "balls"):
        if balls:
            found.add((entry, places[entry]))
        places[entry] += 1
    return found


def _begun(entries: Iterable[Entry]) -> dict[int, dt.datetime]:
    """When each match began."""
    matches = {entry.match_id: entry.match for entry in entries}
    tapped = set(
        Fact.objects.filter(match__in=matches, kind=FactKind.SIGNAL).values_list(
            "match_id", flat=True
        )
    )
    return {
        pk: match_begun(match) if pk in tapped else match.start_at for pk, match in matches.items()
    }
