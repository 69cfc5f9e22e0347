"""The club's book of anglers."""

from __future__ import annotations

from django.db import transaction
from django.utils.translation import gettext as _

from matches.models import Angler, Club, Person, Team
from matches.problems import Code, Problem, bad_field
from matches.reads.weighers import people_of
from matches.reckon.errors import BadInput, Fault
from matches.reckon.reading import is_storable
from matches.reckon.sheets.anglers import NAME_MOST

from .audit import audit_record
from .locks import club_locked


def angler_add(
    person: Person,
    *,
    club: Club,
    name: str,
    team_id: int | None = None,
    junior: bool = False,
    guardian_consents: bool = False,
) -> Angler:
    """Write an angler into the club's book, once. A guardian's consent counts for a junior only.

    Raises BadInput: no name, a name that stands there already, another club's team.
    """
    with transaction.atomic():
        club = club_locked(person, club=club)
        name = _name_read(name)
        team = None
        if team_id is not None:
            team = Team.objects.filter(club=club, pk=team_id).first()
            if team is None:
                raise BadInput(Fault("/team", _("The club has no such team: choose another.")))
        _twin_refuse(club, name)
        angler = Angler.objects.create(
            club=club,
            team=team,
            name=name,
            junior=junior,
            guardian_consents=junior and guardian_consents,
        )
        audit_record(
            club=club,
            person=person,
            verb="angler_add",
            subject=angler,
            detail={
                "angler": angler.pk,
                "team": team_id,
                "junior": junior,
                "guardian_consents": angler.guardian_consents,
            },
        )
        return angler


def angler_account_set(
    person: Person, *, club: Club, angler_id: int, account_id: int | None
) -> Angler:
    """Say whose account an angler of the book is, or nobody's. It logs that angler's peg from then.

    Raises Problem: NOT_FOUND, BAD_INPUT for who is no member, CONFLICT for who is another angler.
    """
    with transaction.atomic():
        club = club_locked(person, club=club)
        angler = Angler.objects.filter(club=club, pk=angler_id).first()
        if angler is None:
            raise Problem(Code.NOT_FOUND, _("No such angler in the club’s book."))
        account = None
        if account_id is not None:
            account = people_of(club).filter(pk=account_id).first()
            if account is None:
                raise bad_field("/account", _("Choose a member of the club."))
            other = Angler.objects.filter(club=club, person=account).exclude(pk=angler_id).first()
            if other is not None:
                said = _("That account is %(name)s in the book already.") % {"name": other.name}
                raise Problem(Code.CONFLICT, said)
        if angler.person != account:
            angler.person = account
            angler.save(update_fields=["person"])
            audit_record(
                club=club,
                person=person,
                verb="angler_account_set",
                subject=angler,
                detail={"angler": angler.pk, "account": account_id},
            )
        return angler


def _name_read(name: str) -> str:
    name = " ".join(name.split())
    if not name or len(name) > NAME_MOST:
        raise BadInput(Fault("/name", _("Write the angler’s name, in at most 120 characters.")))
    if not is_storable(name):
        raise BadInput(Fault("/name", _("A character here cannot be stored: write it anew.")))
    return name


def _twin_refuse(club: Club, name: str) -> None:
    """Two of a name cannot be told apart at the scales."""
    wanted = name.casefold()
    names = Angler.objects.filter(club=club).values_list("name", flat=True)
    if any(held.casefold() == wanted for held in names):
        said = _(
            "%(name)s is in the book already: tick that name. If this is somebody else, add what "
            "tells them apart, such as a middle name."
        )
        raise BadInput(Fault("/name", said % {"name": name}))
