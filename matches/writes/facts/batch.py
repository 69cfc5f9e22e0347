"""One club's part of a batch: what is here already, and storing what is new."""

from __future__ import annotations

from collections.abc import Sequence
from uuid import UUID

from django.db import DatabaseError, IntegrityError, OperationalError, transaction
from django.utils.translation import gettext as _

from matches.models import Fact, FactKind, Person
from matches.problems import Code, Problem, bad_field
from matches.reckon.errors import Fault

from .checking import Checked
from .counter import counter_lock, counter_raise
from .effects import Target, effects_apply
from .outcomes import Outcome, Verdict
from .refusals import refusals_keep
from .rulings import Rulings


class ClubBatch:
    """The facts of one batch that belong to one club, stored in one transaction."""

    def __init__(self, person: Person, *, club_id: int, batch: Sequence[Checked]) -> None:
        self.person = person
        self.club_id = club_id
        self.batch = batch
        self.outcomes: dict[int, Outcome] = {}
        self.incoming = {one.fact.id: one for one in reversed(batch)}

    def store(self) -> dict[int, Outcome]:
        last = counter_lock(self.club_id)
        self.known = self._known_load()
        self.targets = {one.fact.id: t for one in self.batch if (t := self._target(one))}
        self.rulings = Rulings([one.fact for one in self.batch], club_id=self.club_id)
        stored = self._rows_insert([one for one in self.batch if self._is_new(one)], last)
        if stored:
            counter_raise(self.club_id, to=stored[-1][1].cseq)
        self._refusals_keep()
        self.outcomes |= effects_apply(stored=stored, rulings=self.rulings, targets=self.targets)
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
        target = self.targets.get(fact.id)
        if target is None:
            return
        if target.match_id != fact.match or not _kinds_fit(fact.kind, target.kind):
            words = _("Only a fact of the same match and kind can be superseded.")
            raise bad_field("/supersedes", words)
        others = target.author_id != one.author_id and not one.rights.official
        if others and fact.kind != FactKind.WEIGH_IN:
            raise Problem(
                Code.NOT_ALLOWED,
                _("Only who logged it, a weigher or the secretary may change it."),
                Fault("/supersedes", _("Somebody else logged this.")),
            )

    def _target(self, one: Checked) -> Target | None:
        """What it supersedes, as far as that is here."""
        if one.fact.supersedes is None:
            return None
        row = self.known.get(one.fact.supersedes)
        if row is not None:
            return _target_of(row) if row.club_id == self.club_id else None
        beside = self.incoming.get(one.fact.supersedes)
        if beside is None:
            return None
        fact = beside.fact
        return Target(fact.match, fact.kind, beside.author_id, fact.peg, stored=False)

    def _refusals_keep(self) -> None:
        refusals_keep(
            self.person,
            refused=[
                (one.fact, one.fact.match, outcome.problem.code)
                for one in self.batch
                if (outcome := self.outcomes.get(one.at))
                and outcome.verdict is Verdict.REFUSED
                and outcome.problem
                and not one.by.carried
            ],
        )

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
            author_id=one.author_id,
            carried_by_id=self.person.pk if one.by.carried else None,
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


def _seen_before(one: Checked, row: Fact) -> Outcome:
    """The same fact again, or another under the same id: the first is kept, never merged."""
    same = row.digest == one.digest and row.match_id == one.fact.match
    if same and row.author_id == one.author_id:
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
    return Outcome(str(one.fact.id), Verdict.REFUSED, problem=bad_field("", words))


def _target_of(row: Fact) -> Target:
    return Target(row.match_id, row.kind, row.author_id, row.peg, stored=True)


def _kinds_fit(kind: str, target: str) -> bool:
    """A scratch withdraws what was logged; everything else corrects its own kind."""
    if kind == FactKind.SCRATCH:
        return target not in (FactKind.SCRATCH, FactKind.RULING)
    return kind == target
