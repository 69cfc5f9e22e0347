"""What was refused is remembered: who reads a phone's numbers knows which never come."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from typing import Any
from uuid import UUID

from django.db import transaction

from matches.models import Fact, FactKind, Person, RefusedFact
from matches.problems import Code

from .counter import counter_lock
from .outcomes import Outcome
from .projection import weigh_ins_project
from .rights import rights_of
from .shape import FactIn, FactReading, fact_read

_NAMES = frozenset({"", "/id", "/device", "/seq"})


def refusals_note(person: Person, *, facts: Sequence[Any], outcomes: dict[int, Outcome]) -> None:
    """Remember what the checks before the club's lock refused of `facts`, as parsed from JSON.

    What has no id, device and number that can be read makes no hole, so it is not remembered; nor
    is what is carried for another, whose own phone still has it.
    """
    named = []
    for at, outcome in outcomes.items():
        fact = _named(facts[at])
        if fact is not None and outcome.problem is not None:
            named.append((fact, outcome.problem.code))
    if not named:
        return
    known = rights_of(person, match_ids={fact.match for fact, _code in named})
    with transaction.atomic():
        refusals_keep(
            person,
            refused=[(f, f.match if f.match in known else None, code) for f, code in named],
        )


def _named(raw: Any) -> FactIn | None:
    """The fact as far as it can be read, if it says which one it is."""
    reading = FactReading()
    fact = fact_read(raw, reading=reading)
    missing = isinstance(raw, dict) and not {"id", "device", "seq"} <= raw.keys()
    return (
        None
        if missing or fact.carried or any(f.pointer in _NAMES for f in reading.faults)
        else fact
    )


def refusals_keep(person: Person, *, refused: Iterable[tuple[FactIn, int | None, Code]]) -> None:
    """Write refusals down, the last one of each number; call it inside a transaction.

    `refused`: the fact, the match it is for as far as the person may know it, and why.
    """
    rows = {
        (fact.device, fact.seq): RefusedFact(
            person=person,
            device=fact.device,
            seq=fact.seq,
            fact=fact.id,
            match_id=match_id,
            code=code.slug,
        )
        for fact, match_id, code in refused
    }
    if not rows:
        return
    RefusedFact.objects.bulk_create(
        rows.values(),
        update_conflicts=True,
        unique_fields=["device", "seq", "person"],
        update_fields=["fact", "match", "code", "received_at"],
    )
    _corrections_free(person, {row.fact for row in rows.values()})


def _corrections_free(person: Person, ids: Collection[UUID]) -> None:
    """A correction that came first waited for what is refused now: it stands by itself."""
    waiting = Fact.objects.filter(supersedes__in=ids, author=person, kind=FactKind.WEIGH_IN)
    by_match: dict[int, list[Fact]] = {}
    for fact in waiting.select_related("match"):
        by_match.setdefault(fact.match_id, []).append(fact)
    for facts in by_match.values():
        counter_lock(facts[0].club_id)
        weigh_ins_project(
            match=facts[0].match,
            pegs=frozenset(fact.peg for fact in facts),
            seeds={fact.pk for fact in facts},
        )
