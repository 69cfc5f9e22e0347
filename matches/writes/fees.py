"""Entry fees taken and given back. Rows are only ever added, each under its own key."""

from __future__ import annotations

import uuid
from collections.abc import Collection

from django.db import IntegrityError, transaction
from django.utils.translation import gettext as _

from matches.models import Entry, FeePayment, Match, Person
from matches.problems import Code, Problem, bad_field
from matches.reads.fees import fee_paid, fees_of
from matches.reckon.money import pence_format
from matches.reckon.reading import is_storable

from .audit import audit_record
from .entries import entry_of
from .locks import match_locked

PENCE_MOST = 1_000_000
NOTE_MOST = 120


def fee_take(
    person: Person, *, match: Match, entry_id: int, pence: int, key: uuid.UUID, note: str = ""
) -> FeePayment:
    """Note `pence` of the match's fee as taken from an entry. The same key again is one payment.

    Raises Problem: an amount of nothing or above all sense, a key of another payment.
    """
    return _payment_add(person, match, entry_id, pence=pence, key=key, note=note)


def fee_give_back(
    person: Person, *, match: Match, entry_id: int, pence: int, key: uuid.UUID, note: str = ""
) -> FeePayment:
    """Note `pence` as given back, never more than was taken. The same key again is one payment."""
    return _payment_add(person, match, entry_id, pence=-pence, key=key, note=note)


def fees_take(person: Person, *, match: Match, entry_ids: Collection[int]) -> list[FeePayment]:
    """Note of each of these that they paid what they owed; who owes nothing is passed over, so a
    tap sent twice is one payment each."""
    with transaction.atomic():
        match = match_locked(person, match=match)
        entries = list(Entry.objects.filter(match=match, pk__in=entry_ids).order_by("pk"))
        owed = {pk: fee.owes for pk, fee in fees_of(match, entries).items() if fee.owes}
        made = [
            FeePayment.objects.create(entry_id=pk, pence=pence, taken_by=person)
            for pk, pence in owed.items()
        ]
        if made:
            audit_record(
                club=match.club,
                person=person,
                verb="fees_take",
                subject=match,
                detail={"match": match.pk, "taken": [[p.entry_id, p.pence] for p in made]},
            )
        return made


def _payment_add(
    person: Person, match: Match, entry_id: int, *, pence: int, key: uuid.UUID, note: str
) -> FeePayment:
    try:
        with transaction.atomic():
            match = match_locked(person, match=match)
            entry = entry_of(match, entry_id)
            twin = FeePayment.objects.filter(key=key).first()
            if twin is not None:
                return _twin_check(twin, entry_id=entry.pk, pence=pence)
            if not 0 < abs(pence) <= PENCE_MOST:
                raise bad_field("/amount", _("Write an amount above zero, such as 12.40."))
            if not is_storable(note):
                raise bad_field("/note", _("A character here cannot be stored: write it anew."))
            paid = fee_paid(entry)
            if paid + pence < 0:
                said = _("Only %(paid)s was taken: no more than that can be given back.")
                raise Problem(Code.CONFLICT, said % {"paid": pence_format(paid)})
            payment = FeePayment.objects.create(
                entry=entry, pence=pence, key=key, note=note.strip()[:NOTE_MOST], taken_by=person
            )
            audit_record(
                club=match.club,
                person=person,
                verb="fee_take" if pence > 0 else "fee_give_back",
                subject=entry,
                detail={"match": match.pk, "entry": entry.pk, "pence": pence, "key": str(key)},
            )
            return payment
    except IntegrityError:
        # Two taps at once: the other came first.
        twin = FeePayment.objects.filter(key=key).first()
        if twin is None:
            raise
        return _twin_check(twin, entry_id=entry_id, pence=pence)


def _twin_check(twin: FeePayment, *, entry_id: int, pence: int) -> FeePayment:
    if twin.entry_id != entry_id or twin.pool_id is not None or twin.pence != pence:
        raise Problem(Code.CONFLICT, _("This page was used for another payment: load it again."))
    return twin
