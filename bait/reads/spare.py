"""The spare an order is suggested, from what came back of the team's earlier bags."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from bait.models import Order, Plan
from bait.reckon.spare import BagUsed, Spare, spare_suggest
from matches.models import EntryStatus, Match, Team

from .bags_back import BagBack, bags_back

#: Of so many matches at most is learnt: a team changes.
MATCHES_READ = 20


@dataclass(frozen=True, slots=True)
class SpareOffered:
    """The spare suggested for a team's order, and what its plans have now, least and most."""

    spare: Spare
    plans: int
    least: int
    most: int

    @property
    def differs(self) -> bool:
        return (self.least, self.most) != (self.spare.percent, self.spare.percent)


def spare_offered(team: Team, *, match: Match) -> SpareOffered | None:
    """What to offer for the team's plans for the match; None where there are none. Five queries."""
    now = list(
        Plan.objects.filter(
            entry__match=match, entry__team=team, entry__status=EntryStatus.ENTERED
        ).values_list("spare_percent", flat=True)
    )
    if not now:
        return None
    spare = spare_learnt(bags_back(team, matches=_matches_before(team, match=match)))
    return SpareOffered(spare, plans=len(now), least=min(now), most=max(now))


def spare_learnt(bags: Iterable[BagBack]) -> Spare:
    """What the bags say of the spare."""
    return spare_suggest([BagUsed(bag.match, bag.share, bag.emptied) for bag in bags])


def _matches_before(team: Team, *, match: Match) -> list[int]:
    """The team's latest matches with a placed order. One query."""
    return list(
        Order.objects.filter(team=team, placed__isnull=False, match__start_at__lt=match.start_at)
        .order_by("-match__start_at", "-match_id")
        .values_list("match_id", flat=True)[:MATCHES_READ]
    )
