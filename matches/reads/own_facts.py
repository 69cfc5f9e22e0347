"""Everything one person logged, to take away."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from matches.models import Fact, FactKind, Person

CHUNK = 2_000


@dataclass(frozen=True, slots=True)
class FactLogged:
    """One fact with what it belongs to. `at` is the phone's time, set right by its offset.

    `minute` counts from the planned start. `in_force`: nothing corrects or withdraws it.
    """

    fact: Fact
    at: dt.datetime
    minute: float
    in_force: bool


def facts_logged(person: Person) -> Iterator[FactLogged]:
    """All facts the person wrote, by match and time, whatever club they are in now.

    What was erased holds no body any more and comes as an empty one. Two queries, and one row at a
    time.
    """
    own = Fact.objects.filter(author=person.pk)
    gone = set(own.exclude(supersedes=None).values_list("supersedes", flat=True))
    facts = own.select_related("match__venue", "match__club").order_by(
        "match__date", "match_id", "recorded_at", "cseq"
    )
    for fact in facts.iterator(chunk_size=CHUNK):
        at = fact.recorded_at + dt.timedelta(milliseconds=fact.clock_offset_ms)
        minute = (at - fact.match.start_at).total_seconds() / 60
        in_force = fact.pk not in gone and fact.kind != FactKind.SCRATCH
        yield FactLogged(fact, at, round(minute, 2), in_force)


def logged_json(logged: FactLogged) -> dict[str, Any]:
    """One fact as it is taken away, in plain values."""
    fact = logged.fact
    return {
        "id": str(fact.pk),
        "club": fact.match.club.name,
        "match": fact.match.name,
        "date": fact.match.date.isoformat(),
        "venue": fact.match.venue.name,
        "peg": fact.peg,
        "kind": fact.kind,
        "at": logged.at.isoformat(timespec="milliseconds"),
        "minute": logged.minute,
        "in_force": logged.in_force,
        "supersedes": str(fact.supersedes) if fact.supersedes else None,
        "body": fact.body,
    }
