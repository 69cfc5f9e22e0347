"""Turning a second factor on and off, and trying its codes.

A code is tried behind the count of its own door. Neither a secretary's code nor a letter takes it
off: they replace a lost password, and a second factor that fell with the first would be none. Who
has lost the app uses a spare code; who has lost those too asks whoever runs the site.
"""

from __future__ import annotations

from django.db import transaction
from django.utils import timezone
from django.utils.crypto import constant_time_compare, get_random_string, salted_hmac
from django.utils.translation import gettext as _

from matches.door_log import door_told
from matches.models import NoticeKind, Person, SecondFactor
from matches.once_codes import once_code_folded, once_code_new, once_code_shown
from matches.problems import Code, Problem, bad_field
from matches.reads.access import clubs_of
from matches.reads.second_factor import second_begun
from matches.second_codes import secret_lock, secret_make, secret_open, step_of

from .attempts import Door, Tally, attempt_begin, attempt_fitted
from .audit import audit_record
from .notices import notice_write

SPARES = 10


def second_begin(person: Person) -> None:
    """Make a secret anew that counts for nothing before `second_confirm`. Ask for the password
    before. Raises Problem CONFLICT where one is on."""
    with transaction.atomic():
        row = _locked(person)
        if row is not None and row.on_since:
            raise Problem(Code.CONFLICT, _("Codes are on already: turn them off first."))
        SecondFactor.objects.update_or_create(
            person=person,
            defaults={"secret": secret_lock(secret_make()), "made_at": timezone.now()},
        )


def second_confirm(person: Person, *, code: str) -> list[str]:
    """Turn it on, by a first code of the app. Gives the spare codes, kept nowhere. Raises Problem
    BAD_INPUT at `/code`, CONFLICT, MustWait."""
    tally = _counted(person)
    with transaction.atomic():
        row = _locked(person)
        if row is None or second_begun(person) is None:
            raise Problem(Code.CONFLICT, _("That took too long, or is done: begin anew."))
        step = _step(row, once_code_folded(code))
        if step is not None:
            spares = [once_code_new() for _n in range(SPARES)]
            row.spares, row.last_step = [_spare_kept(spare) for spare in spares], step
            row.on_since = timezone.now()
            row.save()
            notice_write(person, kind=NoticeKind.SECOND_ON)
            _record(person, verb="second_factor_on", by=person)
    if step is None:
        raise _none(person)
    attempt_fitted(forget=tally)
    door_told("second factor turned on", person=person.pk)
    return [once_code_shown(spare) for spare in spares]


def second_try(person: Person, *, code: str, place: str = "") -> None:
    """Try a code of the app, or a spare one: each fits once. `place`: the address it is tried from,
    counted too. Raises Problem BAD_INPUT at `/code`, MustWait."""
    at = Tally(Door.ADDRESS, place) if place else None
    tally = _counted(person, *([at] if at else []))
    with transaction.atomic():
        fitted = _use(person, once_code_folded(code))
    if not fitted:
        raise _none(person)
    attempt_fitted(forget=tally, give_back=at)


def second_off(person: Person, *, code: str) -> None:
    """Turn it off, by a code. Ask for the password before. Raises Problem as `second_try`."""
    second_try(person, code=code)
    _drop(person, by=person, verb="second_factor_off")


def second_off_by_keeper(person: Person) -> bool:
    """Take it off who has lost the app and the spare codes; whether there was one."""
    return _drop(person, by=None, verb="second_factor_off_by_keeper")


def _counted(person: Person, *more: Tally) -> Tally:
    tally = Tally(Door.SECOND, str(person.pk))
    attempt_begin(tally, *more)
    return tally


def _locked(person: Person) -> SecondFactor | None:
    return SecondFactor.objects.select_for_update().filter(person_id=person.pk).first()


def _use(person: Person, code: str) -> bool:
    """Use it up, if it fits; the row is locked, so of two at once one does."""
    row = _locked(person)
    if row is None or not row.on_since:
        return False
    step = _step(row, code)
    if step is not None:
        row.last_step = step
        row.save(update_fields=["last_step"])
        return True
    left = [kept for kept in row.spares if not _spare_is(code, kept)]
    if len(left) == len(row.spares):
        return False
    row.spares = left
    row.save(update_fields=["spares"])
    notice_write(person, kind=NoticeKind.SPARE)
    _record(person, verb="second_factor_spare", by=person)
    door_told("spare code used", person=person.pk)
    return True


def _drop(person: Person, *, by: Person | None, verb: str) -> bool:
    with transaction.atomic():
        row = _locked(person)
        if row is None:
            return False
        row.delete()
        notice_write(person, kind=NoticeKind.SECOND_OFF)
        _record(person, verb=verb, by=by)
    door_told(f"second factor turned off ({verb})", person=person.pk)
    return True


def _step(row: SecondFactor, code: str) -> int | None:
    secret = secret_open(row.secret)
    if secret is None:
        door_told("second factor cannot be read under this SECRET_KEY", person=row.person_id)
        return None
    now = int(timezone.now().timestamp())
    return step_of(code, secret=secret, at=now, after=row.last_step)


def _spare_kept(spare: str) -> str:
    """A salt of its own and a keyed hash: with 60 bits left to chance no slow one is needed."""
    salt = get_random_string(16)
    return f"{salt}${_spare_hash(spare, salt)}"


def _spare_is(code: str, kept: str) -> bool:
    salt, _sign, digest = kept.partition("$")
    return constant_time_compare(_spare_hash(code, salt), digest)


def _spare_hash(spare: str, salt: str) -> str:
    return salted_hmac(f"matches.spare:{salt}", spare, algorithm="sha256").hexdigest()


def _none(person: Person) -> Problem:
    door_told("second factor refused", person=person.pk)
    return bad_field(
        "/code",
        _("That code does not fit, or was used. Take the one your app shows now."),
    )


def _record(person: Person, *, verb: str, by: Person | None) -> None:
    for club in clubs_of(person):
        audit_record(club=club, person=by, verb=verb, subject=person, detail={"person": person.pk})
