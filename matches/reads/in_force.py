"""Which facts stand: neither corrected nor taken back by whoever may."""

from __future__ import annotations

from django.db.models import Exists, OuterRef, Q, QuerySet

from matches.models import Fact, Match, Membership, Role

from .access import DESK_ROLES


def facts_in_force() -> QuerySet[Fact]:
    """Facts that no other of their match supersedes, of the same author or of an official.

    Others are refused that where the fact is here; but whoever carries it for a mate knows its id,
    and could hand in before it what takes it back.
    """
    later = Fact.objects.filter(supersedes=OuterRef("pk"), match=OuterRef("match"))
    by_right = Q(author=OuterRef("author")) | Q(Exists(officials()))
    return Fact.objects.filter(~Exists(later.filter(by_right)))


def officials() -> QuerySet[Membership]:
    """To be asked of a query of facts: what makes or made its author a weigher of the fact's match,
    or the secretary or owner of its club. Their facts are not refused for being late."""
    return Membership.objects.filter(
        official_in(OuterRef("match")),
        person=OuterRef("author"),
        club=OuterRef("club"),
    )


def official_in(match: Match | OuterRef) -> Q:
    """The roles in its club that make their holder an official of the match."""
    return Q(role__in=DESK_ROLES) | Q(role=Role.WEIGHER, match=match)


def officials_then() -> QuerySet[Membership]:
    """Those of `officials` who were so when the fact was received."""
    return officials().filter(Q(ended_at__isnull=True) | Q(ended_at__gt=OuterRef("received_at")))
