"""The spare an order is suggested, from what came back of the team's earlier bags."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from django.db.models import QuerySet

from bait.models import Order, Plan
from bait.reckon.spare import BagUsed, Spare, spare_suggest
from matches.models import EntryStatus, Match, Team

from .bags_back import BagBack, bags_back
from .plan_whole import WholePlan

#: Of so many matches at most is learnt: a team changes.
MATCHES_READ = 20


@dataclass(frozen=True, slots=True)
class SpareOffered:
    """The spare suggested for a team's order, and what its plans have now, by entry."""

    spare: Spare
    now: Mapping[int, int]

    @property
    def least(self) -> int:
        return min(self.now.values())

    @property
    def most(self) -> int:
        return max(self.now.values())

    @property
    def differs(self) -> bool:
        return (self.least, self.most) != (self.spare.percent, self.spare.percent)


def spare_offered(
    team: Team, *, match: Match, plans: Sequence[WholePlan] | None = None
) -> SpareOffered | None:
    """What to offer for the team's plans for the match; None where there are none.

    `plans`: all of those who will fish, where they are read already. Two queries, one with them.
    """
    if plans is None:
        own = Plan.objects.filter(
            entry__match=match, entry__team=team, entry__status=EntryStatus.ENTERED
        )
        now = dict(own.values_list("entry_id", "spare_percent"))
    else:
        now = {plan.plan.entry_id: plan.plan.spare_percent for plan in plans}
    if not now:
        return None
    spare = spare_learnt(bags_back(team, orders=orders_before(team, match=match)))
    return SpareOffered(spare, now)


def orders_before(team: Team, *, match: Match) -> QuerySet[Order]:
    """The placed orders of the team's latest matches before this one, but those called off."""
    placed = Order.objects.filter(
        team=team,
        placed__isnull=False,
        match__start_at__lt=match.start_at,
        match__called_off="",
    )
    return placed.order_by("-match__start_at", "-match_id")[:MATCHES_READ]


def spare_learnt(bags: Iterable[BagBack]) -> Spare:
    """What the bags say of the spare."""
    return spare_suggest([BagUsed(bag.match, bag.share, bag.emptied) for bag in bags])
