"""Codes that let in, once, whoever has lost the password: made by a secretary or the keeper.

With 60 bits left to chance, guessing at a code within its day is hopeless at any rate a server
answers, from many addresses too. It is shown once, and kept as a password is: a slow hash with a
salt of its own.
"""

from __future__ import annotations

import datetime as dt

from django.contrib.auth.hashers import check_password, make_password
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from matches.door_log import door_told
from matches.models import Club, NoticeKind, Person, RecoveryCode
from matches.once_codes import once_code_folded, once_code_new, once_code_shown
from matches.problems import Code, Problem, bad_field
from matches.reads.access import clubs_of, is_secretary
from matches.reads.recovery import people_beyond, standing
from matches.reads.weighers import people_of

from .audit import audit_record
from .locks import club_locked
from .notices import notice_write
from .passwords import password_set

CODE_LASTS = dt.timedelta(hours=24)


def recovery_make(person: Person, *, club: Club, member_id: int) -> str:
    """A code for a member of the person's club, to be told to them; an earlier one ends. Raises
    Problem NOT_FOUND, NOT_ALLOWED or BAD_INPUT.

    None is made for an account that reaches beyond the club (`people_beyond`): by it the secretary
    would come to what is another's. None for oneself either: who found a desk left open would keep
    it.
    """
    code = once_code_new()
    digest = make_password(code)  # slow, so before anything is held
    with transaction.atomic():
        club = club_locked(person, club=club)
        member = people_of(club).filter(pk=member_id).first()
        if member is None:
            raise bad_field("/member", _("Choose somebody of the club."))
        _may_check(person, member, club=club)
        _make(member, digest=digest, club=club, made_by=person)
        _record(club, person, member, verb="recovery_make")
    return once_code_shown(code)


def recovery_make_by_keeper(member: Person) -> str:
    """A code for anybody, by whoever runs the server: it is in the trail of each of their clubs."""
    code = once_code_new()
    digest = make_password(code)
    with transaction.atomic():
        _make(member, digest=digest, club=None, made_by=None)
        for club in clubs_of(member):
            _record(club, None, member, verb="recovery_make_by_keeper")
    return once_code_shown(code)


def recovery_end(person: Person, *, club: Club, member_id: int) -> None:
    """End the code that was made in the club for a member, if one stands. Raises Problem."""
    with transaction.atomic():
        club = club_locked(person, club=club)
        for code in standing().filter(club=club, person=member_id).select_related("person"):
            code.ends_at = timezone.now()
            code.save(update_fields=["ends_at"])
            _record(club, person, code.person, verb="recovery_end")


def recovery_use(*, name: str, code: str, password: str) -> Person:
    """Set a new password by a code, once, and end every session of the person. Gives who it is.

    `password` was held against the rules before. Raises Problem BAD_INPUT, with the same words for
    a name that is none, a code that is none, was used or has ended, and one whose maker may not
    make it any more.
    """
    person = Person.objects.filter(username=name, is_active=True).first()
    found = _found(person, once_code_folded(code))
    with transaction.atomic():
        if person is None or found is None or not _holds(found, person):
            raise _none(person)
        if not standing().filter(pk=found.pk).update(used_at=timezone.now()):
            raise _none(person)  # another used it at the same moment
        password_set(person, password=password, verb="recovery_use")
    return person


def _may_check(person: Person, member: Person, *, club: Club) -> None:
    if member.pk == person.pk:
        raise Problem(Code.CONFLICT, _("Your own password you change on your account’s page."))
    if not member.is_active:
        raise Problem(
            Code.CONFLICT, _("This account is closed. Whoever runs the server can open it.")
        )
    if people_beyond(club).filter(pk=member.pk).exists():
        raise Problem(
            Code.CONFLICT,
            _(
                "This account reaches beyond your club, so a code of yours may not open it. "
                "%(name)s gets in by e-mail, or by a code of whoever runs the server."
            )
            % {"name": member.name},
        )


def _make(member: Person, *, digest: str, club: Club | None, made_by: Person | None) -> None:
    now = timezone.now()
    standing().filter(person=member).update(ends_at=now)
    RecoveryCode.objects.create(
        person=member,
        club=club,
        made_by=made_by,
        digest=digest,
        made_at=now,
        ends_at=now + CODE_LASTS,
    )
    notice_write(member, kind=NoticeKind.CODE)
    door_told("recovery code made", person=member.pk)


def _found(person: Person | None, code: str) -> RecoveryCode | None:
    """The person's code that stands and is this one. Where there is none as much is worked out,
    so that the time an answer takes tells no name and no code."""
    codes = list(standing().select_related("club", "made_by").filter(person=person))
    if not codes:
        make_password(code)
    return next((one for one in codes if check_password(code, one.digest)), None)


def _holds(code: RecoveryCode, person: Person) -> bool:
    """Whether it could still be made: its maker and its member may have changed since."""
    if code.club is None:
        return True
    if code.made_by is None or not is_secretary(code.made_by, club=code.club):
        return False
    if not people_of(code.club).filter(pk=person.pk).exists():
        return False
    return not people_beyond(code.club).filter(pk=person.pk).exists()


def _none(person: Person | None) -> Problem:
    door_told("recovery code refused", person=person.pk if person else None)
    return bad_field(
        "/code",
        _("That name and code do not go together, or the code was used or has ended."),
    )


def _record(club: Club, person: Person | None, member: Person, *, verb: str) -> None:
    audit_record(club=club, person=person, verb=verb, subject=member, detail={"person": member.pk})
