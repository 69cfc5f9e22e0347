"""What is left after a match goes back into the larder: each bait of each bag once."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from django.db import IntegrityError, transaction
from django.utils.translation import gettext as _

from bait.models import Bait, LarderLot, LotMove, LotState, MoveKind
from bait.reads.larder import may_move
from bait.reads.left_over import is_to_come, left_key
from bait.reckon.larder import use_by_default
from matches.models import Angler, Match, Person, Team
from matches.problems import Code, Problem
from matches.reckon.errors import BadInput, Fault, pointer
from matches.writes.audit import audit_record

from .larder import amount_fault


@dataclass(frozen=True, slots=True)
class LeftBack:
    """What comes back of one bait, in the bait's unit. `source`: whose bag it was in, None for what
    was in nobody's; `owner`: whose it is from now on, None for the team."""

    source: Angler | None
    owner: Angler | None
    bait: Bait
    amount: Decimal
    state: str


@dataclass(frozen=True, slots=True)
class PutBack:
    """How many rows went in now, and how many had gone in before."""

    now: int
    before: int


def leftovers_put(
    person: Person, *, team: Team, match: Match, rows: Sequence[LeftBack], today: dt.date
) -> PutBack:
    """Put all rows into the larder as lots of their own, or none of them.

    A bait of a bag goes back once per match, whoever saves it, and however often: what is there
    already is left as it is. Days of use count from the match.

    Raises Problem NOT_ALLOWED, CONFLICT before the match's day, BadInput pointing into a list
    `rows`.
    """
    _rows_check(person, team=team, rows=rows)
    if is_to_come(match, today=today):
        raise Problem(Code.CONFLICT, _("The match is still to come: nothing is left over yet."))
    try:
        return _put(person, team=team, match=match, rows=rows)
    except IntegrityError:
        # Somebody put the same back at the same moment: now it can be seen.
        return _put(person, team=team, match=match, rows=rows)


def _rows_check(person: Person, *, team: Team, rows: Sequence[LeftBack]) -> None:
    captain = may_move(person, team=team, angler=None)
    faults = []
    for at, row in enumerate(rows):
        for whose in (row.source, row.owner):
            own = whose is not None and whose.person_id == person.pk
            if not captain and not (own and may_move(person, team=team, angler=whose)):
                raise Problem(
                    Code.NOT_ALLOWED, _("Members put back what is left of their own bag.")
                )
        words = amount_fault(row.amount)
        if words:
            faults.append(Fault(pointer("rows", at, "amount"), words))
        if row.state not in LotState.values:
            faults.append(Fault(pointer("rows", at, "state"), _("Choose one of the list.")))
        if row.bait.club_id != team.club_id:
            faults.append(Fault(pointer("rows", at, "bait"), _("Choose one of the club's baits.")))
    if faults:
        raise BadInput(*faults)


def _put(person: Person, *, team: Team, match: Match, rows: Sequence[LeftBack]) -> PutBack:
    with transaction.atomic():
        keyed = {
            left_key(
                team_id=team.pk,
                match_id=match.pk,
                source=str(row.source.pk) if row.source else "team",
                bait_id=row.bait.pk,
            ): row
            for row in rows
        }
        there = set(LotMove.objects.filter(key__in=keyed).values_list("key", flat=True))
        new = {key: row for key, row in keyed.items() if key not in there}
        lots = LarderLot.objects.bulk_create(
            _lot(row, team=team, match=match) for row in new.values()
        )
        LotMove.objects.bulk_create(
            LotMove(
                key=key,
                lot=lot,
                kind=MoveKind.LEFT_OVER,
                amount=row.amount,
                match=match,
                person=person,
            )
            for (key, row), lot in zip(new.items(), lots, strict=True)
        )
        if new:
            audit_record(
                club=match.club,
                person=person,
                verb="larder.left_over",
                subject=f"match {match.pk} team {team.pk}",
                detail={"lots": len(new)},
            )
    return PutBack(now=len(new), before=len(there))


def _lot(row: LeftBack, *, team: Team, match: Match) -> LarderLot:
    return LarderLot(
        team=team,
        angler=row.owner,
        bait=row.bait,
        amount=row.amount,
        unit=row.bait.unit,
        state=row.state,
        bought_on=match.date,
        use_by=use_by_default(row.state, kind=row.bait.kind, since=match.date),
        note=_("left over: %(match)s") % {"match": match.name[:100]},
    )
