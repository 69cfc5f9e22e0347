"""The waiting list: first come, first served, while the pegs are not drawn."""

from __future__ import annotations

from matches.models import FISHING, DrawnPeg, Entry, EntryStatus, Match, Person
from matches.reads.draws import draw_telling

from .audit import audit_record


def waiting_take_in(person: Person, *, match: Match) -> list[Entry]:
    """Give every free place to who waits longest; call it inside a write, behind the club's lock.

    After the draw nobody is taken in by themselves: who comes then takes somebody's place.
    """
    if pegs_drawn(match):
        return []
    rows = Entry.objects.filter(match=match, status=EntryStatus.WAITING).select_related("angler")
    free = places_free(match)
    waiting = rows.order_by("entered_at", "pk")
    taken = list(waiting if free is None else waiting[:free])
    for entry in taken:
        entry.status = EntryStatus.ENTERED
        entry.save(update_fields=["status"])
        audit_record(
            club=match.club,
            person=person,
            verb="entry_taken_in",
            subject=entry,
            detail={"match": match.pk, "entry": entry.pk},
        )
    return taken


def places_free(match: Match) -> int | None:
    """How many more may enter; None where all may."""
    if match.places_most is None:
        return None
    taken = Entry.objects.filter(match=match, status__in=FISHING).count()
    return max(0, match.places_most - taken)


def pegs_drawn(match: Match) -> bool:
    """Whether a draw has given pegs, or begun to: who draws is fixed then."""
    return draw_telling(match) is not None or DrawnPeg.objects.filter(match=match).exists()
