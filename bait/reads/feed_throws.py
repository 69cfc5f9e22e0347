"""Where a member throws each feed, as it was kept for a match.

Call these with an entry the person was given through `bait.reads.plans`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from bait.models import Bait, BaitKind, StageKind
from matches.models import Entry, Fact, FactKind
from matches.reads.in_force import facts_in_force

from .plan_whole import WholePlan

#: What is neither thrown loose nor a feed of its own.
NOT_LOOSE = (BaitKind.GROUNDBAIT, BaitKind.SOIL)


@dataclass(frozen=True, slots=True)
class ThrowPlace:
    """Centimetres upstream of where the rig goes in, below zero downstream; out from the bank; and
    the length of the rod that distances are told in. The last two may be unknown.
    """

    upstream_cm: int
    out_cm: int | None = None
    rod_cm: int | None = None

    @property
    def along_m(self) -> float:
        return abs(self.upstream_cm) / 100


@dataclass(frozen=True, slots=True)
class ThrowKept:
    """A throw in force: the fact that says so, and of which match and peg it is."""

    place: ThrowPlace
    fact: UUID
    date: str
    peg: str


@dataclass(frozen=True, slots=True)
class FedKind:
    """Something a plan throws: a bait, or balls of `ball_mm`. `key` is "caster" or "ball-80"."""

    key: str
    name: str
    bait: str | None = None
    ball_mm: int | None = None


def plan_feeds(plan: WholePlan) -> list[FedKind]:
    """What the plan throws, once each, in its order: loose feed, and each size of ball."""
    found: dict[str, FedKind] = {}
    for stage in plan.stages:
        if stage.balls is not None:
            key = f"ball-{stage.balls.mm}"
            found.setdefault(key, FedKind(key, "", ball_mm=stage.balls.mm))
        elif stage.kind != StageKind.HOOK:
            for feed in stage.feeds:
                bait = plan.baits[feed.bait]
                if bait.kind not in NOT_LOOSE:
                    found.setdefault(bait.key, FedKind(bait.key, bait.name, bait=bait.key))
    return list(found.values())


def throws_of_entry(entry: Entry) -> dict[str, ThrowKept]:
    """The throw kept last of each feed, by its key, for the entry's own match. One query."""
    return _throws(entry, match=entry.match_id)


def throws_before(entry: Entry) -> dict[str, ThrowKept]:
    """The same of earlier matches at the same venue: the newest of each feed. One query."""
    return _throws(entry, match__venue=entry.match.venue_id, match__date__lt=entry.match.date)


def throws_with_feeds(entry: Entry) -> list[tuple[FedKind, ThrowPlace]]:
    """Every throw kept for the entry, with what is thrown. Two queries at most."""
    kept = throws_of_entry(entry)
    named = Bait.objects.filter(club=entry.match.club_id, key__in=kept) if kept else ()
    names = {bait.key: bait.name for bait in named}
    return [(_feed_of(key, names), throw.place) for key, throw in kept.items()]


def _feed_of(key: str, names: Mapping[str, str]) -> FedKind:
    mm = key.removeprefix("ball-")
    if key not in names and mm.isdigit():
        return FedKind(key, "", ball_mm=int(mm))
    return FedKind(key, names.get(key, key), bait=key)


def _throws(entry: Entry, **where: Any) -> dict[str, ThrowKept]:
    if entry.angler.person_id is None:
        return {}
    facts = facts_in_force().filter(
        club=entry.match.club_id,
        author=entry.angler.person_id,
        kind=FactKind.FEED_THROW,
        **where,
    )
    read = facts.select_related("match").order_by("match__date", "cseq")
    return {throw_key(f.body): _kept(f) for f in read if "upstream_cm" in f.body}


def throw_key(body: Mapping[str, Any]) -> str:
    """What the body of a throw is of."""
    return body.get("bait") or f"ball-{body['ball_mm']}"


def _kept(fact: Fact) -> ThrowKept:
    body = fact.body
    place = ThrowPlace(body["upstream_cm"], body.get("out_cm"), body.get("rod_cm"))
    return ThrowKept(place, fact.pk, fact.match.date.isoformat(), fact.peg)
