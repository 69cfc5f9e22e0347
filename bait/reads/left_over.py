"""What should be left of everybody's bag after a match, to go back into the larder."""

from __future__ import annotations

import datetime as dt
import uuid
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from django.utils.translation import gettext as _

from bait.models import Bait, BaitKind, LotMove, LotState, MoveKind, Order, Plan
from bait.reckon.plans import THROW_ML, Feed, Throws, feed_amount
from bait.reckon.units import amount_down
from matches.models import FISHING, Angler, Entry, EntryStatus, Fact, FactKind, Match, Person, Team
from matches.problems import Code, Problem
from matches.reads.access import match_seen
from matches.reckon.decimals import decimal_text
from matches.reckon.errors import BadInput

from .baits import bait_facts, baits_of_club
from .larder import LarderSeen, larder_seen
from .plan_whole import WholePlan, plans_whole
from .plans import plan_totals_of

_SPACE = uuid.UUID("0d0b1a0e-3f53-4c1c-8a55-9e7b6d0c2a47")
#: How each kind of bait comes back unless somebody says otherwise (common practice, no source).
COMES_BACK = {
    BaitKind.GROUNDBAIT: LotState.DRY,
    BaitKind.SOIL: LotState.DRY,
    BaitKind.PARTICLE: LotState.COOKED,
}
#: By member (or "team"), then by bait: amounts with their units.
Bagged = dict[str, dict[str, list[tuple[Fraction, str]]]]


@dataclass(frozen=True, slots=True)
class LeftRow:
    """One bait of one bag: `left` is the bag less what the plan wets in a mix and what was noted
    as fed, never below zero, in the bait's unit. `put`: the move by which some came back already.
    """

    bait: Bait
    bag: Fraction
    mixed: Fraction
    fed: Fraction
    state: str
    put: LotMove | None
    was_frozen: bool
    unread: bool = False

    @property
    def left(self) -> Fraction:
        return max(Fraction(0), self.bag - self.mixed - self.fed)

    @property
    def freezes(self) -> bool:
        """Soil and dry goods keep as they are, and nothing is frozen twice."""
        return self.state != LotState.DRY and not self.was_frozen


@dataclass(frozen=True, slots=True)
class LeftPart:
    """One member's rows, or the team's (`angler` None): what was bought beyond all bags."""

    angler: Angler | None
    rows: tuple[LeftRow, ...]

    @property
    def source(self) -> str:
        """What the part is called in forms: the angler's id, or "team"."""
        return "team" if self.angler is None else str(self.angler.pk)

    @property
    def open(self) -> bool:
        """Whether some of it was not put into the larder yet."""
        return any(row.put is None for row in self.rows)


@dataclass(frozen=True, slots=True)
class LeftOver:
    """`plans` are by member; `ordered`: the bags are of a placed order, not of the plans."""

    seen: LarderSeen
    match: Match
    parts: tuple[LeftPart, ...]
    plans: Mapping[str, WholePlan]
    ordered: bool

    @property
    def open(self) -> bool:
        return any(part.open for part in self.parts)


def left_over(person: Person, *, team_id: int, match_id: int) -> LeftOver:
    """The captain sees the team's and everybody's rows, a member their own.

    The bag is what the placed order was worked out for, without one the plan with its spare; the
    same number of queries for any team. Raises Problem NOT_FOUND or NOT_ALLOWED.
    """
    match = match_seen(person, match_id=match_id)
    seen = larder_seen(person, team_id=team_id)
    if seen.team.club_id != match.club_id:
        raise Problem(Code.NOT_FOUND, _("No such team in this club."))
    entries = _entries(seen, match=match)
    if not seen.captain and not entries:
        raise Problem(Code.NOT_FOUND, _("You did not fish this match for this team."))
    plans = {
        str(whole.plan.entry.angler_id): whole
        for whole in plans_whole(Plan.objects.filter(entry__in=entries))
    }
    placed = _bags_placed(seen.team, match=match)
    bags, surplus = placed or (_bags_planned(plans), {})
    put, frozen = _moves(seen.team, match=match)
    mixed, fed = _mixed(plans), _fed(match, anglers=[entry.angler for entry in entries])
    view = _Rows(
        baits=baits_of_club(match.club_id),
        throws={source: whole.throws for source, whole in plans.items()},
        moves=put,
        frozen=frozen,
        match=match,
        team=seen.team,
    )
    parts = [view.part(entry.angler, bags=bags, mixed=mixed, fed=fed) for entry in entries]
    if seen.captain:
        parts.insert(0, view.part(None, bags={"team": surplus}, mixed={}, fed={}))
    shown = tuple(part for part in parts if part.rows)
    return LeftOver(seen, match, shown, plans, ordered=placed is not None)


def left_key(*, team_id: int, match_id: int, source: str, bait_id: int) -> uuid.UUID:
    """The key of the one move by which what is left of a bait comes back from a bag."""
    return uuid.uuid5(_SPACE, f"match {match_id} team {team_id} from {source} bait {bait_id}")


def _entries(seen: LarderSeen, *, match: Match) -> list[Entry]:
    entries = Entry.objects.filter(match=match, team=seen.team, status__in=FISHING).exclude(
        status=EntryStatus.ABSENT
    )
    if not seen.captain:
        entries = entries.filter(angler=seen.angler)
    return list(entries.select_related("angler").order_by("angler__name", "angler_id"))


def _bags_placed(
    team: Team, *, match: Match
) -> tuple[Bagged, dict[str, list[tuple[Fraction, str]]]] | None:
    """What each member was handed, by member and bait; then what was bought beyond it. None where
    no order is placed."""
    placed = (
        Order.objects.filter(team=team, match=match, placed__isnull=False)
        .values_list("placed__inputs__demands", "placed__answer__left_over")
        .first()
    )
    if placed is None:
        return None
    bags: Bagged = {}
    for row in placed[0]:
        mine = bags.setdefault(row["member"], {})
        mine.setdefault(row["bait"], []).append((Fraction(row["amount"]), row["unit"]))
    return bags, {r["bait"]: [(Fraction(r["amount"]), r["unit"])] for r in placed[1]}


def _bags_planned(plans: Mapping[str, WholePlan]) -> Bagged:
    bags: Bagged = {}
    for source, whole in plans.items():
        try:
            totals = plan_totals_of(whole)
        except BadInput:
            continue  # the plan's own page says what no longer adds up
        bags[source] = {t.bait: [(t.with_spare, t.unit)] for t in totals}
    return bags


def _mixed(plans: Mapping[str, WholePlan]) -> Bagged:
    """What each angler's plan wets in a mix, without the spare, which stays dry."""
    mixed: Bagged = {}
    for source, whole in plans.items():
        mine = mixed.setdefault(source, {})
        for part in (part for mix in whole.mixes for part in mix.parts):
            mine.setdefault(part.bait, []).append((part.amount, part.unit))
    return mixed


def _fed(match: Match, *, anglers: Iterable[Angler]) -> Bagged:
    """What each angler noted as fed, by angler and bait, notes in force only; a body that was
    erased holds no feed. One query."""
    by_person = {a.person_id: str(a.pk) for a in anglers if a.person_id is not None}
    facts = list(
        Fact.objects.filter(
            match=match,
            author__in=by_person,
            kind__in=(FactKind.FEED_NOTE, FactKind.SCRATCH),
        ).values_list("pk", "author_id", "kind", "supersedes", "body")
    )
    gone = {(author, supersedes) for _pk, author, _kind, supersedes, _body in facts if supersedes}
    fed: Bagged = {}
    for pk, author, kind, _supersedes, body in facts:
        if kind == FactKind.FEED_NOTE and (author, pk) not in gone and "bait" in body:
            mine = fed.setdefault(by_person[author], {})
            mine.setdefault(body["bait"], []).append((Fraction(body["amount"]), body["unit"]))
    return fed


def _moves(team: Team, *, match: Match) -> tuple[dict[uuid.UUID, LotMove], frozenset[str]]:
    """What came back already, by its key; and the baits of which a frozen lot went out. One
    query."""
    moves = list(
        LotMove.objects.filter(match=match, lot__team=team)
        .filter(kind__in=(MoveKind.LEFT_OVER, MoveKind.TAKEN))
        .select_related("lot__bait", "person")
    )
    put = {move.key: move for move in moves if move.kind == MoveKind.LEFT_OVER}
    frozen = [m for m in moves if m.kind == MoveKind.TAKEN and m.lot.state == LotState.FROZEN]
    return put, frozenset(move.lot.bait.key for move in frozen)


@dataclass(frozen=True, slots=True)
class _Rows:
    baits: Mapping[str, Bait]
    throws: Mapping[str, Throws]
    moves: Mapping[uuid.UUID, LotMove]
    frozen: frozenset[str]
    match: Match
    team: Team

    def part(
        self,
        angler: Angler | None,
        *,
        bags: Bagged,
        mixed: Bagged,
        fed: Bagged,
    ) -> LeftPart:
        source = "team" if angler is None else str(angler.pk)
        bag, wet, out = bags.get(source, {}), mixed.get(source, {}), fed.get(source, {})
        known = [key for key in self.baits if key in bag]
        rows = (
            self._row(key, bag[key], mixed=wet.get(key, ()), fed=out.get(key, ()), source=source)
            for key in known
        )
        return LeftPart(angler, tuple(rows))

    def _row(
        self,
        key: str,
        bag: Sequence[tuple[Fraction, str]],
        *,
        mixed: Sequence[tuple[Fraction, str]],
        fed: Sequence[tuple[Fraction, str]],
        source: str,
    ) -> LeftRow:
        bait = self.baits[key]
        move_key = left_key(
            team_id=self.team.pk, match_id=self.match.pk, source=source, bait_id=bait.pk
        )
        throws = self.throws.get(source, THROW_ML)
        bag_sum, bag_all = _sum(bag, bait=bait, throws=throws)
        mixed_sum, mixed_all = _sum(mixed, bait=bait, throws=throws)
        fed_sum, fed_all = _sum(fed, bait=bait, throws=throws)
        return LeftRow(
            bait=bait,
            bag=bag_sum,
            mixed=mixed_sum,
            fed=fed_sum,
            state=COMES_BACK.get(BaitKind(bait.kind), LotState.FRESH),
            put=self.moves.get(move_key),
            was_frozen=key in self.frozen,
            unread=not (bag_all and mixed_all and fed_all),
        )


def _sum(
    amounts: Sequence[tuple[Fraction, str]], *, bait: Bait, throws: Throws
) -> tuple[Fraction, bool]:
    """Their sum in the bait's unit; whether every one of them could be converted."""
    facts = {bait.key: bait_facts(bait)}
    total, whole = Fraction(0), True
    for amount, unit in amounts:
        try:
            if amount:
                total += feed_amount(Feed(bait.key, amount, unit), baits=facts, throws=throws)
        except BadInput:
            whole = False
    return total, whole


def left_text(row: LeftRow) -> str:
    """What the page's field starts with, in the bait's unit."""
    return decimal_text(amount_down(row.left, unit=row.bait.unit))


def is_to_come(match: Match, *, today: dt.date) -> bool:
    """Whether the match's day is after `today`."""
    return match.date > today
