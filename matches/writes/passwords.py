"""A person's password set anew, and sessions ended: whatever the way that leads to it."""

from __future__ import annotations

import datetime as dt

from django.contrib.sessions.models import Session
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from matches.door_log import door_told
from matches.models import LetterKind, NoticeKind, Person, RecoveryCode, SignedIn
from matches.problems import Code, Problem
from matches.reads.access import clubs_of
from matches.reads.recovery import standing
from matches.reads.sessions import session_mark, sessions_of

from .attempts import Door, Tally, attempt_fitted, name_folded
from .audit import audit_record
from .letters import letter_write
from .notices import notice_write

CODES_KEPT = dt.timedelta(days=30)


def password_set(person: Person, *, password: str, verb: str, keep: str = "") -> None:
    """Set a password that was held against the rules. Every session but `keep` ends, codes that
    were made end, tries that were counted are forgotten; each of the person's clubs has it in its
    trail as `verb`.

    What phones have not sent yet stays on them until the person signs in there again.
    """
    with transaction.atomic():
        person.set_password(password)
        person.save(update_fields=["password"])
        SignedIn.objects.filter(person=person).exclude(session_key=keep).delete()
        standing().filter(person=person).update(ends_at=timezone.now())
        letter_write(person, kind=LetterKind.CHANGED, address=person.email)
        notice_write(person, kind=NoticeKind.PASSWORD)
        attempt_fitted(forget=Tally(Door.ACCOUNT, name_folded(person.username)))
        _record(person, verb=verb)
    door_told(f"new password ({verb})", person=person.pk)


def session_end(person: Person, *, mark: str) -> None:
    """Sign one of the person's own devices out from afar, named by its `session_mark`. Raises
    Problem NOT_FOUND."""
    with transaction.atomic():
        found = next((one for one in sessions_of(person) if session_mark(one) == mark), None)
        if found is None:
            raise Problem(Code.NOT_FOUND, _("That device is signed out already."))
        found.delete()
        _record(person, verb="session_end")
    door_told("signed out from afar", person=person.pk)


def sessions_sweep() -> None:
    """Drop sessions of Django's own table, which nothing reads since they were copied, and codes a
    month after they ended. What `retention` keeps days for is let go of there."""
    Session.objects.all().delete()
    RecoveryCode.objects.filter(ends_at__lt=timezone.now() - CODES_KEPT).delete()


def _record(person: Person, *, verb: str) -> None:
    for club in clubs_of(person):
        audit_record(
            club=club, person=person, verb=verb, subject=person, detail={"person": person.pk}
        )
