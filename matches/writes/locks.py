"""The lock that what a club's secretary changes is written behind.

It is the club's row, which facts, draws, bulletins and league tables take too: none comes between
what is read here and what is written.
"""

from __future__ import annotations

from matches.models import Club, Match, Person
from matches.reads.access import club_for_secretary, match_for_secretary


def club_locked(person: Person, *, club: Club) -> Club:
    """The club, seen with the secretary's rights, behind its lock. Raises Problem NOT_FOUND or
    NOT_ALLOWED."""
    Club.objects.select_for_update().get(pk=club.pk)
    return club_for_secretary(person, slug=club.slug)


def match_locked(person: Person, *, match: Match) -> Match:
    """The match as it is now, seen with the secretary's rights, behind its club's lock. Raises
    Problem NOT_FOUND or NOT_ALLOWED."""
    Club.objects.select_for_update().get(pk=match.club_id)
    return match_for_secretary(person, match_id=match.pk)


def club_row_hold(club: Club) -> None:
    """Nothing of the club that is written behind its lock changes until the transaction ends.
    Check first what the person may do."""
    Club.objects.select_for_update().get(pk=club.pk)
