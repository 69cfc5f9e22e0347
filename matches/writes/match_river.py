"""How the river ran at a match: said before it or after, by who runs it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from django.db import transaction
from django.utils.translation import gettext as _

from matches.models import Match, Person, RiverLevel
from matches.reckon.errors import BadInput, Fault

from .audit import audit_record
from .locks import match_locked
from .page_marks import mark_check

RIVER: Final = ("river_level", "board_cm")
BOARD_LEAST, BOARD_MOST = -500, 2_000


@dataclass(frozen=True, slots=True)
class River:
    """The level against what is usual, empty where not said, and what the gauge board read."""

    river_level: str
    board_cm: int | None


def river_typed(match: Match) -> dict[str, str]:
    """What stands of the river, as it is typed."""
    board = match.board_cm
    return {"river_level": match.river_level, "board_cm": "" if board is None else str(board)}


def river_parse(typed: Mapping[str, str]) -> River:
    """Read the fields (`RIVER`); either may be empty. Raises BadInput, each fault at its field."""
    level, board = (typed.get(key, "").strip() for key in RIVER)
    faults = []
    if level and level not in RiverLevel.values:
        faults.append(Fault("/river_level", _("Choose low, normal or high, or leave it open.")))
    digits = board.removeprefix("-")
    is_whole = digits.isascii() and digits.isdigit() and len(digits) <= 4
    if board and not (is_whole and BOARD_LEAST <= int(board) <= BOARD_MOST):
        said = {"least": BOARD_LEAST, "most": BOARD_MOST}
        words = _("Write whole centimetres from %(least)d to %(most)d, or leave it empty.")
        faults.append(Fault("/board_cm", words % said))
    if faults:
        raise BadInput(*faults)
    return River(level, int(board) if board else None)


def match_river_set(person: Person, *, match: Match, river: River, mark: str = "") -> bool:
    """Whether anything changed. Results stay as they are: only what is read of pegs counts it.

    `mark` (`page_mark` of `river_typed`) says on what page it was typed. Raises BadInput for an old
    page, or Problem.
    """
    with transaction.atomic():
        match = match_locked(person, match=match)
        before = River(match.river_level, match.board_cm)
        if river == before:
            return False
        mark_check(mark, stands=river_typed(match))
        match.river_level, match.board_cm = river.river_level, river.board_cm
        match.save(update_fields=RIVER)
        audit_record(
            club=match.club,
            person=person,
            verb="match_river_set",
            subject=match,
            detail={
                "match": match.pk,
                "before": {key: getattr(before, key) for key in RIVER},
                "after": {key: getattr(river, key) for key in RIVER},
            },
        )
        return True
