"""Facts as they are given out: for phones to pull, and for the secretary to settle."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any
from uuid import UUID, uuid5

from django.db.models import QuerySet

from matches.models import (
    Angler,
    Club,
    Disagreement,
    DisagreementKind,
    Fact,
    Match,
    Person,
    WeighIn,
)
from matches.times import time_write

from .access import is_secretary, is_weigher, match_seen, memberships_of
from .mates import mates_of, team_kinds_seen
from .phones import device_labels, phone_of

PULL_MOST = 500


@dataclass(frozen=True, slots=True)
class FactsReader:
    """Who reads facts of a club, or of one of its matches, and what they are told as it is now.

    Asked once for all of one answer. `official`: who weighs or runs it; `mates`: people of the
    person's teams.
    """

    person: Person
    club: Club
    match: Match | None
    official: bool
    mates: frozenset[int]

    @property
    def epoch(self) -> UUID:
        """The club's epoch as this person's phones are told it; see `epoch_told`."""
        return epoch_told(self.club, official=self.official, mates=self.mates)


def facts_reader(person: Person, *, club: Club, match: Match | None) -> FactsReader:
    """Two queries."""
    official = is_weigher(person, match=match) if match else is_secretary(person, club=club)
    return FactsReader(person, club, match, official, frozenset(mates_of(person, club=club)))


def facts_seen(reader: FactsReader) -> QuerySet[Fact]:
    """The facts that the reader may see, in the club's order; none of a club that is not theirs.

    Jar tests and throws are one's own and one's team's alone.
    """
    facts = Fact.objects.filter(
        team_kinds_seen(reader.person, mates=reader.mates),
        club=reader.club,
        club__in=memberships_of(reader.person).values("club"),
    )
    if reader.match is not None:
        facts = facts.filter(match=reader.match)
    return facts.select_related("author").order_by("cseq")


def epoch_told(club: Club, *, official: bool, mates: Iterable[int]) -> UUID:
    """Another one as soon as more or less of others' facts is to be seen, or juniors' names are.

    A phone then lets go of all it read, and begins again: it keeps nothing of a team that its
    person left. `mates`: as `mates_of` gives them, in any order.
    """
    return uuid5(club.epoch, f"{official} {sorted(set(mates))}")


@dataclass(frozen=True, slots=True)
class FactsPage:
    """Some facts after `after`; `last` is where the next page begins.

    `initials`: of the authors who are juniors, by person, as others than officials see them.
    """

    facts: list[Fact]
    initials: dict[int, str]
    last: int
    more: bool


def facts_page(reader: FactsReader, *, after: int, limit: int) -> FactsPage:
    """At most `limit` facts with a `cseq` above `after`. Two queries."""
    rows = list(facts_seen(reader).filter(cseq__gt=after)[: limit + 1])
    page = rows[:limit]
    told = {} if reader.official or not page else author_initials(reader.person.pk, facts=page)
    last = page[-1].cseq if page else after
    return FactsPage(page, told, last=last, more=len(rows) > limit)


def author_name(fact: Fact) -> str:
    """The author's name, in full."""
    return fact.author.name


def author_initials(reader_id: int, *, facts: Iterable[Fact]) -> dict[int, str]:
    """By person, the initials of juniors among the authors of one club's facts.

    Who weighs must know who wrote; others see these, and everybody their own name.
    """
    juniors = Angler.objects.filter(
        club__in={fact.club_id for fact in facts},
        junior=True,
        guardian_consents=False,
        person__in={fact.author_id for fact in facts} - {reader_id},
    )
    return {angler.person_id: angler.public_name for angler in juniors if angler.person_id}


@dataclass(frozen=True, slots=True)
class FactSide:
    """One fact of a disagreement: what it says, who logged it, when and on which phone.

    `stands`: it is the one that is placed as long as nobody rules.
    """

    fact: Fact
    author: str
    device: UUID
    device_label: str
    stands: bool

    @property
    def weight(self) -> int | None:
        weight = self.fact.body.get("weight")
        return weight if isinstance(weight, int) else None


@dataclass(frozen=True, slots=True)
class OpenDisagreement:
    """A disagreement that no ruling has settled, with all its facts."""

    row: Disagreement
    sides: tuple[FactSide, ...]


def disagreements_open(person: Person, *, match_id: int) -> list[OpenDisagreement]:
    """What the secretary has to settle in a match, with all sides, oldest first. Five queries.

    Beside a late fact, what stood before it is a side too: a ruling may choose it.
    """
    match = match_seen(person, match_id=match_id)
    rows = list(
        Disagreement.objects.filter(match=match, ruling__isnull=True)
        .prefetch_related("facts__author")
        .order_by("id")
    )
    standing = _standing_facts(match, pegs={row.peg for row in rows})
    sides = {row.pk: _facts_of(row, standing) for row in rows}
    labels = device_labels(f.device for facts in sides.values() for f in facts)
    placed = {fact.pk for fact in standing.values()}
    return [
        OpenDisagreement(row, tuple(_side(f, labels, f.pk in placed) for f in sides[row.pk]))
        for row in rows
    ]


def _standing_facts(match: Match, *, pegs: set[str]) -> dict[tuple[str, int], Fact]:
    """The facts that are placed now, by peg and net."""
    rows = WeighIn.objects.filter(
        match=match, stands=True, section_peg__peg__number__in=pegs
    ).select_related("fact__author", "section_peg__peg")
    return {(row.section_peg.peg.number, row.net): row.fact for row in rows}


def _facts_of(row: Disagreement, standing: dict[tuple[str, int], Fact]) -> list[Fact]:
    facts = list(row.facts.all())
    if row.kind == DisagreementKind.LATE and row.net is not None:
        before = standing.get((row.peg, row.net))
        if before is not None and before not in facts:
            facts.insert(0, before)
    return facts


def _side(fact: Fact, labels: dict[UUID, str], stands: bool) -> FactSide:
    author = author_name(fact)
    label = labels.get(fact.device) or phone_of(author)
    return FactSide(fact, author, fact.device, label, stands)


def fact_json(fact: Fact, *, initials: Mapping[int, str]) -> dict[str, Any]:
    """A fact as phones take it: what its phone wrote, and what the server added."""
    return {
        "id": str(fact.pk),
        "device": str(fact.device),
        "seq": fact.seq,
        "kind": fact.kind,
        "match": str(fact.match_id),
        "peg": fact.peg,
        "recorded_at": time_write(fact.recorded_at),
        "clock_offset_ms": fact.clock_offset_ms,
        "supersedes": str(fact.supersedes) if fact.supersedes else None,
        "body": fact.body,
        "cseq": fact.cseq,
        "received_at": time_write(fact.received_at),
        "author": {
            "id": str(fact.author_id),
            "name": initials.get(fact.author_id, author_name(fact)),
        },
    }
