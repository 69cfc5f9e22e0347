"""Erasing a person: at their own wish after a time to think, or an angler's at the secretary's."""

from __future__ import annotations

import datetime as dt

from django.conf import settings
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from bait.models import LarderLot, Plan, Stage, ThrowSize
from matches.models import Angler, Club, Entry, ErasureAsked, MatchState, Membership, Person, Role
from matches.problems import Code, Problem
from matches.reads.access import DESK_ROLES
from matches.reads.weighers import people_of
from matches.reckon.errors import BadInput, Fault
from matches.writes.audit import audit_record
from matches.writes.erasing import account_erase, account_pseudonym, club_erase, clubs_of_account
from matches.writes.erasing import leaving as leaving_as
from matches.writes.locks import club_locked

#: While one of these goes on, who fishes it is named on the bank.
GOING_ON = (MatchState.DRAWN, MatchState.WEIGHING)


def erasure_ask(person: Person, *, now: dt.datetime | None = None) -> ErasureAsked:
    """Ask for everything about oneself to be erased, once the time to think is over.

    Asking again changes nothing. Raises Problem CONFLICT for a club's last secretary.
    """
    with transaction.atomic():
        _last_secretary_refuse(person)
        at = now or timezone.now()
        due = at + dt.timedelta(days=settings.KEPT_DAYS["erase_after"])
        asked, made = ErasureAsked.objects.get_or_create(
            person=person, defaults={"asked_at": at, "due_at": due}
        )
        if made:
            _record(person, verb="person_erase_ask", due=asked.due_at.isoformat())
        return asked


def erasure_take_back(person: Person) -> None:
    """Stay after all. Done already: nothing changes."""
    with transaction.atomic():
        many, _rows = ErasureAsked.objects.filter(person=person).delete()
        if many:
            _record(person, verb="person_erase_take_back")


def _record(person: Person, *, verb: str, **detail: str) -> None:
    for club in clubs_of_account(person):
        audit_record(
            club=club, person=person, verb=verb, subject=account_pseudonym(person), detail=detail
        )


def erasures_carry_out(*, now: dt.datetime | None = None) -> int:
    """Erase everybody whose time to think is over; how many. Who cannot be erased yet waits."""
    due = ErasureAsked.objects.filter(due_at__lte=now or timezone.now())
    many = 0
    for asked in due.select_related("person").order_by("due_at", "pk"):
        try:
            many += person_erase(asked.person)
        except Problem:
            continue
    return many


def person_erase(person: Person) -> bool:
    """Erase everything about somebody who asked for it, in every club; whether it was still to do.

    Raises Problem CONFLICT: the last secretary of a club, or drawn in a match that is going on.
    """
    with transaction.atomic():
        clubs = clubs_of_account(person)
        for club in clubs:
            Club.objects.select_for_update().get(pk=club.pk)
        if not ErasureAsked.objects.filter(person=person).exists():
            return False
        _last_secretary_refuse(person)
        anglers = {angler.club_id: angler for angler in Angler.objects.filter(person=person)}
        for angler in anglers.values():
            _going_on_refuse(angler)
        for club in clubs:
            gone = leaving_as(club, angler=anglers.get(club.pk), account=person)
            if gone.angler is not None:
                _bait_erase(gone.angler)
            club_erase(person, gone=gone)
        account_erase(person)
        return True


def angler_erase(person: Person, *, club: Club, angler_id: int, typed: str) -> Angler:
    """Erase an angler who has no account, at the secretary's hand. `typed`: the angler's name.

    Raises Problem NOT_FOUND, CONFLICT (has an account, or is drawn in a match that is going on),
    BadInput where the name typed is another.
    """
    with transaction.atomic():
        club = club_locked(person, club=club)
        angler = Angler.objects.filter(club=club, pk=angler_id).first()
        if angler is None:
            raise Problem(Code.NOT_FOUND, _("No such angler in the club’s book."))
        if angler.person_id is not None:
            said = _("%(name)s has an account: they ask for it themselves, on their own page.")
            raise Problem(Code.CONFLICT, said % {"name": angler.name})
        if " ".join(typed.split()) != angler.name:
            raise BadInput(Fault("/typed", _("Type the name exactly as it stands in the book.")))
        _going_on_refuse(angler)
        gone = leaving_as(club, angler=angler, account=None)
        _bait_erase(angler)
        club_erase(person, gone=gone)
        angler.refresh_from_db()
        return angler


def successor_name(person: Person, *, club: Club, successor_id: int) -> Membership:
    """Give another member the secretary's role beside one's own. Given already: nothing changes.

    Raises Problem NOT_FOUND, NOT_ALLOWED, BAD_INPUT for who is no member.
    """
    with transaction.atomic():
        club = club_locked(person, club=club)
        successor = people_of(club).exclude(pk=person.pk).filter(pk=successor_id).first()
        if successor is None:
            raise Problem(Code.BAD_INPUT, _("Choose a member of the club."))
        held, made = Membership.objects.get_or_create(
            club=club, person=successor, role=Role.SECRETARY, team=None, match=None
        )
        if made or held.ended_at is not None:
            Membership.objects.filter(pk=held.pk).update(ended_at=None)
            audit_record(
                club=club,
                person=person,
                verb="person_secretary_name",
                subject=successor.name,
                detail={"person": successor.pk},
            )
        return held


def clubs_left_alone(person: Person) -> list[Club]:
    """The clubs that would have no secretary without this person, though others are in them."""
    held = Membership.objects.filter(ended_at__isnull=True)
    own = held.filter(person=person, role__in=DESK_ROLES).values("club")
    others = held.exclude(person=person).filter(person__is_active=True)
    return [
        club
        for club in Club.objects.filter(pk__in=own).order_by("pk")
        if others.filter(club=club).exists()
        and not others.filter(club=club, role__in=DESK_ROLES).exists()
    ]


def _last_secretary_refuse(person: Person) -> None:
    if clubs := clubs_left_alone(person):
        said = _("You are the last secretary of %(clubs)s: name another first.")
        raise Problem(Code.CONFLICT, said % {"clubs": ", ".join(club.name for club in clubs)})


def _going_on_refuse(angler: Angler) -> None:
    entry = (
        Entry.objects.filter(angler=angler, match__state__in=GOING_ON, drawn_peg__isnull=False)
        .select_related("match")
        .first()
    )
    if entry is not None:
        said = _("%(match)s is drawn and not weighed in yet: after it, names can be erased.")
        raise Problem(Code.CONFLICT, said % {"match": entry.match.name})


def _bait_erase(angler: Angler) -> None:
    """What was planned stays as amounts, which orders and costs are made of; words go."""
    ThrowSize.objects.filter(angler=angler).delete()
    Plan.objects.filter(entry__angler=angler).exclude(note="").update(note="")
    Stage.objects.filter(plan__entry__angler=angler).exclude(note="").update(note="")
    LarderLot.objects.filter(angler=angler).exclude(note="").update(note="")
