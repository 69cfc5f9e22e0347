"""The e-mail address of an account: it counts once whoever reads its letters has said so."""

from __future__ import annotations

from dataclasses import dataclass

from django.core import signing
from django.db import transaction
from django.utils.translation import gettext as _

from matches.models import LetterKind, NoticeKind, Person
from matches.problems import Code, Problem
from matches.reads.access import clubs_of

from .audit import audit_record
from .letters import letter_write
from .notices import notice_write

# The sign between its parts is one that an address carries as it is.
_signer = signing.TimestampSigner(salt="matches.address", sep="~")
LASTS_SECONDS = 24 * 3600


@dataclass(frozen=True, slots=True)
class AddressAsked:
    """What the link of a letter says: whose address is to be which."""

    person: int
    address: str


def address_code(person: Person, *, address: str) -> str:
    """What the link in the letter ends in; it serves once, while the address is what it was."""
    return _signer.sign_object([person.pk, address, person.email])


def address_ask(person: Person, *, address: str) -> None:
    """Have a letter sent to a new address, which counts when its link was opened; an empty one
    counts at once. Ask for the password before."""
    with transaction.atomic():
        if address:
            letter_write(person, kind=LetterKind.CONFIRM, address=address)
        else:
            _set(person, "")


def address_read(person: Person, *, code: str) -> AddressAsked:
    """What a link says to its own person. Raises Problem NOT_FOUND."""
    try:
        pk, address, was = _signer.unsign_object(code, max_age=LASTS_SECONDS)
    except (signing.BadSignature, ValueError):
        raise _gone() from None
    if (pk, was) != (person.pk, person.email):
        raise _gone()
    return AddressAsked(pk, address)


def address_confirm(person: Person, *, code: str) -> None:
    """The link was opened by whoever reads there: the address counts. Raises Problem NOT_FOUND."""
    with transaction.atomic():
        locked = Person.objects.select_for_update().get(pk=person.pk)
        _set(locked, address_read(locked, code=code).address)


def _set(person: Person, address: str) -> None:
    """The address before is told, in case it was not its holder who did it."""
    letter_write(person, kind=LetterKind.CHANGED, address=person.email)
    notice_write(person, kind=NoticeKind.ADDRESS)
    person.email = address
    person.save(update_fields=["email"])
    for club in clubs_of(person):
        audit_record(
            club=club,
            person=person,
            verb="address_set",
            subject=person,
            detail={"person": person.pk},
        )


def _gone() -> Problem:
    return Problem(
        Code.NOT_FOUND,
        _("This link was used, has ended, or is not of your account. Ask for another e-mail."),
    )
