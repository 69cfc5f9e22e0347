"""The teams a person has to do with."""

from __future__ import annotations

from django.db.models import Q

from matches.models import Person, Team

from .access import captained_teams, clubs_of


def teams_seen(person: Person) -> list[tuple[Team, bool]]:
    """The teams the person fishes in or orders for, by club and name, and whether they order for
    it. Two queries."""
    ordered = set(captained_teams(person).values_list("pk", flat=True))
    own = Q(anglers__person_id=person.pk, club__in=clubs_of(person))
    found = Team.objects.filter(Q(pk__in=ordered) | own).select_related("club").distinct()
    return [(team, team.pk in ordered) for team in found.order_by("club__name", "name", "pk")]
