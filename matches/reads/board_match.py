"""Who may see a match's weights come in, and when a page that shows them is old."""

from __future__ import annotations

from dataclasses import dataclass
from uuid import UUID

from django.db.models import Exists, OuterRef, Q, QuerySet, Subquery
from django.utils.translation import gettext as _

from matches.models import Fact, FactKind, Match, Person, RefusedFact, Role
from matches.problems import Code, Problem

from .access import DESK_ROLES, matches_of, memberships_of
from .in_force import facts_in_force
from .trail import trail_length


@dataclass(frozen=True, slots=True)
class BoardMatch:
    """A match for who may see its weights come in: `rules` as its secretary. `stamp` is another as
    soon as anything of the club was logged or changed. `biggest_fish`: the note of the heaviest
    single fish, as its angler gave it."""

    match: Match
    rules: bool
    stamp: str
    biggest_fish: UUID | None


def board_match(person: Person, *, match_id: int) -> BoardMatch:
    """Raises Problem NOT_FOUND, or NOT_ALLOWED for who neither weighs nor runs it. One query."""
    held = memberships_of(person).filter(club=OuterRef("club"))
    found = (
        matches_of(person)
        .filter(pk=match_id)
        .annotate(
            rules=Exists(held.filter(role__in=DESK_ROLES)),
            weighs=Exists(held.filter(role=Role.WEIGHER, match=OuterRef("pk"))),
            trail=trail_length("club"),
            biggest_fish=Subquery(_single_fish().values("pk")[:1]),
            refused=Subquery(_refused().values("received_at")[:1]),
        )
        .first()
    )
    if found is None:
        raise Problem(Code.NOT_FOUND, _("No such match in your clubs."))
    if not (found.rules or found.weighs):
        raise Problem(Code.NOT_ALLOWED, _("Only this match’s weighers and the secretary may look."))
    refused = found.refused.timestamp() if found.refused else 0
    stamp = f"{found.club.epoch}.{found.club.fact_counter}.{found.trail}.{refused}"
    return BoardMatch(found, found.rules, stamp, found.biggest_fish)


def _refused() -> QuerySet[RefusedFact]:
    """What was refused of the club's facts, the last first: no counter counts it."""
    return RefusedFact.objects.filter(match__club=OuterRef("club")).order_by("-received_at")


def _single_fish() -> QuerySet[Fact]:
    """Notes of one fish with its weight that nobody took back, the heaviest first."""
    return (
        facts_in_force()
        .filter(
            # SQLite takes "no weight" for more than nothing.
            ~Q(body__weight=None),
            match=OuterRef("pk"),
            kind=FactKind.FISH_NOTE,
            body__count=1,
            body__weight__gt=0,
        )
        .order_by("-body__weight", "cseq")
    )
