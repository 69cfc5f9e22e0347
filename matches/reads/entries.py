"""Who is entered in a match, and who of the club's book could be.

Fetch the match through `matches.reads.access` first; these add no check of their own.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

from matches.models import FISHING, Angler, Entry, EntryStatus, Match, Team


@dataclass(frozen=True, slots=True)
class EntryLists:
    """Everybody of a match: with a place (by team, singles last), standing by, waiting in their
    order, and those who gave their place back."""

    placed: tuple[Entry, ...]
    reserves: tuple[Entry, ...]
    waiting: tuple[Entry, ...]
    withdrawn: tuple[Entry, ...]

    @property
    def standing_by(self) -> tuple[Entry, ...]:
        return self.reserves + self.waiting


def entry_lists(match: Match) -> EntryLists:
    """One query, however many are entered."""
    rows = list(
        Entry.objects.filter(match=match)
        .select_related("angler", "team", "drawn_peg__section_peg__section")
        .select_related("drawn_peg__section_peg__peg", "replaces__angler")
        .order_by("entered_at", "pk")
    )
    placed = sorted((e for e in rows if e.status in FISHING), key=_by_team)
    return EntryLists(
        placed=tuple(placed),
        reserves=_of(rows, EntryStatus.RESERVE),
        waiting=_of(rows, EntryStatus.WAITING),
        withdrawn=_of(rows, EntryStatus.WITHDRAWN),
    )


def angler_ids_in(match: Match) -> set[int]:
    """Anglers who are in the match, with a place or standing by."""
    rows = Entry.objects.filter(match=match).exclude(status=EntryStatus.WITHDRAWN)
    return set(rows.values_list("angler_id", flat=True))


@dataclass(frozen=True, slots=True)
class BookGroup:
    """Anglers of the book who are not in the match, of one team or (None) of none."""

    team: Team | None
    anglers: tuple[Angler, ...]


def book_groups(match: Match, *, lists: EntryLists) -> list[BookGroup]:
    """The club's teams by name, own before visiting, then those of none. Two queries."""
    taken = {e.angler_id for e in lists.placed + lists.standing_by}
    of: defaultdict[int | None, list[Angler]] = defaultdict(list)
    for angler in Angler.objects.filter(club=match.club_id).order_by("name", "pk"):
        if angler.pk not in taken:
            of[angler.team_id].append(angler)
    teams = Team.objects.filter(club=match.club_id).order_by("visitors", "name")
    groups = [BookGroup(team, tuple(of[team.pk])) for team in teams]
    return [*groups, BookGroup(None, tuple(of[None]))]


def _of(rows: list[Entry], status: str) -> tuple[Entry, ...]:
    return tuple(e for e in rows if e.status == status)


def _by_team(entry: Entry) -> tuple[bool, str, str, int]:
    team = entry.team.name if entry.team else ""
    return (not team, team, entry.angler.name, entry.pk)
