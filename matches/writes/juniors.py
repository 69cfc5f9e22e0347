"""Who is a junior, and whether the public may read the name."""

from __future__ import annotations

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
        audit_record(
            club=club,
            person=person,
            verb=JUNIOR,
            subject=angler,
            detail={
                "angler": angler.pk,
                "junior": junior,
                "guardian_consents": consents,
                **(_published_hide(angler) if junior and not consents else {}),
            },
        )
        return angler


def _published_hide(angler: Angler) -> dict[str, list[tuple[int, str]]]:
    shown = angler.public_name
    hidden = Leaving(angler.club, angler, None, shown, names={angler.name: shown}, trail_names={})
    return published_rename(hidden)
