"""A team's larder as its captain and members see it: lots, and the ledger of what moved."""

from __future__ import annotations

import datetime as dt
import uuid
from dataclasses import dataclass
from decimal import Decimal

from django.db.models import F, Q, Sum
from django.utils.translation import gettext as _

from bait.models import LarderLot, LotMove, LotState, MoveKind
from bait.reckon.larder import lot_serves
from bait.reckon.plans import HOOK
from matches.models import Angler, Entry, Person, Team
from matches.problems import Code, Problem
from matches.reads.access import captained_teams, clubs_of, is_captain
from matches.reckon.decimals import digits_read

LEDGER_PAGE = 40
SOON_DAYS = 3
UNDONE = (MoveKind.TAKEN, MoveKind.THROWN)


@dataclass(frozen=True, slots=True)
class LarderSeen:
    """A team whose larder a person may look into. `captain`: they may move all of it;
    `angler`: their own name in it, whose lots they may move."""

    team: Team
    captain: bool
    angler: Angler | None


@dataclass(frozen=True, slots=True)
class LotShown:
    """A lot with what is to be said of it on a day; `mine`: the reader may move it."""

    lot: LarderLot
    past: bool
    soon: bool
    mine: bool

    @property
    def for_hook(self) -> bool:
        """Whether it still serves on the hook."""
        return HOOK in self._serves

    @property
    def for_mix_only(self) -> bool:
        """Whether it serves in a mix and nowhere else."""
        return len(self._serves) == 1

    @property
    def _serves(self) -> frozenset[str]:
        return lot_serves(self.lot.state, kind=self.lot.bait.kind, dead=self.lot.bait.dead)

    @property
    def freezes(self) -> bool:
        """Whether it can be frozen: once only, and while it is fresh or cooked."""
        return self.lot.state in (LotState.FRESH, LotState.COOKED)


def may_move(person: Person, *, team: Team, angler: Angler | None) -> bool:
    """Captains and secretaries move all of their team's bait, its members their own."""
    if captained_teams(person).filter(pk=team.pk).exists():
        return True
    own = angler is not None and angler.person_id is not None and angler.person_id == person.pk
    if angler is None or not own or not clubs_of(person).filter(pk=team.club_id).exists():
        return False
    return _fishes_for(team, angler=angler)


def _fishes_for(team: Team, *, angler: Angler) -> bool:
    """Belongs to the team, or was entered for it in some match."""
    return angler.team_id == team.pk or Entry.objects.filter(team=team, angler=angler.pk).exists()


def larder_seen(person: Person, *, team_id: int) -> LarderSeen:
    """A team's larder, for its captain, the secretary, and who belongs to or fishes for the team.

    Raises Problem NOT_FOUND or NOT_ALLOWED.
    """
    team = Team.objects.filter(pk=team_id, club__in=clubs_of(person)).select_related("club").first()
    if team is None:
        raise Problem(Code.NOT_FOUND, _("No such team in your clubs."))
    captain = not team.visitors and is_captain(person, team=team)
    angler = Angler.objects.filter(club_id=team.club_id, person_id=person.pk).first()
    fishes = angler is not None and _fishes_for(team, angler=angler)
    if not captain and not fishes:
        raise Problem(Code.NOT_ALLOWED, _("Only the team's own people look into its larder."))
    return LarderSeen(team, captain=captain, angler=angler if fishes else None)


def larder_lots(seen: LarderSeen, *, today: dt.date) -> list[LotShown]:
    """What is there now, oldest first within each bait. One query."""
    lots = (
        LarderLot.objects.filter(team=seen.team, amount__gt=0)
        .select_related("bait", "angler", "team")
        .order_by(
            "bait__name",
            F("use_by").asc(nulls_last=True),
            F("bought_on").asc(nulls_last=True),
            "pk",
        )
    )
    return [_lot_shown(lot, seen=seen, today=today) for lot in lots]


def _lot_shown(lot: LarderLot, *, seen: LarderSeen, today: dt.date) -> LotShown:
    own = seen.angler is not None and lot.angler_id == seen.angler.pk
    past = lot.use_by is not None and lot.use_by < today
    return LotShown(
        lot,
        past=past,
        soon=not past
        and lot.use_by is not None
        and lot.use_by <= today + dt.timedelta(days=SOON_DAYS),
        mine=seen.captain or own,
    )


def lot_seen(seen: LarderSeen, *, lot_id: str) -> LarderLot:
    """One lot of the larder, by its id as text. Raises Problem NOT_FOUND."""
    found = (
        LarderLot.objects.filter(team=seen.team, pk=digits_read(lot_id) or 0)
        .select_related("bait", "angler", "team__club")
        .first()
    )
    if found is None:
        raise Problem(Code.NOT_FOUND, _("No such lot in this larder."))
    return found


@dataclass(frozen=True, slots=True)
class MoveShown:
    """A movement; `undo`: the reader may put it back, and nobody has."""

    move: LotMove
    undo: bool


@dataclass(frozen=True, slots=True)
class LedgerPage:
    """Some moves, the latest first; `before` is where the older ones begin, None at the end."""

    moves: list[MoveShown]
    before: int | None


def larder_ledger(seen: LarderSeen, *, before: int | None = None) -> LedgerPage:
    """Every movement of the team's lots, a page at a time. Two queries."""
    moves = LotMove.objects.filter(lot__team=seen.team)
    if before is not None:
        moves = moves.filter(pk__lt=before)
    rows = list(
        moves.select_related("lot__bait", "lot__angler", "person", "match").order_by("-pk")[
            : LEDGER_PAGE + 1
        ]
    )
    page = rows[:LEDGER_PAGE]
    undone = set(
        LotMove.objects.filter(key__in=[undo_key(move) for move in page]).values_list(
            "key", flat=True
        )
    )
    return LedgerPage(
        [_move_shown(move, seen=seen, undone=undone) for move in page],
        page[-1].pk if len(rows) > LEDGER_PAGE else None,
    )


def _move_shown(move: LotMove, *, seen: LarderSeen, undone: set[uuid.UUID]) -> MoveShown:
    own = seen.angler is not None and move.lot.angler_id == seen.angler.pk
    open_ = move.kind in UNDONE and move.order_id is None and undo_key(move) not in undone
    return MoveShown(move, undo=open_ and (seen.captain or own))


def undo_key(move: LotMove) -> uuid.UUID:
    """The key of the one move that puts it back."""
    return uuid.uuid5(move.key, "undone")


def move_seen(seen: LarderSeen, *, move_id: str) -> LotMove:
    """One movement of the larder, by its id as text. Raises Problem NOT_FOUND."""
    found = (
        LotMove.objects.filter(lot__team=seen.team, pk=digits_read(move_id) or 0)
        .select_related("lot__bait", "lot__angler", "lot__team__club")
        .first()
    )
    if found is None:
        raise Problem(Code.NOT_FOUND, _("No such movement in this larder."))
    return found


def lots_astray() -> list[int]:
    """The lots, of every club, whose amount is not the sum of their moves: none, unless the
    database was changed past the ledger. One query."""
    sums = LarderLot.objects.annotate(moved=Sum("moves__amount")).values_list(
        "pk", "amount", "moved"
    )
    # A database that adds in binary fractions is off by far less than a ten-thousandth.
    return sorted(pk for pk, amount, moved in sums if round((moved or Decimal(0)) - amount, 4) != 0)


def larder_anglers(seen: LarderSeen) -> list[Angler]:
    """Whose lot a new one may be: the team's members for its captain, else the reader's own."""
    if not seen.captain:
        return [] if seen.angler is None else [seen.angler]
    return list(
        Angler.objects.filter(club_id=seen.team.club_id)
        .filter(Q(team=seen.team) | Q(larder__team=seen.team))
        .distinct()
        .order_by("name", "pk")
    )
