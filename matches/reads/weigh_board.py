"""All that the weigh board shows, in as many queries for two hundred pegs as for two."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from uuid import UUID

from django.db.models import F

from matches.models import (
    Disagreement,
    DisagreementKind,
    FactKind,
    Match,
)
from matches.reckon.walking import Stop, walk
from matches.reckon.weights import weight_unusual

from .board_match import BoardMatch
from .phones import PhoneNumbers, phones_of
from .result_rows import MatchResult, NetWeight, ResultEntry
from .results import match_result
from .weigh_facts import (
    Told,
    facts_told,
    nets_told,
    seen_by,
    withdrawn_by_themselves,
)
from .weighers import weighers_named


@dataclass(frozen=True, slots=True)
class NetShown:
    """One net on the board: what stands, who saw it, and all that was ever logged of it.

    `unusual`: so far above the rest that somebody should look again.
    """

    net: NetWeight
    seen_by: tuple[str, ...]
    trail: tuple[Told, ...]
    unusual: bool

    @property
    def by_two(self) -> bool:
        """Whether more than one person saw it."""
        return len(self.seen_by) > 1

    @property
    def carried(self) -> Told | None:
        """What stands, if not its author's phone but a mate's sent it."""
        return next((f for f in self.trail if f.carried_by and str(f.id) == self.net.fact), None)

    @property
    def differed(self) -> bool:
        """Whether something was corrected, or another weight or count was logged."""
        corrected = any(f.supersedes for f in self.trail)
        return corrected or len({(f.weight, f.fish) for f in self.trail}) > 1

    @property
    def reweighed(self) -> bool:
        """Whether what stands was weighed a second time."""
        return any(f.reweigh and str(f.id) == self.net.fact for f in self.trail)


@dataclass(frozen=True, slots=True)
class RowShown:
    """One angler on the board, net by net."""

    entry: ResultEntry
    nets: tuple[NetShown, ...]

    @property
    def trail(self) -> tuple[Told, ...]:
        """What was logged of the nets of which not everybody said the same."""
        return tuple(f for n in self.nets if n.differed for f in n.trail)


@dataclass(frozen=True, slots=True)
class SectionShown:
    """A section in bank order; `walk` is who is still to weigh as the scales come by."""

    label: str
    rows: tuple[RowShown, ...]
    walk: tuple[ResultEntry, ...]


@dataclass(frozen=True, slots=True)
class Side:
    """One fact of a disagreement. `stands`: it is the one that is placed until it is settled."""

    fact: Told
    phone: str
    stands: bool


@dataclass(frozen=True, slots=True)
class ToSettle:
    """An open disagreement. `may_void`: a late fact where nothing stands, that may come to nothing.
    `before`: what stands beside a late fact, when it is none of its sides."""

    row: Disagreement
    sides: tuple[Side, ...]
    before: NetWeight | None
    may_void: bool


@dataclass(frozen=True, slots=True)
class WeighBoard:
    """What the board shows. `rules`: to one who may settle. `to_come`, `refused`: numbers by phone
    that did not arrive, or were refused. `phones`: what each is called. `last_section`: where
    somebody weighed last."""

    match: Match
    rules: bool
    result: MatchResult
    sections: tuple[SectionShown, ...]
    to_settle: tuple[ToSettle, ...]
    to_come: tuple[PhoneNumbers, ...]
    refused: tuple[PhoneNumbers, ...]
    phones: Mapping[UUID, str]
    biggest_fish: tuple[Told, ResultEntry | None] | None
    last_section: str | None


def weigh_board(of: BoardMatch) -> WeighBoard:
    """What stands and what was told of it. Six queries."""
    open_rows = _open_rows(of.match)
    result = match_result(of.match, disagreements=len(open_rows))
    facts = facts_told(of.match, besides=of.biggest_fish)
    phones = phones_of({fact.device for fact in facts}, match=of.match)
    return WeighBoard(
        match=of.match,
        rules=of.rules,
        result=result,
        sections=_sections(result, facts),
        to_settle=tuple(_to_settle(open_rows, result, facts, phones.labels)),
        to_come=phones.to_come,
        refused=phones.refused,
        phones=phones.labels,
        biggest_fish=_fish_shown(of.biggest_fish, result, facts),
        last_section=_last_section(result, facts),
    )


def next_to_weigh(board: WeighBoard) -> str:
    """The peg the scales come to next: on from where somebody weighed last; "" when all have."""
    walks = [s.walk for s in board.sections if s.walk]
    if not walks:
        return ""
    if board.last_section is not None:
        for section in board.sections:
            if section.label == board.last_section and section.walk:
                return section.walk[0].peg
    return walks[0][0].peg


def weighers_of(match: Match) -> list[str]:
    """The names of the match's weighers: who may have seen a weight."""
    return [person.name for person in weighers_named(match)]


def _sections(result: MatchResult, facts: Sequence[Told]) -> tuple[SectionShown, ...]:
    trails = nets_told(facts)
    withdrawn = withdrawn_by_themselves(facts)
    weights = sorted(n.weight for e in result.entries() for n in e.nets)

    def shown(entry: ResultEntry, net: NetWeight) -> NetShown:
        trail = tuple(trails.get((entry.peg, net.net), ()))
        others = weights[-4:]
        if net.weight in others:
            others.remove(net.weight)
        return NetShown(
            net,
            tuple(seen_by(UUID(net.fact), trail, withdrawn=withdrawn)) if len(trail) > 1 else (),
            trail,
            weight_unusual(net.weight, unit=result.match.unit, others=others),
        )

    latest = {f.peg: f.cseq for f in facts if f.kind == FactKind.WEIGH_IN}
    return tuple(
        SectionShown(
            section.label,
            tuple(RowShown(e, tuple(shown(e, n) for n in e.nets)) for e in section.entries),
            _walk(section.label, result, latest),
        )
        for section in result.sections
    )


def _walk(label: str, result: MatchResult, latest: Mapping[str, int]) -> tuple[ResultEntry, ...]:
    """On from the peg of the section that was weighed last."""
    pegs = [p for p in result.pegs if p.section == label]
    last = max((p.peg for p in pegs if p.peg in latest), key=lambda peg: latest[peg], default=None)
    stops = [Stop(p.peg, p.side, p.entry is not None and p.entry.to_weigh) for p in pegs]
    by_peg = {p.peg: p.entry for p in pegs if p.entry is not None}
    return tuple(by_peg[peg] for peg in walk(stops, after=last))


def _last_section(result: MatchResult, facts: Sequence[Told]) -> str | None:
    """Where somebody weighed last."""
    last = next((f.peg for f in reversed(facts) if f.kind == FactKind.WEIGH_IN), None)
    return next((p.section for p in result.pegs if p.peg == last), None)


def _open_rows(match: Match) -> list[tuple[Disagreement, frozenset[UUID]]]:
    """The open disagreements with the ids of their facts, oldest first. One query."""
    facts: defaultdict[int, set[UUID]] = defaultdict(set)
    rows: dict[int, Disagreement] = {}
    found = Disagreement.objects.filter(match=match, ruling__isnull=True).order_by("pk")
    for row in found.annotate(of_fact=F("facts")):
        rows[row.pk] = row
        facts[row.pk].add(row.of_fact)
    return [(row, frozenset(facts[pk])) for pk, row in rows.items()]


def _to_settle(
    open_rows: Iterable[tuple[Disagreement, frozenset[UUID]]],
    result: MatchResult,
    facts: Sequence[Told],
    phones: Mapping[UUID, str],
) -> Iterator[ToSettle]:
    known = {f.id: f for f in facts}
    standing = {(e.peg, n.net): n for e in result.entries() for n in e.nets}
    placed = {n.fact for n in standing.values()}
    for row, ids in open_rows:
        sides = sorted((known[i] for i in ids if i in known), key=lambda f: f.cseq)
        late = row.kind == DisagreementKind.LATE
        before = standing.get((row.peg, row.net or 0)) if late else None
        if before is not None and UUID(before.fact) in ids:
            before = None
        yield ToSettle(
            row,
            tuple(Side(f, phones.get(f.device, ""), str(f.id) in placed) for f in sides),
            before,
            may_void=late and before is None and not any(str(f.id) in placed for f in sides),
        )


def _fish_shown(
    fish: UUID | None, result: MatchResult, facts: Iterable[Told]
) -> tuple[Told, ResultEntry | None] | None:
    note = next((f for f in facts if f.id == fish), None)
    if note is None:
        return None
    return note, next((e for e in result.entries() if e.peg == note.peg), None)
