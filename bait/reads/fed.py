"""What an angler logged as fed in a match."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from typing import Final

from bait.reckon.fed import FedNote
from matches.models import Entry, Fact, FactKind

#: What a day is reckoned from: what was fed, what was caught, and on which line.
DAY_KINDS: Final = (FactKind.FEED_NOTE, FactKind.FISH_NOTE, FactKind.LINE_NOTE)


def notes_in_force(entry: Entry, *, kinds: Sequence[str]) -> list[Fact]:
    """The notes of these kinds that the entry's own person logged, in the club's order.

    One that another supersedes, or a scratch withdraws, is out. One query. Expects its angler.
    """
    if entry.angler.person_id is None:
        return []
    facts = list(
        Fact.objects.filter(
            match=entry.match_id,
            author=entry.angler.person_id,
            kind__in=(*kinds, FactKind.SCRATCH),
        )
        .only("kind", "body", "recorded_at", "clock_offset_ms", "supersedes")
        .order_by("cseq")
    )
    gone = {fact.supersedes for fact in facts if fact.supersedes}
    return [fact for fact in facts if fact.kind in kinds and fact.pk not in gone]


def fed_notes(entry: Entry) -> tuple[FedNote, ...]:
    """The entry's feed notes in force, in the order of their time; expects its match and angler.
    One query."""
    return fed_of(notes_in_force(entry, kinds=(FactKind.FEED_NOTE,)), entry=entry)


def fed_of(facts: Iterable[Fact], *, entry: Entry) -> tuple[FedNote, ...]:
    """What of these notes in force are feed notes, in the order of their time.

    The phone's clock, set right by its offset, counts from the planned start of the match; a body
    that was erased holds no feed.
    """
    fed = [f for f in facts if f.kind == FactKind.FEED_NOTE and "bait" in f.body]
    return tuple(sorted((_note(f, entry=entry) for f in fed), key=lambda n: n.seconds))


def _note(fact: Fact, *, entry: Entry) -> FedNote:
    body = fact.body
    since = (fact.recorded_at - entry.match.start_at).total_seconds()
    return FedNote(
        seconds=int(since + fact.clock_offset_ms / 1000),
        bait=body["bait"],
        amount=Fraction(body["amount"]),
        unit=body["unit"],
        line=body.get("line", ""),
        stage=body.get("stage"),
    )
