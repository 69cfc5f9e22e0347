"""What stands because of the facts: weigh-ins and disagreements, worked out anew from the facts."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, replace
from uuid import UUID

from django.db.models import Q

from matches.models import (
    Disagreement,
    DisagreementKind,
    Fact,
    FactKind,
    Match,
    SectionPeg,
    WeighIn,
)
from matches.reads.phones import refused_links

from .rights import officials_of
from .standing import Circumstances, DisputeKey, Logged, Standing, fish_said, standing_of

CHAINED = (FactKind.WEIGH_IN, FactKind.SCRATCH)
Pegs = frozenset[str] | None  # None: every peg of the match


@dataclass(frozen=True, slots=True)
class Projection:
    """What the facts of the pegs looked at came to: for the outcomes of a batch."""

    waiting: frozenset[UUID]
    disputes: dict[DisputeKey, frozenset[UUID]]


def weigh_ins_project(
    *, match: Match, pegs: Pegs = None, seeds: Collection[UUID] = (), late: Collection[UUID] = ()
) -> Projection:
    """Make the match's weigh-ins and open disagreements say what its facts say.

    `pegs` limits it to what those pegs' facts touch (`seeds`: also these facts' chains). `late`
    are facts that came after confirmation, to be put before the secretary. Call it inside a
    transaction, under the club's lock; also after the draw or the pegs of a match changed.
    """
    facts, whole = _facts_load(match, pegs, frozenset(seeds))
    facts = _refused_leave(facts)
    disagreements = _disagreements_load(match, whole)
    where = _section_pegs(match)
    given = _circumstances(match, disagreements, late, where)
    standing = standing_of(facts, given=given)
    disputes = {key: frozenset(ids) for key, ids in standing.disputes.items()}
    _weigh_ins_write(match, facts, standing, where)
    _late_add(disputes, disagreements, facts, frozenset(late))
    _disagreements_write(match, disagreements, disputes, facts)
    return Projection(waiting=frozenset(standing.waiting), disputes=disputes)


# ---- reading -------------------------------------------------------------------------------


def _logged(match: Match, which: Q) -> list[Logged]:
    rows = Fact.objects.filter(which, match=match, kind__in=CHAINED).values_list(
        "id", "cseq", "author_id", "kind", "peg", "body", "supersedes"
    )
    out = []
    for fact_id, cseq, author, kind, peg, body, supersedes in rows.iterator():
        if kind == FactKind.SCRATCH:
            out.append(Logged(fact_id, cseq, author, peg, None, None, supersedes))
        elif isinstance(body.get("weight"), int):  # a redacted body holds none
            fish = fish_said(body.get("fish"))
            net, weight = body["net"], body["weight"]
            out.append(Logged(fact_id, cseq, author, peg, net, weight, supersedes, fish))
    return out


def _facts_load(match: Match, pegs: Pegs, seeds: frozenset[UUID]) -> tuple[list[Logged], Pegs]:
    """The facts of whole pegs and whole chains, and which pegs these are."""
    if pegs is None:
        return _logged(match, Q()), None
    links = {f.id: f for f in _logged(match, Q(supersedes__isnull=False))}
    if links:
        missing = {f.supersedes for f in links.values()} - links.keys()
        links |= {f.id: f for f in _logged(match, Q(pk__in=missing))}
    whole = _pegs_chained(links, pegs, seeds)
    facts = {f.id: f for f in _logged(match, Q(peg__in=whole))}
    facts |= {i: f for i, f in links.items() if f.peg in whole or f.is_scratch}
    return list(facts.values()), whole


def _refused_leave(facts: list[Logged]) -> list[Logged]:
    """What corrects a refused fact stands by itself; what withdraws one withdraws nothing."""
    here = {f.id for f in facts}
    refused = refused_links({f.supersedes for f in facts if f.supersedes} - here)
    if not refused:
        return facts
    freed = [
        replace(f, supersedes=None) if (f.supersedes, f.author) in refused else f for f in facts
    ]
    return [f for f in freed if f.supersedes is not None or not f.is_scratch]


def _pegs_chained(
    links: dict[UUID, Logged], pegs: frozenset[str], seeds: frozenset[UUID]
) -> frozenset[str]:
    """`pegs`, and every peg that a chain of corrections joins to them."""
    joined: dict[str, set[str]] = defaultdict(set)
    for f in links.values():
        if f.supersedes in links:
            one, other = f.peg, links[f.supersedes].peg
            joined[one].add(other)
            joined[other].add(one)
    todo = list(pegs | {links[s].peg for s in seeds if s in links})
    seen = set(todo)
    while todo:
        fresh = joined[todo.pop()] - seen
        seen |= fresh
        todo += fresh
    return frozenset(seen)


@dataclass(slots=True)
class _Disagreement:
    row: Disagreement
    facts: frozenset[UUID]

    @property
    def key(self) -> DisputeKey:
        return (self.row.kind, self.row.peg, self.row.net)

    @property
    def is_open(self) -> bool:
        return self.row.ruling_id is None

    @property
    def chosen(self) -> UUID | None:
        """What a ruling let stand; None while open, when it fell away by a correction, or when
        nothing of it may stand."""
        ruling = self.row.ruling
        if ruling is None or ruling.kind != FactKind.RULING or ruling.body["stands"] is None:
            return None
        return UUID(ruling.body["stands"])


def _disagreements_load(match: Match, pegs: Pegs) -> list[_Disagreement]:
    rows = Disagreement.objects.filter(match=match).select_related("ruling")
    if pegs is not None:
        rows = rows.filter(peg__in=pegs)
    found = list(rows)
    facts: dict[int, set[UUID]] = defaultdict(set)
    if found:
        pairs = Disagreement.facts.through.objects.filter(disagreement__in=found)
        for row_id, fact_id in pairs.values_list("disagreement_id", "fact_id"):
            facts[row_id].add(fact_id)
    return [_Disagreement(row, frozenset(facts[row.pk])) for row in found]


def _section_pegs(match: Match) -> dict[str, tuple[int, bool]]:
    """By the peg's number: its row for the day, and whether somebody drew it."""
    rows = SectionPeg.objects.filter(match=match).values_list("peg__number", "pk", "drawn_peg__pk")
    return {number: (pk, drawn is not None) for number, pk, drawn in rows}


def _circumstances(
    match: Match,
    disagreements: Sequence[_Disagreement],
    late: Collection[UUID],
    where: dict[str, tuple[int, bool]],
) -> Circumstances:
    held = set(late)
    ruled_in: set[UUID] = set()
    ruled_out: set[UUID] = set()
    acknowledged: set[UUID] = set()
    for d in disagreements:
        if d.row.kind == DisagreementKind.LATE:
            held |= d.facts
            ruled_in |= {d.chosen} if d.chosen else set()
        elif d.chosen and d.row.kind == DisagreementKind.UNDRAWN_PEG:
            acknowledged |= d.facts
        elif d.chosen:
            ruled_out |= d.facts - {d.chosen}
    return Circumstances(
        officials=officials_of(match),
        drawn=frozenset(number for number, (_, drawn) in where.items() if drawn),
        held=frozenset(held - ruled_in),
        ruled_out=frozenset(ruled_out),
        acknowledged=frozenset(acknowledged),
    )


# ---- writing -------------------------------------------------------------------------------


def _weigh_ins_write(
    match: Match,
    facts: Iterable[Logged],
    standing: Standing,
    where: dict[str, tuple[int, bool]],
) -> None:
    """Rows for the leaves whose peg is in use; at no moment do two stand for one net."""
    wanted = {
        leaf.fact.id: WeighIn(
            match=match,
            section_peg_id=where[leaf.fact.peg][0],
            net=leaf.net,
            weight=leaf.weight,
            fish=None if leaf.fish is None else [list(pair) for pair in leaf.fish],
            stands=leaf.stands,
            fact_id=leaf.fact.id,
        )
        for leaf in standing.leaves
        if leaf.fact.peg in where
    }
    looked_at = {f.id for f in facts}
    stored = {
        row.fact_id: row for row in WeighIn.objects.filter(match=match) if row.fact_id in looked_at
    }
    stale = [row.pk for i, row in stored.items() if i not in wanted or _moved(row, wanted[i])]
    if stale:
        WeighIn.objects.filter(pk__in=stale).delete()
    kept = {i: row for i, row in stored.items() if row.pk not in set(stale)}
    for stands in (False, True):
        turned = [r.pk for i, r in kept.items() if wanted[i].stands is stands is not r.stands]
        if turned:
            WeighIn.objects.filter(pk__in=turned).update(stands=stands)
    WeighIn.objects.bulk_create([row for i, row in wanted.items() if i not in kept])


def _moved(row: WeighIn, to: WeighIn) -> bool:
    """A peg's row can change under a fact (a new draw of sections), and fish that were missing
    can come with another's equal weight; what it says of the weight cannot."""
    return row.section_peg_id != to.section_peg_id or row.fish != to.fish


def _late_add(
    disputes: dict[DisputeKey, frozenset[UUID]],
    disagreements: Sequence[_Disagreement],
    facts: Sequence[Logged],
    late: frozenset[UUID],
) -> None:
    """Late facts stay before the secretary until a ruling: no correction makes them fall away."""
    by_id = {f.id: f for f in facts}
    for d in disagreements:
        if d.is_open and d.row.kind == DisagreementKind.LATE:
            disputes[d.key] = disputes.get(d.key, frozenset()) | d.facts
    for fact_id in late & by_id.keys():
        fact = by_id[fact_id]
        of = by_id.get(fact.supersedes, fact) if fact.supersedes and fact.is_scratch else fact
        key: DisputeKey = (DisagreementKind.LATE, *of.key)
        disputes[key] = disputes.get(key, frozenset()) | {fact_id}


def _disagreements_write(
    match: Match,
    disagreements: Sequence[_Disagreement],
    disputes: dict[DisputeKey, frozenset[UUID]],
    facts: Sequence[Logged],
) -> None:
    """Open what is new, bring the facts of the open up to date, close what fell away."""
    known = {d.key: d for d in disagreements if d.is_open}
    for key, ids in disputes.items():
        if key not in known:
            kind, peg, net = key
            row = Disagreement.objects.create(match=match, kind=kind, peg=peg, net=net)
            row.facts.set(Fact.objects.filter(pk__in=ids))
        elif known[key].facts != ids:
            known[key].row.facts.set(Fact.objects.filter(pk__in=ids))
    newest = max(facts, key=lambda f: f.cseq, default=None)
    for key, d in known.items():
        if key not in disputes and newest is not None:
            d.row.ruling_id = _settled_by(d, facts, newest)
            d.row.save(update_fields=["ruling"])


def _settled_by(d: _Disagreement, facts: Iterable[Logged], newest: Logged) -> UUID:
    """The fact that made it fall away: the last that corrects one of its facts, or the newest."""
    by = [f for f in facts if f.supersedes in d.facts]
    return max(by, key=lambda f: f.cseq, default=newest).id
