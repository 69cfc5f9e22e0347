"""How much an angler's pinch, handful and pouch hold, measured with a cup."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal

from django.db import transaction
from django.utils.translation import gettext as _

from bait.models import Throw, ThrowSize
from bait.reads.baits import baits_of_club
from bait.reads.plans import may_plan
from matches.models import Entry, Person
from matches.problems import Code, Problem
from matches.reckon.decimals import decimal_plain
from matches.reckon.errors import BadInput, Fault
from matches.writes.audit import audit_record

CUP_ML_MOST = 5_000
THROWS_MOST = 500
SIZE_ML_MOST = 2_000


def throw_measure(
    person: Person, *, entry: Entry, throw: str, bait: str, cup_ml: int, throws: int
) -> ThrowSize:
    """Keep what the entry's angler measured: `throws` of them filled a cup of `cup_ml`.

    `bait` is a key, or "" for any bait; it takes the place of what was measured before. Rounded to
    a tenth of a millilitre. Raises Problem NOT_ALLOWED and BadInput.
    """
    _may_check(person, entry=entry)
    faults = []
    if throw not in Throw.values:
        faults.append(Fault("/throw", _("Choose pinch, handful or pouch.")))
    if not 1 <= cup_ml <= CUP_ML_MOST:
        faults.append(Fault("/cup_ml", _("Say how many millilitres the cup holds, 1 to 5000.")))
    if not 1 <= throws <= THROWS_MOST:
        faults.append(Fault("/throws", _("Say how many throws filled it, 1 to 500.")))
    kind = baits_of_club(entry.match.club_id).get(bait) if bait else None
    if bait and kind is None:
        faults.append(Fault("/bait", _("The club has no such bait: choose another.")))
    if not faults:
        ml = (Decimal(cup_ml) / throws).quantize(Decimal("0.1"), ROUND_HALF_UP)
        if not 0 < ml <= SIZE_ML_MOST:
            words = _("That makes %(ml)s ml a throw: count again.") % {"ml": ml}
            faults.append(Fault("/throws", words))
    if faults:
        raise BadInput(*faults)
    with transaction.atomic():
        size, _made = ThrowSize.objects.update_or_create(
            angler=entry.angler, throw=throw, bait=kind, defaults={"ml": ml}
        )
        _record(person, entry=entry, verb="throw.measured", size=size)
    return size


def throw_forget(person: Person, *, entry: Entry, size_id: int) -> ThrowSize:
    """Go back to the size from memory. Raises Problem NOT_ALLOWED and NOT_FOUND."""
    _may_check(person, entry=entry)
    with transaction.atomic():
        size = (
            ThrowSize.objects.filter(angler=entry.angler_id, pk=size_id)
            .select_related("bait")
            .first()
        )
        if size is None:
            raise Problem(Code.NOT_FOUND, _("This size was forgotten already."))
        _record(person, entry=entry, verb="throw.forgotten", size=size)
        ThrowSize.objects.filter(pk=size.pk).delete()
    return size


def _may_check(person: Person, *, entry: Entry) -> None:
    if not may_plan(person, entry=entry):
        raise Problem(
            Code.NOT_ALLOWED, _("Throws are measured by their angler, or the team's captain.")
        )


def _record(person: Person, *, entry: Entry, verb: str, size: ThrowSize) -> None:
    audit_record(
        club=entry.match.club,
        person=person,
        verb=verb,
        subject=f"angler {entry.angler_id}",
        detail={
            "throw": size.throw,
            "bait": size.bait.key if size.bait else "",
            "ml": decimal_plain(size.ml),
        },
    )
