"""Who may hand in what: read once a batch."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection
from dataclasses import dataclass

from matches.models import Match, Membership, Person
from matches.reads.access import DESK_ROLES
from matches.reads.in_force import official_in


@dataclass(frozen=True, slots=True)
class Rights:
    """What a person may do in one match.

    `member`: holds a role in the club now. `official`: is or was a weigher of the match, or a
    secretary or owner of the club: their facts are not refused for being late. `rules`: is
    secretary or owner now.
    """

    match: Match
    member: bool
    official: bool
    rules: bool


def rights_of(person: Person, *, match_ids: Collection[int]) -> dict[int, Rights]:
    """The matches among `match_ids` of clubs the person belongs or belonged to. Two queries.

    A match of another club is not in the answer, just as one that does not exist.
    """
    found = rights_of_each([person], match_ids=match_ids)
    return {match_id: rights for (_person, match_id), rights in found.items()}


def rights_of_each(
    people: Collection[Person], *, match_ids: Collection[int]
) -> dict[tuple[int, int], Rights]:
    """The same for several people, by person and match. Two queries."""
    if not match_ids:
        return {}
    held: dict[int, list[Membership]] = defaultdict(list)
    for m in Membership.objects.filter(person__in=people):
        held[m.person_id].append(m)
    clubs = {m.club_id for of_one in held.values() for m in of_one}
    matches = Match.objects.filter(pk__in=match_ids, club_id__in=clubs).select_related("club")
    return {
        (person_id, match.pk): _rights(match, of_one)
        for match in matches
        for person_id, of_one in held.items()
        if any(m.club_id == match.club_id for m in of_one)
    }


def _rights(match: Match, held: list[Membership]) -> Rights:
    here = [m for m in held if m.club_id == match.club_id]
    desk = [m for m in here if m.role in DESK_ROLES]
    return Rights(
        match=match,
        member=any(m.ended_at is None for m in here),
        official=bool(desk) or any(m.match_id == match.pk for m in here),
        rules=any(m.ended_at is None for m in desk),
    )


def officials_of(match: Match) -> frozenset[int]:
    """Everybody who is or was a weigher of the match, or a secretary or owner of its club."""
    return frozenset(
        Membership.objects.filter(official_in(match), club_id=match.club_id).values_list(
            "person_id", flat=True
        )
    )
