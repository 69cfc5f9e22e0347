"""Who shares with a person what their team found out."""

from __future__ import annotations

from collections.abc import Collection
from typing import Any

from django.db.models import Q, QuerySet

from matches.models import TEAM_KINDS, Angler, Club, Fact, Person, Role

from .access import memberships_of
from .in_force import facts_in_force


def mates_of(person: Person, *, club: Club) -> QuerySet[Angler, Any]:
    """The people of the teams the person fishes for or captains in the club, by their ids.

    Also to be used within another query. A secretary of no team has none.
    """
    fished = Angler.objects.filter(club=club, person=person.pk).values("team")
    captained = memberships_of(person).filter(club=club, role=Role.CAPTAIN).values("team")
    return (
        Angler.objects.filter(club=club, person__isnull=False)
        .filter(Q(team__in=fished) | Q(team__in=captained))
        .values_list("person", flat=True)
    )


def facts_shared(person: Person, *, club: Club) -> QuerySet[Fact]:
    """What the person and their team mates logged in the club, without what was corrected or taken
    back. To be narrowed by who asks."""
    return facts_in_force().filter(
        Q(author=person.pk) | Q(author__in=mates_of(person, club=club)), club=club
    )


def team_kinds_seen(person: Person, *, mates: Collection[int]) -> Q:
    """Of facts: all but what another team found out. `mates`: as `mates_of` gives them."""
    return ~Q(kind__in=TEAM_KINDS) | Q(author__in={person.pk, *mates})
