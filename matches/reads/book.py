"""A club's book of anglers by team, with who captains each."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

from matches.models import Angler, Club, Membership, Person, Role, Team


@dataclass(frozen=True, slots=True)
class BookTeam:
    """A team (None: anglers of no team), its captains and its anglers, by name."""

    team: Team | None
    captains: tuple[Person, ...]
    anglers: tuple[Angler, ...]


def book_of(club: Club) -> list[BookTeam]:
    """Every team of the club, then who is in none. Three queries. Fetch the club through
    `matches.reads.access` first."""
    anglers: defaultdict[int | None, list[Angler]] = defaultdict(list)
    for angler in Angler.objects.filter(club=club).order_by("name"):
        anglers[angler.team_id].append(angler)
    captains: defaultdict[int | None, list[Person]] = defaultdict(list)
    held = Membership.objects.filter(club=club, role=Role.CAPTAIN, ended_at__isnull=True)
    for one in held.select_related("person").order_by("person__last_name", "pk"):
        captains[one.team_id].append(one.person)
    teams: list[Team | None] = [*Team.objects.filter(club=club), None]
    rows = [
        BookTeam(team, tuple(captains[key]), tuple(anglers[key]))
        for team in teams
        for key in (team.pk if team else None,)
    ]
    return [row for row in rows if row.team or row.anglers]
