"""The signals of a match's day as they were given on the bank."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from matches.models import Fact, FactKind, Match

#: A start tapped further off its time than this is a clock gone wrong, or another day's tap.
SHIFT_MOST = 180


@dataclass(frozen=True, slots=True)
class Given:
    """When the start was tapped, and how many whole minutes later than planned (below zero:
    earlier) that is, to the nearest."""

    at: dt.datetime
    late: int

    @property
    def to_shift(self) -> bool:
        """Whether the end could be moved for it."""
        return 0 < abs(self.late) <= SHIFT_MOST

    @property
    def minutes(self) -> int:
        return abs(self.late)


def start_given(match: Match) -> Given | None:
    """When the start was first given, of the taps that were not taken back; None: not yet."""
    at = signals_given(match).get("start")
    return Given(at, round((at - match.start_at).total_seconds() / 60)) if at else None


def signals_given(match: Match) -> dict[str, dt.datetime]:
    """By signal the first real time it was tapped at, phones' clocks set right by the server's.

    A phone's clock decides nothing here: the secretary reads it and moves the end, or does not.
    """
    kinds = (FactKind.SIGNAL, FactKind.SCRATCH)
    facts = list(Fact.objects.filter(match=match, kind__in=kinds).defer("digest"))
    gone = {fact.supersedes for fact in facts if fact.supersedes}
    first: dict[str, dt.datetime] = {}
    for fact in facts:
        if fact.kind != FactKind.SIGNAL or fact.pk in gone:
            continue
        at = fact.recorded_at + dt.timedelta(milliseconds=fact.clock_offset_ms)
        name = str(fact.body["signal"])
        first[name] = min(at, first.get(name, at))
    return first
