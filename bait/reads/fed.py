"""What an angler logged as fed in a match."""

from __future__ import annotations

from fractions import Fraction

from bait.reckon.fed import FedNote
from matches.models import Entry, Fact, FactKind


def fed_notes(entry: Entry) -> tuple[FedNote, ...]:
    """The entry's feed notes in force, in the order of their time; expects its match and angler.

    Those its own person logged: one that another supersedes, or a scratch withdraws, is out. One
    query.
    """
    if entry.angler.person_id is None:
        return ()
    facts = list(
        Fact.objects.filter(
            match=entry.match_id,
            author=entry.angler.person_id,
            kind__in=(FactKind.FEED_NOTE, FactKind.SCRATCH),
        ).order_by("cseq")
    )
    gone = {fact.supersedes for fact in facts if fact.supersedes}
    standing = [f for f in facts if f.kind == FactKind.FEED_NOTE and f.pk not in gone]
    return tuple(sorted((_note(f, entry=entry) for f in standing), key=lambda n: n.seconds))


def _note(fact: Fact, *, entry: Entry) -> FedNote:
    """The phone's clock, set right by its offset, counts from the start of the match."""
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
