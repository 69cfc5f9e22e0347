"""Weigh-ins as they were told: who, when, on which phone, and who else saw the same."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from django.db.models import Q

from matches.models import Fact, FactKind, Match

Net = tuple[str, int]  # peg and net


@dataclass(frozen=True, slots=True)
class Told:
    """One weigh-in, or a scratch (`net` and `weight` None), as its author logged it. Of a fish note
    also the `species`.

    `author` is the full name: only weighers and the secretary see it, and that of the mate whose
    phone sent it (`carried_by`), if one did.
    """

    id: UUID
    kind: str
    peg: str
    net: int | None
    weight: int | None
    fish: tuple[tuple[str, int], ...] | None
    witness: str
    reweigh: bool
    author_id: int
    author: str
    device: UUID
    recorded_at: dt.datetime
    received_at: dt.datetime
    supersedes: UUID | None
    cseq: int
    species: str = ""
    carried_by: str = ""

    @property
    def is_scratch(self) -> bool:
        return self.kind == FactKind.SCRATCH

    @property
    def caught(self) -> list[tuple[str, int]]:
        """The fish that were counted, none left out, by name."""
        return sorted((species, count) for species, count in self.fish or () if count)


def facts_told(match: Match, *, besides: UUID | None = None) -> list[Told]:
    """Every weigh-in and scratch of the match in the order they came, and the one fact `besides`.
    One query, without the weight of a model a row."""
    rows = (
        Fact.objects.filter(match=match)
        .filter(Q(kind__in=(FactKind.WEIGH_IN, FactKind.SCRATCH)) | Q(pk=besides))
        .order_by("cseq")
        .values_list(
            *("id", "kind", "peg", "body", "author_id", "device", "recorded_at", "received_at"),
            *("supersedes", "cseq", "author__first_name", "author__last_name", "author__username"),
            *("carried_by__first_name", "carried_by__last_name", "carried_by__username"),
        )
    )
    return [_told(*row) for row in rows.iterator(chunk_size=2000)]


def _told(
    fact_id: UUID,
    kind: str,
    peg: str,
    body: Mapping[str, Any],
    author_id: int,
    device: UUID,
    recorded_at: dt.datetime,
    received_at: dt.datetime,
    supersedes: UUID | None,
    cseq: int,
    *names: str | None,
) -> Told:
    fish = body.get("fish")
    return Told(
        fact_id,
        kind,
        peg,
        body.get("net"),
        body.get("weight"),
        None if fish is None else tuple((species, count) for species, count in fish),
        body.get("witness") or "",
        body.get("reweigh") is True,
        author_id,
        _name(*names[:3]),
        device,
        recorded_at,
        received_at,
        supersedes,
        cseq,
        body.get("species") or "",
        _name(*names[3:]),
    )


def _name(first: str | None, last: str | None, username: str | None) -> str:
    """As `get_full_name` writes it, or how the person signs in; empty for nobody."""
    return f"{first or ''} {last or ''}".strip() or username or ""


def nets_told(facts: Iterable[Told]) -> dict[Net, list[Told]]:
    """All that was logged of each net, in the order it came."""
    of: defaultdict[Net, list[Told]] = defaultdict(list)
    for fact in facts:
        if fact.kind == FactKind.WEIGH_IN and fact.net is not None:
            of[fact.peg, fact.net].append(fact)
    return dict(of)


def seen_by(stands: UUID, trail: Iterable[Told], *, withdrawn: frozenset[UUID]) -> list[str]:
    """Who logged the weight that stands for a net, each on their own: two or more have seen it.

    Somebody who took it back since (`withdrawn`, by themselves) says so no more.
    """
    of = list(trail)
    standing = next((f for f in of if f.id == stands), None)
    if standing is None:
        return []
    names = {standing.author_id: standing.author}
    for fact in of:
        same_fish = None in (fact.fish, standing.fish) or fact.caught == standing.caught
        if fact.weight == standing.weight and same_fish and fact.id not in withdrawn:
            names.setdefault(fact.author_id, fact.author)
    return list(names.values())


def withdrawn_by_themselves(facts: Iterable[Told]) -> frozenset[UUID]:
    """The facts whose own author scratched them or corrected them to another weight."""
    known = {f.id: f for f in facts}
    return frozenset(
        before.id
        for f in known.values()
        if f.supersedes is not None
        and (before := known.get(f.supersedes)) is not None
        and before.author_id == f.author_id
        and (f.is_scratch or f.weight != before.weight or f.net != before.net)
    )
