"""Who is a junior, and whether the public may read the name."""

from __future__ import annotations

from collections.abc import Collection

from django.db import transaction
from django.utils.translation import gettext as _

from matches.models import Angler, Club, Person
from matches.problems import Code, Problem
from matches.reckon.trail import JUNIOR

from .audit import audit_record
from .erasing import Leaving, published_rename
from .locks import club_locked


def junior_set(
    person: Person, *, club: Club, angler_id: int, junior: bool, consents: bool
) -> Angler:
    """Say whether an angler is a junior, and whether a parent or guardian agreed to the name being
    shown; the trail's row is the record of who noted it and when. The same again changes nothing.

    A name not to be shown goes from what was published, too. Raises Problem NOT_FOUND.
    """
    with transaction.atomic():
        club = club_locked(person, club=club)
        angler = Angler.objects.filter(club=club, pk=angler_id).first()
        if angler is None:
            raise Problem(Code.NOT_FOUND, _("No such angler in the club’s book."))
        consents = junior and consents
        if (angler.junior, angler.guardian_consents) == (junior, consents):
            return angler
        angler.junior, angler.guardian_consents = junior, consents
        angler.save(update_fields=["junior", "guardian_consents"])
        junior_record(person, angler=angler, called=(angler.name,))
        return angler


def junior_record(person: Person, *, angler: Angler, called: Collection[str]) -> None:
    """Note who said so of an angler already written, and take a name not to be shown out of what
    was published, where it stands as one of `called`; inside the transaction, behind the club's
    lock."""
    hides = angler.junior and not angler.guardian_consents
    audit_record(
        club=angler.club,
        person=person,
        verb=JUNIOR,
        subject=angler,
        detail={
            "angler": angler.pk,
            "junior": angler.junior,
            "guardian_consents": angler.guardian_consents,
            **(_published_hide(angler, called) if hides else {}),
        },
    )


def _published_hide(angler: Angler, called: Collection[str]) -> dict[str, list[tuple[int, str]]]:
    shown = angler.public_name
    names = dict.fromkeys(called, shown)
    return published_rename(Leaving(angler.club, angler, None, shown, names=names, trail_names={}))
