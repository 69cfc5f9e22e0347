"""Where a person is signed in."""

from __future__ import annotations

from django.db.models import QuerySet
from django.utils import timezone
from django.utils.crypto import salted_hmac

from matches.models import Person, SignedIn


def sessions_of(person: Person) -> QuerySet[SignedIn]:
    """The person's sessions that have not ended, the newest first."""
    return SignedIn.objects.filter(person_id=person.pk, expire_date__gt=timezone.now()).order_by(
        "-since", "session_key"
    )


def session_mark(session: SignedIn) -> str:
    """What a page calls a session by: its key would let in whoever reads it there."""
    return salted_hmac("matches.session_mark", session.session_key, algorithm="sha256").hexdigest()
