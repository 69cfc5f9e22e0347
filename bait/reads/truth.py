"""What became of the bait of a match: planned, bought, fed and left over, bag by bag."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from django.db.models import OuterRef

from bait.models import Bait, Order, OrderLine
from bait.reckon.plans import HOOK, BaitTotal
from bait.reckon.review import DayNotes, Switch, Watched
from bait.reckon.review.notes import watched_of
from bait.reckon.truth import BaitKnown, PartlyKnown, partly_known
from bait.reckon.units import amount_convert
from matches.models import Angler, Fact, FactKind, Match, Person
from matches.reads.rows_along import RowsAlong
from matches.reckon.errors import BadInput

from .baits import bait_facts
from .fed import DAY_KINDS
from .left_over import LeftOver, LeftPart, LeftRow, left_over
from .order_marks import order_marks, orders_marked
from .plan_whole import WholePlan
from .plans import plan_totals_of

#: What shows that a phone was in use.


@dataclass(frozen=True, slots=True)
class TruthRow:
    """One bait of one bag; `unread`: some of it is in a unit that no longer fits the bait."""

    bait: Bait
    known: BaitKnown
    unread: bool


@dataclass(frozen=True, slots=True)
class TruthPart:
    """One member's bag. `fed_notes`: they noted feed, in force or not; `watched` is what part of
    the match was logged, None where no note lies within it."""

    angler: Angler
    rows: tuple[TruthRow, ...]
    watched: Watched | None
    fed_notes: bool
    told_left: bool


@dataclass(frozen=True, slots=True)
class Bought:
    """`packs` of `amount` `unit` each that came from a shop."""

    shop: str
    packs: int
    amount: Fraction
    unit: str


@dataclass(frozen=True, slots=True)
class TeamBait:
    """A bait over the whole team, in its own unit. `had` is what was bought and what the larder
    gave, None where no order is placed; `left` counts what was in nobody's bag too."""

    bait: Bait
    planned: PartlyKnown
    bought: tuple[Bought, ...]
    larder: Fraction | None
    had: Fraction | None
    fed: PartlyKnown
    unnoted: Fraction
    left: PartlyKnown


@dataclass(frozen=True, slots=True)
class Truth:
    """`team` is empty for who sees only their own bag."""

    left: LeftOver
    parts: tuple[TruthPart, ...]
    team: tuple[TeamBait, ...]

    @property
    def match(self) -> Match:
        return self.left.match


def bait_truth(person: Person, *, team_id: int, match_id: int) -> Truth:
    """The captain sees the team and everybody's bag, a member their own.

    The same number of queries for any team. Raises Problem NOT_FOUND or NOT_ALLOWED, as what is
    left over does.
    """
    left = left_over(person, team_id=team_id, match_id=match_id)
    members = [(part, part.angler) for part in left.parts if part.angler is not None]
    moments = _moments(left.match, anglers=[angler for _bag, angler in members])
    parts = tuple(_part(part, angler, left=left, moments=moments) for part, angler in members)
    team = _team(left, parts=parts) if left.seen.captain else ()
    return Truth(left, parts, team)


def _moments(match: Match, *, anglers: Sequence[Angler]) -> dict[int, list[tuple[int, str]]]:
    """By person: when something was noted, in seconds from the planned start, and of which kind.

    What was corrected later counts: the phone was in use. One query.
    """
    people = [angler.person_id for angler in anglers if angler.person_id is not None]
    found: dict[int, list[tuple[int, str]]] = defaultdict(list)
    for author, kind, at, offset in Fact.objects.filter(
        match=match, author__in=people, kind__in=DAY_KINDS
    ).values_list("author_id", "kind", "recorded_at", "clock_offset_ms"):
        since = at + dt.timedelta(milliseconds=offset) - match.start_at
        found[author].append((int(since.total_seconds()), kind))
    return found


def _part(
    part: LeftPart,
    angler: Angler,
    *,
    left: LeftOver,
    moments: Mapping[int, list[tuple[int, str]]],
) -> TruthPart:
    noted = moments.get(angler.person_id or 0, [])
    has_fed = any(kind == FactKind.FEED_NOTE for _at, kind in noted)
    told = any(row.put for row in part.rows)
    plan = left.plans.get(part.source)
    totals = _totals(plan)
    return TruthPart(
        angler=angler,
        rows=tuple(
            TruthRow(
                row.bait,
                _known(row, total=totals.get(row.bait.key), left=left, fed=has_fed, told=told),
                row.unread,
            )
            for row in part.rows
        ),
        watched=_watched(left.match, [at for at, _kind in noted]),
        fed_notes=has_fed,
        told_left=told,
    )


def _totals(plan: WholePlan | None) -> dict[str, BaitTotal]:
    if plan is None:
        return {}
    try:
        return {total.bait: total for total in plan_totals_of(plan)}
    except BadInput:
        return {}  # the plan's own page says what no longer adds up


def _known(
    row: LeftRow, *, total: BaitTotal | None, left: LeftOver, fed: bool, told: bool
) -> BaitKnown:
    hooked = total.used(HOOK, spare=False) if total else Fraction(0)
    back = None if row.put is None else Fraction(row.put.amount)
    return BaitKnown(
        planned=total.planned if total else None,
        had=row.bag if left.ordered else None,
        unnoted=row.mixed + hooked,
        fed=row.fed if fed else None,
        left=Fraction(0) if back is None and told else back,
        emptied=back is None and told,
    )


def _watched(match: Match, seconds: Sequence[int]) -> Watched | None:
    """None too where no note lies within the match, as of a phone whose clock was wrong."""
    end = max(1, int((match.end_at - match.start_at).total_seconds()))
    inside = {at for at in seconds if 0 <= at <= end}
    if not inside:
        return None
    found = watched_of(DayNotes(end, switches=tuple(Switch(at, "") for at in inside)))
    if len(inside) == 1 and (found.start, found.end) == (0, end) and not found.whole:
        (at,) = inside
        return Watched(at, at, whole=False)
    return found


def _team(left: LeftOver, *, parts: Sequence[TruthPart]) -> tuple[TeamBait, ...]:
    rows: dict[str, list[TruthRow]] = defaultdict(list)
    for part in parts:
        for row in part.rows:
            rows[row.bait.key].append(row)
    surplus = {row.bait.key: row for part in left.parts if part.angler is None for row in part.rows}
    baits = {key: mine[0].bait for key, mine in rows.items()}
    baits |= {key: row.bait for key, row in surplus.items()}
    order = _order_placed(left)
    return tuple(
        _team_bait(bait, rows=rows.get(key, []), surplus=surplus.get(key), order=order)
        for key, bait in sorted(baits.items(), key=lambda found: (found[1].name, found[0]))
    )


def _team_bait(
    bait: Bait, *, rows: Sequence[TruthRow], surplus: LeftRow | None, order: Order | None
) -> TeamBait:
    bought = _bought(order, bait=bait)
    larder = _larder(order, bait=bait)
    packs = [_in_own(bait, b.packs * b.amount, unit=b.unit) for b in bought]
    left = [row.known.left for row in rows]
    if surplus is not None and surplus.put is not None:
        left.append(Fraction(surplus.put.amount))
    elif surplus is not None:
        left.append(None)
    return TeamBait(
        bait=bait,
        planned=partly_known([row.known.planned for row in rows]),
        bought=bought,
        larder=larder,
        had=None if order is None else _sum_known([larder, *packs]),
        fed=partly_known([row.known.fed for row in rows]),
        unnoted=sum((row.known.unnoted for row in rows), Fraction(0)),
        left=partly_known(left),
    )


def _order_placed(left: LeftOver) -> Order | None:
    """The placed order with the lines of its version. One query."""
    lines = OrderLine.objects.filter(version=OuterRef("placed"))
    cells = ("pack__shop__name", "pack__bait__key", "pack_id", "pack__amount", "pack__unit")
    return (
        orders_marked(Order.objects.filter(team=left.seen.team, match=left.match))
        .filter(placed__isnull=False)
        .select_related("placed")
        .annotate(line_rows=RowsAlong(lines, *cells, "packs"))
        .first()
    )


def _bought(order: Order | None, *, bait: Bait) -> tuple[Bought, ...]:
    """What came of it, as it was bought."""
    if order is None:
        return ()
    came = order_marks(order).came if order.received_at else {}
    lines: list[list[Any]] = vars(order)["line_rows"]
    found = []
    for shop, key, pack, amount, unit, packs in sorted(lines):
        packs = came[pack].packs if pack in came else packs
        if key == bait.key and packs:
            found.append(Bought(shop, packs, Fraction(amount), unit))
    return tuple(found)


def _larder(order: Order | None, *, bait: Bait) -> Fraction | None:
    """What the order counted on from the larder; None where its unit no longer fits the bait."""
    if order is None or order.placed is None:
        return Fraction(0)
    rows = [row for row in order.placed.inputs["stock"] or () if row["bait"] == bait.key]
    return _sum_known([_in_own(bait, Fraction(r["amount"]), unit=r["unit"]) for r in rows])


def _in_own(bait: Bait, amount: Fraction, *, unit: str) -> Fraction | None:
    facts = bait_facts(bait)
    return amount_convert(amount, unit=unit, to=facts.unit, density=facts.density)


def _sum_known(amounts: Sequence[Fraction | None]) -> Fraction | None:
    whole = partly_known(amounts)
    return whole.amount if whole.known == whole.of else None
