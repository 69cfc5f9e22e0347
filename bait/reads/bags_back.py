"""What was used of earlier bags, from what came back of them."""

from __future__ import annotations

import uuid
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from django.db.models import OuterRef, QuerySet

from bait.models import LotMove, MoveKind, Order, Plan
from bait.reckon.units import amount_convert
from matches.models import FISHING, EntryStatus, Team
from matches.reads.rows_along import RowsAlong

from .left_over import left_key


@dataclass(frozen=True, slots=True)
class BagBack:
    """One bait of one bag: `share` of what was planned without the spare was used, or thrown away.

    `emptied`: nothing of it came back.
    """

    match: int
    member: str
    bait: str
    share: Fraction
    emptied: bool


@dataclass(frozen=True, slots=True)
class _Back:
    """What came back of bags by its key, and the ids and units of the baits it is of."""

    amounts: Mapping[uuid.UUID, Fraction]
    baits: Mapping[str, tuple[int, str]]


def bags_back(team: Team, *, orders: QuerySet[Order]) -> Iterator[BagBack]:
    """One for each bait of each bag of these placed orders of the team's of which anything came
    back. One query.

    Of such a bag, what did not come back is used up, or was thrown away. A bag of which nothing
    came back at all says nothing: perhaps nobody told. Nor does one that nobody fished with.
    """
    fished = Plan.objects.filter(entry__team=team, entry__status__in=FISHING)
    plans = fished.filter(entry__match=OuterRef("match")).exclude(entry__status=EntryStatus.ABSENT)
    moves = LotMove.objects.filter(lot__team=team, match=OuterRef("match"), kind=MoveKind.LEFT_OVER)
    for match, demands, spare_rows, move_rows in orders.annotate(
        spare_rows=RowsAlong(plans, "entry__angler_id", "spare_percent"),
        move_rows=RowsAlong(moves, "key", "amount", "lot__bait__key", "lot__bait_id", "lot__unit"),
    ).values_list("match_id", "placed__inputs__demands", "spare_rows", "move_rows"):
        spares = {str(angler): percent for angler, percent in spare_rows}
        back = _came_back(move_rows)
        bags: dict[str, list[dict[str, Any]]] = defaultdict(list)
        for row in demands:
            bags[row["member"]].append(row)
        for member, mine in bags.items():
            if member in spares:
                yield from _bag_back(mine, back=back, team=team, match=match, spare=spares[member])


def _came_back(rows: Sequence[Sequence[Any]]) -> _Back:
    return _Back(
        {uuid.UUID(key): Fraction(amount) for key, amount, *_bait in rows},
        {bait: (pk, unit) for _key, _amount, bait, pk, unit in rows},
    )


def _bag_back(
    rows: Sequence[dict[str, Any]], *, back: _Back, team: Team, match: int, spare: int
) -> Iterator[BagBack]:
    found = []
    for row in rows:
        pk, unit = back.baits.get(row["bait"], (0, row["unit"]))
        key = left_key(team_id=team.pk, match_id=match, source=row["member"], bait_id=pk)
        had = amount_convert(Fraction(row["amount"]), unit=row["unit"], to=unit, density=None)
        if had:
            left = back.amounts.get(key, Fraction(0))
            used = max(Fraction(0), had - left) / had * (100 + spare) / 100
            emptied = key not in back.amounts
            found.append(BagBack(match, row["member"], row["bait"], used, emptied))
    if not all(bag.emptied for bag in found):
        yield from found
