"""What earlier bags say: the middle of those that are most like the match to come."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from statistics import median
from typing import Final

from .request import OWN, OWN_HERE, TEAM_HERE, Record

#: Of one match alone nothing is learnt (common practice, no source).
MATCHES_LEAST: Final = 2
BALLS: Final = ("", "balls")


@dataclass(frozen=True, slots=True)
class Learnt:
    """The middle of `matches` matches, and the least and most of them; of `told` bags what came
    back was told."""

    value: Fraction
    by: str
    matches: int
    told: int
    low: Fraction
    high: Fraction


def records_like(records: Sequence[Record], *, warmth: str) -> tuple[str, tuple[Record, ...]]:
    """The records to learn from, and what they are: the angler's own at the venue in water as warm,
    else the team's there, else the angler's own anywhere; none where there are too few matches."""
    alike = [record for record in records if record.warmth == warmth]
    for by, found in (
        (OWN_HERE, [r for r in alike if r.own and r.here]),
        (TEAM_HERE, [r for r in alike if r.here]),
        (OWN, [r for r in alike if r.own]),
    ):
        if len({record.match for record in found}) >= MATCHES_LEAST:
            return by, tuple(found)
    return "", ()


def records_for_member(records: Sequence[Record], *, least: int) -> Iterator[Record]:
    """The angler's own, and of mates' only what so many anglers had there in water as warm: from
    fewer a member could make out what one mate used."""
    anglers: dict[tuple[object, ...], set[int]] = defaultdict(set)
    for record in records:
        for what in (*record.used, *([BALLS] if record.balls else [])):
            anglers[record.here, record.warmth, what].add(record.angler)
    for record in records:
        shared = {
            what
            for what in (*record.used, BALLS)
            if record.own or len(anglers[record.here, record.warmth, what]) >= least
        }
        used = {what: amount for what, amount in record.used.items() if what in shared}
        if used:
            yield replace(record, used=used, balls=record.balls if BALLS in shared else None)


def used_mostly(records: Sequence[Record], *, use: str) -> Iterator[str]:
    """The baits that half of the records or more had for that use, the most frequent first."""
    many: dict[str, int] = {}
    for record in records:
        for bait, of in record.used:
            if of == use:
                many[bait] = many.get(bait, 0) + 1
    for bait, count in sorted(many.items(), key=lambda found: (-found[1], found[0])):
        if 2 * count >= len(records):
            yield bait


def amount_learnt(
    by: str, records: Sequence[Record], *, bait: str, use: str, minutes: int | None
) -> Learnt:
    """The middle amount, in a match of so many minutes; None where it does not depend on them."""
    had = [record for record in records if (bait, use) in record.used]
    amounts = [
        record.used[bait, use] * (Fraction(minutes, record.minutes) if minutes else 1)
        for record in had
    ]
    return Learnt(
        value=median(amounts),
        by=by,
        matches=len({record.match for record in had}),
        told=sum(record.told for record in had),
        low=min(amounts),
        high=max(amounts),
    )


def balls_learnt(by: str, records: Sequence[Record]) -> tuple[Learnt, int] | None:
    """The middle number of balls and their most usual size; None where too few had any."""
    had = [record for record in records if record.balls is not None]
    if len({record.match for record in had}) < MATCHES_LEAST:
        return None
    counts = [Fraction(record.balls[0]) for record in had if record.balls]
    sizes = sorted(record.balls[1] for record in had if record.balls)
    middle = Fraction(int(median(counts)))
    many = len({record.match for record in had})
    return Learnt(middle, by, many, 0, min(counts), max(counts)), sizes[len(sizes) // 2]
