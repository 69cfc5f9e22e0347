"""The phones facts come from: what they are called, and what their numbers say.

A phone numbers its facts from 1 without a gap. A number missing below its highest is on its way
still, or was refused and never comes.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from django.db.models import Count, Exists, Max, OuterRef, Q, Subquery
from django.utils.translation import gettext as _

from matches.models import Device, Fact, Match, Person, RefusedFact

from .access import match_seen

#: Above this, the facts still to come from one phone are told as many: no phone in use has kept
#: so many unsent, so the number is rather forged or broken than true.
MANY = 10_000


@dataclass(frozen=True, slots=True)
class PhoneNumbers:
    """What the numbers of one phone say: `missing` of its facts are still on their way.

    `missing` is at most `MANY`; `is_many` says that the numbers speak of more. `refused` of its
    facts for one match were refused, and nobody put them right since.
    """

    device: UUID
    label: str
    person: str
    missing: int
    is_many: bool
    refused: int


@dataclass(frozen=True, slots=True)
class Phones:
    """What phones are called, which have facts still on their way, and which had some refused."""

    labels: Mapping[UUID, str]
    to_come: tuple[PhoneNumbers, ...]
    refused: tuple[PhoneNumbers, ...]


def phones_of(devices: Collection[UUID], *, match: Match) -> Phones:
    """The phones among `devices`, and any to which a fact of `match` was refused. One query.

    A phone counts all its facts, whatever their match: a hole may belong to another match, and
    what it logged after its last arrival is not known here. Only its own person's facts tell how
    far it has counted, and only theirs were refused: nobody makes or hides a hole of another's.
    Refused facts are put right by the same fact accepted after all, and by a later fact of the
    same person that corrects or withdraws them.
    """
    later = Fact.objects.filter(supersedes=OuterRef("fact"), author=OuterRef("person"))
    rows = list(
        Device.objects.select_related("person")
        .annotate(refused_here=_refused_many(Q(~Exists(later), match=match)))
        .filter(Q(pk__in=devices) | Q(refused_here__gt=0))
        .annotate(highest=_highest())
        .annotate(here=_here(), refused=_refused_many(Q(seq__lt=OuterRef("highest"))))
        .order_by("pk")
    )
    phones = [_numbers(row) for row in rows]
    return Phones(
        labels={phone.device: phone.label or phone_of(phone.person) for phone in phones},
        to_come=tuple(phone for phone in phones if phone.missing),
        refused=tuple(phone for phone in phones if phone.refused),
    )


def _highest() -> Subquery:
    """The highest number among the stored facts that the phone's own person wrote on it."""
    own = Fact.objects.filter(device=OuterRef("pk"), author=OuterRef("person"))
    return Subquery(own.order_by().values("device").annotate(n=Max("seq")).values("n"))


def _here() -> Subquery:
    """How many numbers up to the phone's `highest` are stored."""
    stored = Fact.objects.filter(device=OuterRef("pk"), seq__lte=OuterRef("highest"))
    counted = stored.order_by().values("device").annotate(n=Count("seq", distinct=True))
    return Subquery(counted.values("n"))


def _refused_many(which: Q) -> Subquery:
    """How many of the phone's refused numbers fit `which` and have nothing stored under them."""
    stored = Fact.objects.filter(device=OuterRef("device"), seq=OuterRef("seq"))
    own = RefusedFact.objects.filter(device=OuterRef("pk"), person=OuterRef("person"))
    fit = own.filter(~Exists(stored)).filter(which)
    return Subquery(fit.order_by().values("device").annotate(n=Count("seq")).values("n"))


def _numbers(row: Any) -> PhoneNumbers:
    missing = max(0, (row.highest or 0) - (row.here or 0) - (row.refused or 0))
    name = row.person.name
    return PhoneNumbers(
        row.pk, row.label, name, min(missing, MANY), missing > MANY, row.refused_here or 0
    )


def facts_to_come(person: Person, *, match_id: int) -> tuple[PhoneNumbers, ...]:
    """The phones that wrote facts of this match and have numbers missing. Three queries."""
    match = match_seen(person, match_id=match_id)
    devices = Fact.objects.filter(match=match).values_list("device", flat=True).distinct()
    return phones_of(set(devices), match=match).to_come


def refused_links(ids: Collection[UUID]) -> set[tuple[UUID, int]]:
    """Of the facts `ids`, those refused and not stored, each with whom it was refused to."""
    if not ids:
        return set()
    rows = RefusedFact.objects.filter(
        ~Exists(Fact.objects.filter(pk=OuterRef("fact"))), fact__in=ids
    )
    return set(rows.values_list("fact", "person_id"))


def device_labels(devices: Iterable[UUID]) -> dict[UUID, str]:
    """What a phone is called; whose it is while it has no name. Unknown ones are left out."""
    known = Device.objects.filter(pk__in=set(devices)).select_related("person")
    return {device.pk: device.label or phone_of(device.person.name) for device in known}


def phone_of(person: str) -> str:
    """What a phone is called that has no name, by whose it is."""
    return _("%(person)s’s phone") % {"person": person}
