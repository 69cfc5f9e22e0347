"""Taking in a batch of facts: one outcome each, every fact stored at most once."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from typing import Any
from uuid import UUID

from django.db import DatabaseError, IntegrityError, OperationalError, transaction
from django.utils.translation import gettext as _

from matches.models import Fact, FactKind, Match, MatchState, Person
from matches.problems import Code, Problem
from matches.reckon.errors import Fault
from matches.writes.audit import audit_record

from .bodies import BodyCheck
from .checking import Checked, facts_check
from .counter import counter_lock, counter_raise
from .outcomes import Outcome, Rival, Verdict
from .projection import CHAINED, Projection, weigh_ins_project
from .rulings import Rulings

RETRY_SECONDS = 2


def facts_store(
    person: Person, *, facts: Sequence[Any], body_checks: Mapping[str, BodyCheck]
) -> list[Outcome]:
    """Store what can be stored of `facts` (as parsed from JSON) as facts of `person`.

    One outcome a fact, in the same order. One transaction a club, with its counter row locked
    from before the first insert to the end. Raises Problem BUSY when the database does not
    answer: then nothing of the batch was stored, and it may be sent again as it is.
    """
    checked, outcomes = facts_check(person, facts=facts, body_checks=body_checks)
    by_club: dict[int, list[Checked]] = defaultdict(list)
    for one in checked:
        by_club[one.rights.match.club_id].append(one)
    for club_id, batch in by_club.items():
        try:
            with transaction.atomic():
                outcomes |= _ClubBatch(person, club_id, batch).store()
        except OperationalError as error:
            _later_or_raise(batch, outcomes, error)
    return [outcomes[at] for at in range(len(facts))]


def _later_or_raise(
    batch: Sequence[Checked], outcomes: dict[int, Outcome], error: OperationalError
) -> None:
    """When another club's facts were stored already, only these are to be sent again."""
    if not any(outcome.stored for outcome in outcomes.values()):
        raise Problem(
            Code.BUSY, _("The database did not answer. Nothing was stored; try again in a moment.")
        ) from error
    for one in batch:
        outcomes[one.at] = Outcome(str(one.fact.id), Verdict.LATER, after=RETRY_SECONDS)


class _ClubBatch:
    """The facts of one batch that belong to one club, stored in one transaction."""

    def __init__(self, person: Person, club_id: int, batch: Sequence[Checked]) -> None:
        self.person = person
        self.club_id = club_id
        self.batch = batch
        self.outcomes: dict[int, Outcome] = {}
        self.incoming = {one.fact.id: one for one in reversed(batch)}

    def store(self) -> dict[int, Outcome]:
        last = counter_lock(self.club_id)
        self.known = self._known_load()
        self.rulings = Rulings([one.fact for one in self.batch], club_id=self.club_id)
        self.states = dict(
            Match.objects.filter(pk__in={one.fact.match for one in self.batch}).values_list(
                "pk", "state"
            )
        )
        stored = self._rows_insert([one for one in self.batch if self._is_new(one)], last)
        if stored:
            counter_raise(self.club_id, to=stored[-1][1].cseq)
        self._effects(stored)
        self._twins_answer()
        return self.outcomes

    # ---- what is here already --------------------------------------------------------------

    def _known_load(self) -> dict[UUID, Fact]:
        """The stored facts with an id of this batch, or that one of its facts supersedes."""
        ids = {one.fact.id for one in self.batch}
        ids |= {one.fact.supersedes for one in self.batch if one.fact.supersedes}
        rows = Fact.objects.filter(pk__in=ids).only(
            "id", "club_id", "match_id", "kind", "author_id", "digest", "cseq", "peg"
        )
        return {row.pk: row for row in rows}

    def _is_new(self, one: Checked) -> bool:
        """Whether to insert it; if not, its outcome is noted (a twin's after its first)."""
        fact = one.fact
        if fact.id in self.known:
            self.outcomes[one.at] = _seen_before(one, self.known[fact.id])
            return False
        if self.incoming[fact.id] is not one:
            return False
        try:
            self._link_check(one)
            if fact.kind == FactKind.RULING:
                self.rulings.check(fact)
        except Problem as problem:
            self.outcomes[one.at] = Outcome(str(fact.id), Verdict.REFUSED, problem=problem)
            return False
        return True

    def _link_check(self, one: Checked) -> None:
        """What is superseded must be of this match and kind, and one's own or an official's.

        What is not here yet is not asked; another club's facts are never here.
        """
        fact = one.fact
        target = self._target(one)
        if target is None:
            return
        match_id, kind, author_id = target
        fits = fact.kind == FactKind.SCRATCH and kind not in (FactKind.SCRATCH, FactKind.RULING)
        if match_id != fact.match or not (fits or (kind == fact.kind != FactKind.SCRATCH)):
            words = _("Only a fact of the same match and kind can be superseded.")
            raise Problem(Code.BAD_INPUT, words, Fault("/supersedes", words))
        others = author_id != self.person.pk and not one.rights.official
        if others and fact.kind != FactKind.WEIGH_IN:
            raise Problem(
                Code.NOT_ALLOWED,
                _("Only who logged it, a weigher or the secretary may change it."),
                Fault("/supersedes", _("Somebody else logged this.")),
            )

    def _target(self, one: Checked) -> tuple[int, str, int] | None:
        """Match, kind and author of what it supersedes, as far as it is here."""
        if one.fact.supersedes is None:
            return None
        row = self.known.get(one.fact.supersedes)
        if row is not None and row.club_id == self.club_id:
            return row.match_id, row.kind, row.author_id
        beside = self.incoming.get(one.fact.supersedes)
        if row is None and beside is not None:
            return beside.fact.match, beside.fact.kind, self.person.pk
        return None

    def _twins_answer(self) -> None:
        """Facts that came twice in one batch: the first was stored, the others are told so."""
        left = [one for one in self.batch if one.at not in self.outcomes]
        if not left:
            return
        rows = Fact.objects.in_bulk([one.fact.id for one in left])
        for one in left:
            first = self.outcomes[self.incoming[one.fact.id].at]
            row = rows.get(one.fact.id)
            self.outcomes[one.at] = _seen_before(one, row) if row else first

    # ---- storing ---------------------------------------------------------------------------

    def _row(self, one: Checked, cseq: int) -> Fact:
        fact = one.fact
        return Fact(
            id=fact.id,
            club_id=self.club_id,
            match_id=fact.match,
            device=fact.device,
            seq=fact.seq,
            kind=fact.kind,
            peg=fact.peg,
            recorded_at=fact.recorded_at,
            clock_offset_ms=fact.clock_offset_ms,
            supersedes=fact.supersedes,
            body=fact.body,
            digest=one.digest,
            author_id=self.person.pk,
            cseq=cseq,
        )

    def _rows_insert(self, new: Sequence[Checked], last: int) -> list[tuple[Checked, Fact]]:
        """All in one insert; when the database refuses that, each in a savepoint of its own."""
        rows = [(one, self._row(one, last + n)) for n, one in enumerate(new, 1)]
        if not rows:
            return []
        try:
            with transaction.atomic():
                Fact.objects.bulk_create([row for _one, row in rows])
        except OperationalError:
            raise
        except DatabaseError:
            return self._rows_insert_singly(new, last)
        return rows

    def _rows_insert_singly(self, new: Sequence[Checked], last: int) -> list[tuple[Checked, Fact]]:
        stored = []
        for one in new:
            row = self._row(one, last + 1)
            try:
                with transaction.atomic():
                    row.save(force_insert=True)
            except OperationalError:
                raise
            except DatabaseError as error:
                self.outcomes[one.at] = _database_refusal(one, error)
                continue
            last += 1
            stored.append((one, row))
        return stored

    # ---- what follows from it --------------------------------------------------------------

    def _effects(self, stored: Sequence[tuple[Checked, Fact]]) -> None:
        by_match: dict[int, list[tuple[Checked, Fact]]] = defaultdict(list)
        for one, row in stored:
            by_match[one.fact.match].append((one, row))
        for pairs in by_match.values():
            match = pairs[0][0].rights.match
            projection = self._match_effects(match, pairs)
            self._outcomes_note(pairs, projection)

    def _match_effects(
        self, match: Match, pairs: Sequence[tuple[Checked, Fact]]
    ) -> Projection | None:
        """Bring weigh-ins, disagreements and the state of one match up to date."""
        pegs = {
            self.rulings.apply(self.person, fact=row)
            for _one, row in pairs
            if row.kind == FactKind.RULING
        }
        chained = [(one, row) for one, row in pairs if row.kind in CHAINED]
        if not chained and not pegs:
            return None
        pegs |= {row.peg for _one, row in chained}
        pegs |= {self.known[s].peg for _one, r in chained if (s := r.supersedes) in self.known}
        late = [row.pk for one, row in chained if self._is_late(one)]
        if any(row.kind == FactKind.WEIGH_IN for _one, row in chained):
            self._weighing_begin(match)
        return weigh_ins_project(
            match=match,
            pegs=frozenset(pegs),
            seeds={row.pk for _one, row in chained},
            late=late,
        )

    def _is_late(self, one: Checked) -> bool:
        """After confirmation, or from somebody who left the club: not refused, but to settle.

        Notes never change a result, so they are not put before anybody.
        """
        if one.fact.kind == FactKind.SCRATCH:
            target = self._target(one)
            if target is not None and target[1] != FactKind.WEIGH_IN:
                return False
        closed = self.states[one.fact.match] == MatchState.CONFIRMED
        return closed or not one.rights.member

    def _weighing_begin(self, match: Match) -> None:
        """The first weigh-in moves a drawn match on."""
        if self.states[match.pk] != MatchState.DRAWN:
            return
        Match.objects.filter(pk=match.pk, state=MatchState.DRAWN).update(state=MatchState.WEIGHING)
        audit_record(
            club=match.club, person=self.person, verb="weighing_begin", subject=match, detail={}
        )

    def _outcomes_note(
        self, pairs: Sequence[tuple[Checked, Fact]], projection: Projection | None
    ) -> None:
        disputed = _rivals(projection, {row.pk for _one, row in pairs})
        here = self._targets_here(pairs)
        for one, row in pairs:
            if row.pk in disputed:
                verdict = Verdict.DISAGREES
            elif self._waits(one, projection, here):
                verdict = Verdict.WAITING
            else:
                verdict = Verdict.ACCEPTED
            self.outcomes[one.at] = Outcome(
                str(row.pk), verdict, cseq=row.cseq, rivals=disputed.get(row.pk, ())
            )

    def _waits(self, one: Checked, projection: Projection | None, here: set[UUID]) -> bool:
        """Whether what it supersedes is not here, or (for weigh-ins) waits itself."""
        if one.fact.supersedes is None:
            return False
        if one.fact.supersedes not in here:
            return True
        target = self._target(one)
        of_weigh_in = target is not None and target[1] == FactKind.WEIGH_IN
        return of_weigh_in and projection is not None and one.fact.id in projection.waiting

    def _targets_here(self, pairs: Iterable[tuple[Checked, Fact]]) -> set[UUID]:
        """Which of the superseded facts are stored, before or with this batch."""
        here = {pk for pk, row in self.known.items() if row.club_id == self.club_id}
        return here | {row.pk for _one, row in pairs}


def _seen_before(one: Checked, row: Fact) -> Outcome:
    """The same fact again, or another under the same id: the first is kept, never merged."""
    if row.digest == one.digest and row.match_id == one.fact.match:
        return Outcome(str(row.pk), Verdict.DUPLICATE, cseq=row.cseq)
    words = _("Another fact already has this id. Give yours a new one.")
    return Outcome(
        str(row.pk), Verdict.CLASH, problem=Problem(Code.CONFLICT, words, Fault("/id", words))
    )


def _database_refusal(one: Checked, error: DatabaseError) -> Outcome:
    """What the database would not store, in the words of the checks that run before it."""
    if isinstance(error, IntegrityError):
        row = Fact.objects.filter(pk=one.fact.id).first()
        if row is not None:
            return _seen_before(one, row)
    words = _("The database cannot hold this as it is. Log it again with plainer values.")
    return Outcome(
        str(one.fact.id), Verdict.REFUSED, problem=Problem(Code.BAD_INPUT, words, Fault("", words))
    )


def _rivals(projection: Projection | None, mine: set[UUID]) -> dict[UUID, tuple[Rival, ...]]:
    """For each of `mine` in an open disagreement: whom it disagrees with."""
    disputes = projection.disputes if projection else {}
    touched = {key: ids for key, ids in disputes.items() if ids & mine}
    if not touched:
        return {}
    every = set().union(*touched.values())
    authors = {f.pk: f.author for f in Fact.objects.filter(pk__in=every).select_related("author")}
    found: dict[UUID, tuple[Rival, ...]] = defaultdict(tuple)
    for (kind, _peg, _net), ids in touched.items():
        for fact_id in ids & mine:
            found[fact_id] += tuple(
                Rival(other, authors[other].get_full_name() or authors[other].username, str(kind))
                for other in sorted(ids - {fact_id})
            )
    return found
