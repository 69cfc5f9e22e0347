"""Stakes taken into a pool and given back. Rows are only ever added; a tap sent twice finds that
nothing is open any more."""

from __future__ import annotations

from collections.abc import Collection

from django.db import transaction
from django.utils.translation import gettext as _

from matches.models import FeePayment, Match, Person
from matches.problems import Code, Problem

from .audit import audit_record
from .locks import match_locked
from .pools import account_of, pool_of


def stakes_take(
    person: Person, *, match: Match, pool_id: int, entry_ids: Collection[int]
) -> list[FeePayment]:
    """Note of each of these that they paid what they owed; who owed nothing is passed over."""
    with transaction.atomic():
        match = match_locked(person, match=match)
        pool = pool_of(match, pool_id)
        open_ = {s.entry.pk: s.owes for s in account_of(pool).owing}
        made = [
            FeePayment.objects.create(entry_id=pk, pool=pool, pence=open_[pk], taken_by=person)
            for pk in sorted(set(entry_ids) & set(open_))
        ]
        if made:
            audit_record(
                club=match.club,
                person=person,
                verb="stakes_take",
                subject=pool,
                detail={
                    "match": match.pk,
                    "pool": pool.key,
                    "taken": [[p.entry_id, p.pence] for p in made],
                },
            )
        return made


def stake_give_back(
    person: Person, *, match: Match, pool_id: int, entry_id: int
) -> FeePayment | None:
    """Note that an entry got back what it paid too much, or what stayed when it withdrew; None
    where nothing of it is left. Raises Problem NOT_FOUND, CONFLICT."""
    with transaction.atomic():
        match = match_locked(person, match=match)
        pool = pool_of(match, pool_id)
        if not match.entries.filter(pk=entry_id).exists():
            raise Problem(Code.NOT_FOUND, _("No such entry in this match."))
        stake = next((s for s in account_of(pool).stakes if s.entry.pk == entry_id), None)
        pence = stake.to_give_back + stake.stays if stake else 0
        if not pence:
            return None
        made = FeePayment.objects.create(
            entry_id=entry_id, pool=pool, pence=-pence, taken_by=person
        )
        audit_record(
            club=match.club,
            person=person,
            verb="stake_give_back",
            subject=pool,
            detail={"match": match.pk, "pool": pool.key, "entry": entry_id, "pence": -pence},
        )
        return made
