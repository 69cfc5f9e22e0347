"""Letters: rows first, so that no request waits for a mail server and none is lost by a killed
worker. Sent twice at worst, where a worker dies between the sending and the row."""

from __future__ import annotations

import datetime as dt

from django.conf import settings
from django.db.models import F
from django.utils import timezone

from matches.models import Letter, LetterKind, Person

TRIES_MOST = 5
STALE = dt.timedelta(hours=2)


def letter_write(person: Person, *, kind: LetterKind, address: str) -> None:
    """Have a letter sent, where mail is set up and there is an address; call it in the transaction
    of its cause."""
    if not settings.EMAIL_URL or not address:
        return
    now = timezone.now()
    Letter.objects.create(person=person, kind=kind, address=address, asked_at=now, not_before=now)


def letters_take(*, most: int = 50) -> list[Letter]:
    """The letters that are due, each held for a minute and longer at each try; those that are too
    old to be of use are dropped."""
    now = timezone.now()
    Letter.objects.filter(asked_at__lt=now - STALE).delete()
    Letter.objects.filter(tries__gte=TRIES_MOST, not_before__lte=now).delete()
    due = Letter.objects.filter(not_before__lte=now).select_related("person")[:most]
    return [letter for letter in due if _held(letter, now)]


def letter_sent(letter: Letter) -> None:
    """It is on its way: nothing of it is kept."""
    letter.delete()


def _held(letter: Letter, now: dt.datetime) -> bool:
    """Whether this worker has it, and no other."""
    later = now + dt.timedelta(minutes=2**letter.tries)
    return bool(
        Letter.objects.filter(pk=letter.pk, tries=letter.tries, not_before__lte=now).update(
            tries=F("tries") + 1, not_before=later
        )
    )
