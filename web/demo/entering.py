"""Places, a waiting list and fees of the match that is still to come."""

from __future__ import annotations

import uuid
from collections.abc import Sequence

from matches.models import Angler, Entry, EntryStatus, Match, Person
from matches.writes.entries import entries_add, entry_access_set
from matches.writes.fees import fee_take
from matches.writes.match_content import terms_parse, terms_typed
from matches.writes.matches import match_change

FEE = "10.00"
#: Of those entered in their order, every sixth still owes, and the third has paid a part.
OWES_EACH, PART, PART_PENCE = 6, 2, 500


def entries_go_on(
    secretary: Person, *, match: Match, waiting: Sequence[str], reserve: str, access: str
) -> None:
    """Full: two wait, one stands by, one asks for an accessible peg, most have paid."""
    places = str(Entry.objects.filter(match=match).count())
    typed = {**terms_typed(match), "fee": FEE, "places_most": places}
    terms = terms_parse(typed, venues=match.club.venues.all())
    match_change(secretary, match=match, terms=terms)
    _enter(secretary, match, waiting, status=EntryStatus.ENTERED)
    _enter(secretary, match, [reserve], status=EntryStatus.RESERVE)
    asks = Entry.objects.get(match=match, angler__name=access)
    entry_access_set(secretary, match=match, entry_id=asks.pk, needs=True)
    placed = Entry.objects.filter(match=match, status=EntryStatus.ENTERED).order_by("pk")
    for at, entry in enumerate(placed):
        if at % OWES_EACH == 0:
            continue
        pence = PART_PENCE if at == PART else terms.fee_pence
        fee_take(secretary, match=match, entry_id=entry.pk, pence=pence, key=uuid.uuid4())


def _enter(secretary: Person, match: Match, names: Sequence[str], *, status: str) -> None:
    """Each for their own team, in the order given."""
    for name in names:
        angler = Angler.objects.get(club=match.club, name=name)
        entries_add(
            secretary,
            match=match,
            angler_ids=[angler.pk],
            team_id=angler.team_id,
            status=status,
        )
