"""The spare an order is suggested, from what came back of the team's earlier bags."""

from __future__ import annotations

import uuid
from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from bait.models import LotMove, MoveKind, Order, Plan
from bait.reckon.spare import BagUsed, Spare, spare_suggest
from bait.reckon.units import amount_convert
from matches.models import EntryStatus, Match, Team

from .left_over import left_key

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
    """What to offer for the team's plans for the match; None where there are none. Four queries."""
    now = list(
        Plan.objects.filter(
            entry__match=match, entry__team=team, entry__status=EntryStatus.ENTERED
        ).values_list("spare_percent", flat=True)
    )
    if not now:
        return None
    spare = spare_suggest(list(_bags_used(team, before=match)))
    return SpareOffered(spare, plans=len(now), least=min(now), most=max(now))


@dataclass(frozen=True, slots=True)
class _Back:
    """What came back of bags by its key, and the ids and units of the baits it is of."""

    amounts: Mapping[uuid.UUID, Decimal]
    baits: Mapping[str, tuple[int, str]]


def _bags_used(team: Team, *, before: Match) -> Iterator[BagUsed]:
    """One for each bait of each bag of which anything came back, of the team's latest matches."""
    orders = list(
        Order.objects.filter(team=team, placed__isnull=False, match__start_at__lt=before.start_at)
        .order_by("-match__start_at", "-match_id")
        .values_list("match_id", "placed__inputs__demands")[:MATCHES_READ]
    )
    matches = [match for match, _demands in orders]
    spares = {
        (match, str(angler)): percent
        for match, angler, percent in Plan.objects.filter(
            entry__team=team, entry__match__in=matches
        ).values_list("entry__match_id", "entry__angler_id", "spare_percent")
    }
    back = _came_back(team, matches=matches)
    for match, demands in orders:
        bags: dict[str, list[dict[str, str]]] = defaultdict(list)
        for row in demands:
            bags[row["member"]].append(row)
        for member, rows in bags.items():
            if (match, member) in spares:
                yield from _bag_used(
                    rows,
                    back=back,
                    spare=spares[match, member],
                    team=team,
                    match=match,
                    member=member,
                )


def _came_back(team: Team, *, matches: list[int]) -> _Back:
    """One query."""
    rows = list(
        LotMove.objects.filter(
            lot__team=team, match__in=matches, kind=MoveKind.LEFT_OVER
        ).values_list("key", "amount", "lot__bait__key", "lot__bait_id", "lot__unit")
    )
    return _Back(
        {key: amount for key, amount, *_bait in rows},
        {bait: (pk, unit) for _key, _amount, bait, pk, unit in rows},
    )


def _bag_used(
    rows: list[dict[str, str]], *, back: _Back, spare: int, team: Team, match: int, member: str
) -> Iterator[BagUsed]:
    """Nothing where nobody said what was left of the bag.

    Of a bag of which anything came back, what did not come back is used up, or was thrown away.
    """
    found: list[tuple[Fraction, Fraction, bool]] = []
    told = False
    for row in rows:
        pk, unit = back.baits.get(row["bait"], (0, row["unit"]))
        key = left_key(team_id=team.pk, match_id=match, source=member, bait_id=pk)
        left = Fraction(back.amounts.get(key, 0))
        told = told or key in back.amounts
        had = amount_convert(Fraction(row["amount"]), unit=row["unit"], to=unit, density=None)
        if had:
            found.append((had, left, key not in back.amounts))
    if told:
        for had, left, emptied in found:
            used = max(Fraction(0), had - left) / had
            yield BagUsed(match, used * (100 + spare) / 100, emptied)
