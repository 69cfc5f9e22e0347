"""What an angler logged as fed in a match."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from fractions import Fraction
from typing import Any, Final, NamedTuple
from uuid import UUID

from bait.reckon.fed import FedNote
from matches.models import Entry, Fact, FactKind

#: What a day is reckoned from: what was fed, what was caught, and on which line.
DAY_KINDS: Final = (FactKind.FEED_NOTE, FactKind.FISH_NOTE, FactKind.LINE_NOTE)


class Note(NamedTuple):
    """Of a fact what a day is reckoned from, as it is stored. To make a whole fact of each takes
    longer than to read it, and a keen day has many."""

    id: UUID
    kind: str
    body: dict[str, Any]
    recorded_at: dt.datetime
    clock_offset_ms: int
    supersedes: UUID | None


def notes_in_force(entry: Entry, *, kinds: Sequence[str]) -> list[Note]:
    """The notes of these kinds that the entry's own person logged, in the club's order.

    One that another supersedes, or a scratch withdraws, is out. One query. Expects its angler.
    """
    if entry.angler.person_id is None:
        return []
    facts = Fact.objects.filter(
        match=entry.match_id,
        author=entry.angler.person_id,
        kind__in=(*kinds, FactKind.SCRATCH),
    ).order_by("cseq")
    notes = [Note._make(row) for row in facts.values_list(*Note._fields)]
    gone = {note.supersedes for note in notes if note.supersedes}
    return [note for note in notes if note.kind in kinds and note.id not in gone]


def fed_notes(entry: Entry) -> tuple[FedNote, ...]:
    """The entry's feed notes in force, in the order of their time; expects its match and angler.
    One query."""
    return fed_of(notes_in_force(entry, kinds=(FactKind.FEED_NOTE,)), entry=entry)


def fed_of(notes: Iterable[Note], *, entry: Entry) -> tuple[FedNote, ...]:
    """What of these notes in force are feed notes, in the order of their time.

    The phone's clock, set right by its offset, counts from the planned start of the match; a body
    that was erased holds no feed.
    """
    fed = [n for n in notes if n.kind == FactKind.FEED_NOTE and "bait" in n.body]
    return tuple(sorted((_fed(n, entry=entry) for n in fed), key=lambda n: n.seconds))


def _fed(note: Note, *, entry: Entry) -> FedNote:
    body = note.body
    since = (note.recorded_at - entry.match.start_at).total_seconds()
    return FedNote(
        seconds=int(since + note.clock_offset_ms / 1000),
        bait=body["bait"],
        amount=Fraction(body["amount"]),
        unit=body["unit"],
        line=body.get("line", ""),
        stage=body.get("stage"),
    )
