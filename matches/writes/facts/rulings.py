"""Rulings: the secretary says which fact of a disagreement stands."""

from __future__ import annotations

from collections.abc import Sequence
from uuid import UUID

from django.db.models import QuerySet
from django.utils.translation import gettext as _

from matches.models import Disagreement, DisagreementKind, Fact, FactKind, Person, WeighIn
from matches.problems import Code, Problem, bad_field
from matches.writes.audit import audit_record

from .shape import FactIn


class Rulings:
    """The disagreements that the rulings of one batch are about. Two queries if there are any."""

    def __init__(self, facts: Sequence[FactIn], *, club_id: int) -> None:
        asked = {f.body["disagreement"] for f in facts if f.kind == FactKind.RULING}
        self.rows: dict[int, Disagreement] = {}
        if asked:
            rows = Disagreement.objects.filter(pk__in=asked, match__club_id=club_id)
            self.rows = {row.pk: row for row in rows.prefetch_related("facts")}
        self._ruled_here: set[int] = set()

    def check(self, fact: FactIn) -> None:
        """Raise Problem unless this ruling settles something that is open, by one of its facts."""
        row = self.rows.get(fact.body["disagreement"])
        if row is None or row.match_id != fact.match:
            raise bad_field("/body/disagreement", _("There is no such disagreement in this match."))
        again = row.ruling_id is not None and fact.supersedes == row.ruling_id
        if (row.ruling_id is not None and not again) or row.pk in self._ruled_here:
            raise Problem(
                Code.CONFLICT, _("This was settled already. Look again before you rule on it.")
            )
        if not _may_stand(row, fact.body["stands"]):
            raise bad_field(
                "/body/stands", _("Choose one of the facts that disagree; they may have changed.")
            )
        self._ruled_here.add(row.pk)

    def apply(self, person: Person, *, fact: Fact) -> str:
        """Settle the disagreement by the stored ruling; the peg whose standing changes."""
        row = self.rows[fact.body["disagreement"]]
        if row.kind == DisagreementKind.LATE:
            # From here on it is settled between these: what stood before is one of them.
            row.facts.add(*Fact.objects.filter(weigh_in__in=_of_net(row).filter(stands=True)))
        row.ruling = fact
        row.save(update_fields=["ruling"])
        audit_record(
            club=fact.club,
            person=person,
            verb="disagreement_rule",
            subject=row,
            detail={"disagreement": row.pk, "stands": fact.body["stands"]},
        )
        return row.peg


def _may_stand(row: Disagreement, stands: str | None) -> bool:
    """One of the facts that disagree; against a late fact, also what stood before it, or nothing
    (None) where nothing did."""
    if stands is None:
        late = row.kind == DisagreementKind.LATE
        return late and not _of_net(row).filter(stands=True).exists()
    chosen = UUID(stands)
    if any(f.pk == chosen for f in row.facts.all()):
        return True
    return row.kind == DisagreementKind.LATE and _of_net(row).filter(fact_id=chosen).exists()


def _of_net(row: Disagreement) -> QuerySet[WeighIn]:
    """The weigh-ins of the peg and net that the disagreement is about."""
    found = WeighIn.objects.filter(match_id=row.match_id, section_peg__peg__number=row.peg)
    return found.filter(net=row.net) if row.net is not None else found.none()
