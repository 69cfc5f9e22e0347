"""Whom a club's secretary may let in anew who has lost the password, and the codes that stand."""

from __future__ import annotations

from django.db.models import Exists, OuterRef, Q, QuerySet
from django.utils import timezone

from matches.models import Angler, Club, Membership, Person, RecoveryCode

from .weighers import people_of


def people_beyond(club: Club) -> QuerySet[Person]:
    """Of everybody who signs in for the club, whose account reaches beyond it: a keeper's, and one
    that is or was in another club or stands in its book.

    Whoever opens such an account could do and read there what the club's secretary may not.
    """
    elsewhere = Membership.objects.filter(person=OuterRef("pk")).exclude(club=club)
    booked = Angler.objects.filter(person=OuterRef("pk")).exclude(club=club)
    keeps = Q(is_superuser=True) | Q(is_staff=True)
    return people_of(club).filter(keeps | Exists(elsewhere) | Exists(booked))


def codes_standing(club: Club) -> dict[int, RecoveryCode]:
    """By person: the code that a secretary of the club made and that still lets in."""
    return {code.person_id: code for code in standing().filter(club=club)}


def standing() -> QuerySet[RecoveryCode]:
    """The codes that were not used and have not ended."""
    return RecoveryCode.objects.filter(used_at__isnull=True, ends_at__gt=timezone.now())
