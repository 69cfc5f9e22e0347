"""What was noted before at a peg that a person has drawn again."""

from __future__ import annotations

from typing import Any

from django.db.models import Q

from matches.models import Angler, Entry, FactKind, Person

from .access import clubs_of
from .facts import author_initials, author_name
from .in_force import facts_in_force

NOTES_MOST = 12


def peg_notes_before(person: Person, *, entry: Entry, number: str) -> list[dict[str, Any]]:
    """Peg notes of earlier matches at the same peg of the same venue, newest first, at most 12.

    One's own and those of one's team: what another team found out there is theirs. A note that
    was corrected or taken back is left out. Two queries at most.
    """
    mates = Angler.objects.filter(team=entry.team_id, person__isnull=False).values("person")
    wrote = Q(author=person.pk)
    if entry.team_id is not None:
        wrote |= Q(author__in=mates)
    facts = list(
        facts_in_force()
        .filter(
            wrote,
            club__in=clubs_of(person),
            kind=FactKind.PEG_NOTE,
            peg=number,
            match__venue=entry.match.venue_id,
            match__date__lt=entry.match.date,
        )
        .select_related("author", "match")
        .order_by("-match__date", "-cseq")[:NOTES_MOST]
    )
    initials = author_initials(person.pk, facts=facts) if facts else {}
    return [
        {
            "date": fact.match.date.isoformat(),
            "author": initials.get(fact.author_id) or author_name(fact),
            "body": fact.body,
        }
        for fact in facts
    ]
