"""What one angler's notes of one match say, beside the result."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from bait.models import Bait
from bait.reckon.fed import FedNote
from bait.reckon.plans import FEED, MIX, THROW_ML, Feed, feed_amount
from bait.reckon.review import (
    DayNotes,
    DayReview,
    Fed,
    FishNoted,
    StagePlanned,
    Switch,
    day_review,
    lines_fished,
)
from matches.models import Entry, FactKind, Match
from matches.reads.result_rows import ResultEntry
from matches.reads.results import match_result
from matches.reads.signals import SHIFT_MOST, signals_given
from matches.reckon.errors import BadInput

from .baits import bait_facts
from .fed import DAY_KINDS, Note, fed_of, notes_in_force
from .plan_whole import WholePlan
from .plans import plan_of_entry, plan_totals_of


@dataclass(frozen=True, slots=True)
class BaitFed:
    """A bait as planned and as noted, in its own unit. `fed` leaves out what does not convert."""

    bait: Bait
    planned: Fraction
    fed: Fraction


@dataclass(frozen=True, slots=True)
class Review:
    """One angler's day. `start` is when the match began; weights are in the match's unit.

    `last_call` is the second of the last warning, as it was given or else as it was planned.
    `own` is None without a drawn peg; `first` is who leads the section, None where nobody does.
    """

    entry: Entry
    start: dt.datetime
    last_call: int
    notes: DayNotes
    day: DayReview
    own: ResultEntry | None
    first: ResultEntry | None
    in_section: int
    plan: WholePlan | None
    baits: tuple[BaitFed, ...]
    names: dict[str, str]

    @property
    def is_empty(self) -> bool:
        return not (self.notes.fish or self.notes.feeds or self.notes.switches)

    def first_fished(self, line: str) -> int:
        """Seconds from the start until the line was first fished."""
        spans = lines_fished(self.notes, self.day.watched)
        return next((start for name, start, _end in spans if name == line), 0)

    def at(self, second: float) -> dt.datetime:
        """The time of day so many seconds after the start."""
        return self.start + dt.timedelta(seconds=second)


def review_of(entry: Entry) -> Review:
    """What the entry's own person noted, reckoned. Expects its match, venue and angler along.

    Call it for who may see the entry's plan. The number of queries does not depend on how much was
    noted.
    """
    match = entry.match
    signals = signals_given(match)
    start = _begun_at(match, signals)
    own, first, size = _section(entry)
    plan = plan_of_entry(entry)
    logged = notes_in_force(entry, kinds=DAY_KINDS)
    fed = fed_of(logged, entry=entry)
    baits = {bait.key: bait for bait in Bait.objects.filter(club=match.club_id)}
    fish, switches = _noted(logged, start=start)
    late = (start - match.start_at).total_seconds()
    notes = DayNotes(
        end=max(1, int((match.end_at - start).total_seconds())),
        fish=fish,
        feeds=tuple(Fed(int(note.seconds - late), note.bait, note.line) for note in fed),
        switches=switches,
        stages=tuple(_stages(plan)),
        first_line=_first_line(plan),
        weighed=own.weight if own else None,
    )
    return Review(
        entry=entry,
        start=start,
        last_call=int((_last_call(match, signals) - start).total_seconds()),
        notes=notes,
        day=day_review(notes),
        own=own,
        first=first,
        in_section=size,
        plan=plan,
        baits=tuple(_fed(plan, fed, baits)),
        names={key: bait.name for key, bait in baits.items()},
    )


def match_begun(match: Match) -> dt.datetime:
    """When the start was really given; as planned where nobody tapped it or a clock was wrong."""
    return _begun_at(match, signals_given(match))


def _begun_at(match: Match, signals: Mapping[str, dt.datetime]) -> dt.datetime:
    """As `match_begun`, of signals that are read already."""
    return _given_or(match.start_at, signals.get("start"))


def _last_call(match: Match, signals: Mapping[str, dt.datetime]) -> dt.datetime:
    planned = match.end_at - dt.timedelta(minutes=match.last_call_min)
    return _given_or(planned, signals.get("five_minutes"))


def _given_or(planned: dt.datetime, given: dt.datetime | None) -> dt.datetime:
    """A tap further off than a clock is trusted counts as none."""
    most = dt.timedelta(minutes=SHIFT_MOST)
    return given if given and abs(given - planned) <= most else planned


def _noted(
    logged: Iterable[Note], *, start: dt.datetime
) -> tuple[tuple[FishNoted, ...], tuple[Switch, ...]]:
    """Fish and switches of notes in force."""
    fish: list[FishNoted] = []
    switches: list[Switch] = []
    for note in logged:
        at = note.recorded_at + dt.timedelta(milliseconds=note.clock_offset_ms)
        second, body = int((at - start).total_seconds()), note.body
        # A body that was erased holds nothing of this.
        if note.kind == FactKind.FISH_NOTE and "count" in body:
            fish.append(_fish(second, body))
        elif note.kind == FactKind.LINE_NOTE and "line" in body:
            switches.append(Switch(second, body["line"]))
    return tuple(fish), tuple(switches)


def _fish(second: int, body: dict[str, Any]) -> FishNoted:
    weight = body.get("weight")
    return FishNoted(
        second=second,
        count=body["count"],
        line=body.get("line") or "",
        species=body.get("species", ""),
        about=weight if weight is not None else body.get("about"),
    )


def _section(entry: Entry) -> tuple[ResultEntry | None, ResultEntry | None, int]:
    """The entry's row as it stands, its section's first, and how many are in the section."""
    for section in match_result(entry.match).sections:
        own = next((row for row in section.entries if row.entry == entry.pk), None)
        if own is not None:
            placed = [row for row in section.ranked if row.place is not None and row.weight]
            return own, placed[0] if placed else None, len(section.entries)
    return None, None, 0


def _stages(plan: WholePlan | None) -> Iterable[StagePlanned]:
    """The stages that feed; what is on the hook goes on beside them."""
    for place, stage in enumerate(plan.stages if plan else ()):
        if stage.kind != "hook" and stage.end_minute > max(0, stage.start_minute):
            yield StagePlanned(place, stage.line, stage.start_minute * 60, stage.end_minute * 60)


def _first_line(plan: WholePlan | None) -> str:
    """As the phone has it: the first line that the plan names."""
    return next((stage.line for stage in (plan.stages if plan else ()) if stage.line), "")


def _fed(
    plan: WholePlan | None, fed: Sequence[FedNote], baits: dict[str, Bait]
) -> Iterable[BaitFed]:
    """Planned without the spare, and noted; baits in the order of their names."""
    planned = _planned(plan, noted={note.bait for note in fed})
    throws = plan.throws if plan else THROW_ML
    facts = {key: bait_facts(bait) for key, bait in baits.items()}
    sums: dict[str, Fraction] = {}
    for note in fed:
        try:
            feed = Feed(note.bait, note.amount, note.unit)
            amount = feed_amount(feed, baits=facts, throws=throws)
        except BadInput:
            continue
        sums[note.bait] = sums.get(note.bait, Fraction(0)) + amount
    keys = [key for key in {**planned, **sums} if key in baits]
    for key in sorted(keys, key=lambda key: baits[key].name):
        yield BaitFed(baits[key], planned.get(key, Fraction(0)), sums.get(key, Fraction(0)))


def _planned(plan: WholePlan | None, *, noted: Collection[str]) -> dict[str, Fraction]:
    """What is to be fed: loose, and in balls where that was noted too. Never what is hooked."""
    if plan is None:
        return {}
    try:
        totals = plan_totals_of(plan)
    except BadInput:
        return {}
    planned: dict[str, Fraction] = {}
    for total in totals:
        uses = (FEED, MIX) if total.bait in noted else (FEED,)
        planned[total.bait] = sum((total.used(use, spare=False) for use in uses), Fraction(0))
    return {bait: amount for bait, amount in planned.items() if amount}
