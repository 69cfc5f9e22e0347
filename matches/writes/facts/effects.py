"""What follows from newly stored facts: standing, disagreements, the match's state, outcomes."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from uuid import UUID

from matches.models import Fact, FactKind, Match, MatchState, Person
from matches.reads.facts import author_initials, author_name
from matches.reads.phones import refused_links
from matches.writes.audit import audit_record

from .checking import Checked
from .outcomes import Outcome, Rival, Verdict
from .projection import CHAINED, Projection, weigh_ins_project
from .rulings import Rulings

Stored = tuple[Checked, Fact]


@dataclass(frozen=True, slots=True)
class Target:
    """What a fact supersedes. `stored` before this batch; if not, it came with it."""

    match_id: int
    kind: str
    author_id: int
    peg: str
    stored: bool


Targets = Mapping[UUID, Target]  # by the id of the fact that supersedes


def effects_apply(
    *, stored: Sequence[Stored], rulings: Rulings, targets: Targets
) -> dict[int, Outcome]:
    """Bring every match of `stored` up to date; the outcome of each fact, by its place."""
    by_match: dict[int, list[Stored]] = defaultdict(list)
    for one, row in stored:
        by_match[one.fact.match].append((one, row))
    states = dict(Match.objects.filter(pk__in=by_match).values_list("pk", "state"))
    outcomes: dict[int, Outcome] = {}
    for match_id, facts in by_match.items():
        projection = _match_update(
            facts=facts, state=states[match_id], rulings=rulings, targets=targets
        )
        outcomes |= _outcomes_of(facts, projection, targets)
    return outcomes


def _match_update(
    *, facts: Sequence[Stored], state: str, rulings: Rulings, targets: Targets
) -> Projection | None:
    """Weigh-ins, disagreements and the state of one match; None where nothing of it can change."""
    match = facts[0][0].rights.match
    ruled = [(one, row) for one, row in facts if row.kind == FactKind.RULING]
    pegs = {rulings.apply(one.by.author, fact=row) for one, row in ruled}
    chained = [(one, row) for one, row in facts if row.kind in CHAINED]
    if not chained and not pegs:
        return None
    pegs |= {row.peg for _one, row in chained}
    pegs |= {targets[row.pk].peg for _one, row in chained if row.pk in targets}
    first = next((one for one, row in chained if row.kind == FactKind.WEIGH_IN), None)
    if state == MatchState.DRAWN and first:
        _weighing_begin(first.by.author, match=match)
    return weigh_ins_project(
        match=match,
        pegs=frozenset(pegs),
        seeds={row.pk for _one, row in chained},
        late=[row.pk for one, row in chained if _is_late(one, state, targets.get(row.pk))],
    )


def _is_late(one: Checked, state: str, target: Target | None) -> bool:
    """After confirmation, from somebody who left the club, or signed with a key that was revoked:
    not refused, but to settle.

    Notes never change a result, so they are not put before anybody, nor is what withdraws one.
    """
    if one.fact.kind == FactKind.SCRATCH and target and target.kind != FactKind.WEIGH_IN:
        return False
    return state == MatchState.CONFIRMED or not one.rights.member or one.by.held


def _weighing_begin(person: Person, *, match: Match) -> None:
    """The first weigh-in moves a drawn match on."""
    Match.objects.filter(pk=match.pk, state=MatchState.DRAWN).update(state=MatchState.WEIGHING)
    audit_record(club=match.club, person=person, verb="weighing_begin", subject=match, detail={})


def _outcomes_of(
    facts: Sequence[Stored], projection: Projection | None, targets: Targets
) -> dict[int, Outcome]:
    disputed = _rivals(projection, facts)
    beyond = {row.supersedes for _one, row in facts if row.supersedes and row.pk not in targets}
    refused = refused_links(beyond)
    fresh = {row.pk for _one, row in facts}
    outcomes = {}
    for one, row in facts:
        if row.pk in disputed:
            verdict = Verdict.DISAGREES
        elif (row.supersedes, row.author_id) not in refused and _waits(
            row, targets.get(row.pk), projection, fresh
        ):
            verdict = Verdict.WAITING
        else:
            verdict = Verdict.ACCEPTED
        outcomes[one.at] = Outcome(
            str(row.pk), verdict, cseq=row.cseq, rivals=disputed.get(row.pk, ())
        )
    return outcomes


def _waits(
    row: Fact, target: Target | None, projection: Projection | None, fresh: set[UUID]
) -> bool:
    """Whether what it supersedes is not here, or (for weigh-ins) waits itself."""
    if row.supersedes is None:
        return False
    if target is None or not (target.stored or row.supersedes in fresh):
        return True
    of_weigh_in = target.kind == FactKind.WEIGH_IN
    return of_weigh_in and projection is not None and row.pk in projection.waiting


def _rivals(
    projection: Projection | None, facts: Sequence[Stored]
) -> dict[UUID, tuple[Rival, ...]]:
    """For each of `facts` in an open disagreement: whom it disagrees with.

    Who carries another's fact is told that it disagrees and no more.
    """
    mine = {row.pk for _one, row in facts}
    disputes = projection.disputes if projection else {}
    touched = {key: ids for key, ids in disputes.items() if ids & mine}
    if not touched:
        return {}
    found: dict[UUID, tuple[Rival, ...]] = dict.fromkeys(mine & set().union(*touched.values()), ())
    own = [(one, row) for one, row in facts if row.pk in found and not one.by.carried]
    if not own:
        return found
    every = set().union(*touched.values())
    rivals = Fact.objects.filter(pk__in=every).select_related("author")
    one, row = own[0]  # all of one match, from one person
    initials = {} if one.rights.official else author_initials(row.author_id, facts=rivals)
    names = {f.pk: initials.get(f.author_id, author_name(f)) for f in rivals}
    for (kind, _peg, _net), ids in touched.items():
        for fact_id in ids & {row.pk for _one, row in own}:
            found[fact_id] += tuple(
                Rival(other, names[other], str(kind)) for other in sorted(ids - {fact_id})
            )
    return found
