"""Prizes handed over, asked back, and a mistaken tick taken back. Rows are only ever added."""

from __future__ import annotations

import uuid

from django.db import transaction
from django.utils.translation import gettext as _

from matches.models import Match, Person, PrizePaid
from matches.problems import Code, Problem
from matches.reads.prizes import Prize, settlement

from .audit import audit_record
from .locks import match_locked


def prize_hand_over(
    person: Person, *, match: Match, entry_id: int, pence: int, key: uuid.UUID
) -> PrizePaid:
    """Note the open difference of one entry as handed over, or (below zero) as got back.

    `pence` is what the list said; `key` its row's. The same key again is the row there is. Raises
    Problem CONFLICT: the result is not confirmed as it stands, or something else is open now.
    """
    with transaction.atomic():
        match = match_locked(person, match=match)
        twin = _twin(match, entry_id=entry_id, pence=pence, key=key)
        if twin is not None:
            return twin
        settled = settlement(match)
        if not settled.confirmed:
            words = _("Prizes wait for the confirmed result: publish what stands as confirmed.")
            raise Problem(Code.CONFLICT, words)
        prize = _prize(settled.prizes, entry_id)
        if pence == 0 or pence != prize.due - prize.handed or key != prize.key:
            raise Problem(Code.CONFLICT, _("Something else is open now: look at the list again."))
        return _put(person, match, prize, pence=pence, verb="prize_hand_over")


def prize_take_back(
    person: Person, *, match: Match, entry_id: int, pence: int, key: uuid.UUID
) -> PrizePaid:
    """Take a mistaken tick back: of what was noted as handed over (`pence`), nothing was."""
    with transaction.atomic():
        match = match_locked(person, match=match)
        twin = _twin(match, entry_id=entry_id, pence=-pence, key=key)
        if twin is not None:
            return twin
        prize = _prize(settlement(match).prizes, entry_id)
        if pence <= 0 or pence != prize.handed or key != prize.key:
            raise Problem(Code.CONFLICT, _("Something else is noted now: look at the list again."))
        return _put(person, match, prize, pence=-pence, verb="prize_take_back")


def _twin(match: Match, *, entry_id: int, pence: int, key: uuid.UUID) -> PrizePaid | None:
    twin = PrizePaid.objects.filter(key=key).first()
    if twin is not None and (twin.match_id, twin.entry_id, twin.pence) != (
        match.pk,
        entry_id,
        pence,
    ):
        raise Problem(Code.CONFLICT, _("Something else is open now: look at the list again."))
    return twin


def _prize(prizes: tuple[Prize, ...], entry_id: int) -> Prize:
    prize = next((p for p in prizes if p.entry.pk == entry_id), None)
    if prize is None:
        raise Problem(
            Code.NOT_FOUND, _("No prize of this match is theirs: look at the list again.")
        )
    return prize


def _put(person: Person, match: Match, prize: Prize, *, pence: int, verb: str) -> PrizePaid:
    made = PrizePaid.objects.create(
        match=match, entry=prize.entry, pence=pence, key=prize.key, paid_by=person
    )
    audit_record(
        club=match.club,
        person=person,
        verb=verb,
        subject=prize.entry,
        detail={"match": match.pk, "entry": prize.entry.pk, "pence": pence, "key": str(prize.key)},
    )
    return made
