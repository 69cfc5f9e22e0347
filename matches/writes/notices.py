"""Word to a person, in the app, that their way in was changed; put away when they have read it."""

from __future__ import annotations

from django.utils import timezone

from matches.models import Notice, NoticeKind, Person


def notice_write(person: Person, *, kind: NoticeKind) -> None:
    """Call it in the transaction of the change."""
    Notice.objects.create(person=person, kind=kind, at=timezone.now())


def notices_put_away(person: Person) -> None:
    """The person has read them: all go."""
    Notice.objects.filter(person=person).delete()
