"""A database put back from a copy: phones are to send again what the copy lacks."""

from __future__ import annotations

import uuid

from django.db import transaction

from matches.models import Club

from .audit import audit_record


@transaction.atomic
def epoch_renew(*, club: Club, read_to: int | None = None) -> bool:
    """Give the club a new epoch, so that its phones read its facts from the start and offer again
    what they sent. Whether it was changed.

    `read_to`: how far a phone has read in the epoch of `club`. The copy was put back without a word
    if the club has not counted so far; with this given, nothing is changed unless that is so.
    """
    rows = Club.objects.filter(pk=club.pk, epoch=club.epoch)
    if read_to is not None:
        rows = rows.filter(fact_counter__lt=read_to)
    if not rows.update(epoch=uuid.uuid4()):
        return False
    detail = {"counted": club.fact_counter, "read": read_to}
    audit_record(club=club, person=None, verb="epoch_renew", subject=club, detail=detail)
    return True
