"""Tokens of the API: made at the desk, shown once, revoked at once, swept when they are over."""

from __future__ import annotations

import datetime as dt
import secrets
from collections.abc import Sequence
from typing import Final

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from matches.models import ApiToken, Person, Scope
from matches.problems import Code, Problem
from matches.reads.access import clubs_of
from matches.reads.api_tokens import api_tokens_good, api_tokens_of, secret_digest
from matches.reckon.errors import BadInput, Fault
from matches.reckon.reading import is_storable

from .audit import audit_record

#: By what somebody who searches files for secrets knows ours.
PREFIX: Final = "drawbag_"
DAYS_MOST: Final = 366
TOKENS_MOST: Final = 20
NAME_LONGEST: Final = 60
#: So long a token that is over stays in its person's list.
DAYS_LISTED: Final = 30


def api_token_make(
    person: Person, *, name: str, scopes: Sequence[str], days: int
) -> tuple[ApiToken, str]:
    """A token for a program of the person's, good for 1 to 366 days; with it its text, which
    nobody can read again. Raises BadInput, and Problem CONFLICT for the name of a token that is
    good already or for more than `TOKENS_MOST` of them.
    """
    name = name.strip()
    faults = [*_name_faults(name), *_scope_faults(scopes)]
    if not 1 <= days <= DAYS_MOST:
        faults.append(Fault("/days", _("Write how many days it is good for, from 1 to 366.")))
    if faults:
        raise BadInput(*faults)
    secret = PREFIX + secrets.token_urlsafe(32)
    with transaction.atomic():
        person = Person.objects.select_for_update().get(pk=person.pk)
        _room_check(person, name=name)
        token = ApiToken.objects.create(
            person=person,
            name=name,
            digest=secret_digest(secret),
            scopes=[scope for scope in Scope.values if scope in scopes],
            password_mark=person.get_session_auth_hash(),
            expires_at=timezone.now() + dt.timedelta(days=days),
        )
        _record(person, token, verb="api_token_make", detail={"days": days})
    return token, secret


def api_token_revoke(person: Person, *, token_id: int) -> ApiToken:
    """End one of the person's own tokens now. Raises Problem NOT_FOUND."""
    with transaction.atomic():
        token = api_tokens_of(person).select_for_update().filter(pk=token_id).first()
        if token is None:
            raise Problem(Code.NOT_FOUND, _("No such token among yours."))
        if token.revoked_at is None:
            token.revoked_at = timezone.now()
            token.save(update_fields=["revoked_at"])
            _record(person, token, verb="api_token_revoke", detail={})
        return token


def api_token_used(token: ApiToken) -> None:
    """Note the day, once a day: which requests were made, and when, is nobody's business."""
    today = timezone.localdate()
    if token.last_used_on != today:
        ApiToken.objects.filter(pk=token.pk).update(last_used_on=today)


def api_tokens_sweep() -> int:
    """Drop the tokens that ended or were revoked 30 days ago. Returns how many."""
    before = timezone.now() - dt.timedelta(days=DAYS_LISTED)
    ended = ApiToken.objects.filter(expires_at__lt=before)
    revoked = ApiToken.objects.filter(revoked_at__lt=before)
    return (ended | revoked).delete()[0]


def _name_faults(name: str) -> list[Fault]:
    if name and len(name) <= NAME_LONGEST and is_storable(name):
        return []
    return [Fault("/name", _("Say in at most 60 letters what it is for."))]


def _scope_faults(scopes: Sequence[str]) -> list[Fault]:
    if scopes and set(scopes) <= set(Scope.values):
        return []
    return [Fault("/scopes", _("Choose at least one thing that the token may do."))]


def _room_check(person: Person, *, name: str) -> None:
    good = api_tokens_good(person)
    if any(token.name == name for token in good):
        words = _("You have a token of that name. Revoke it first, or choose another name.")
        raise Problem(Code.CONFLICT, words)
    if len(good) >= TOKENS_MOST:
        words = _("You have %(most)s tokens. Revoke one first.")
        raise Problem(Code.CONFLICT, words % {"most": TOKENS_MOST})


def _record(person: Person, token: ApiToken, *, verb: str, detail: dict[str, int]) -> None:
    """In each of the person's clubs: a token is good for all of them."""
    for club in clubs_of(person):
        audit_record(
            club=club,
            person=person,
            verb=verb,
            subject=token,
            detail={"token": token.pk, "scopes": token.scopes, **detail},
        )
