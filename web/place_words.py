"""Places, what moved, and what parted equals, in words. Nothing is worked out here."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, gettext_noop

from matches.reads.moves import Move
from matches.reckon.decimals import decimal_text
from matches.reckon.placings import Parting
from matches.reckon.weights import WeightUnit
from web.measures_said import numeral, weight_said

_NAMED = (
    gettext_lazy("first"),
    gettext_lazy("second"),
    gettext_lazy("third"),
    gettext_lazy("fourth"),
    gettext_lazy("fifth"),
    gettext_lazy("sixth"),
    gettext_lazy("seventh"),
    gettext_lazy("eighth"),
    gettext_lazy("ninth"),
    gettext_lazy("tenth"),
    gettext_lazy("eleventh"),
    gettext_lazy("twelfth"),
)
_PARTED = {
    "fish": gettext_noop("%(place)s on points of fish: %(mine)s to %(theirs)s of %(other)s"),
    "weight": gettext_noop("%(place)s on weight: %(mine)s to %(theirs)s of %(other)s"),
    "best_place": gettext_noop("%(place)s on the best place: %(mine)s to %(theirs)s of %(other)s"),
    "best_fish": gettext_noop("%(place)s on the best catch: %(mine)s to %(theirs)s of %(other)s"),
    "best_weight": gettext_noop(
        "%(place)s on the best single weight: %(mine)s to %(theirs)s of %(other)s"
    ),
}


def ordinal(place: str | int | None) -> str:
    """A place as it is called: "2nd", a shared one "joint 2.5"; "no place" for None."""
    if place is None:
        return _("no place")
    text = str(place)
    if not text.isdigit():
        return _("joint %(place)s") % {"place": text}
    number = int(text)
    if number % 100 in (11, 12, 13):
        return _("%(n)sth") % {"n": number}
    ends = {1: _("%(n)sst"), 2: _("%(n)snd"), 3: _("%(n)srd")}
    return ends.get(number % 10, _("%(n)sth")) % {"n": number}


def move_words(move: Move) -> str:
    """ "Section A: Wilmot Crane 4th → 2nd"."""
    where = {
        "section": move.section,
        "who": move.who,
        "before": ordinal(move.before),
        "after": ordinal(move.after),
    }
    if move.section is None:
        return _("%(who)s: %(before)s → %(after)s") % where
    return _("Section %(section)s: %(who)s %(before)s → %(after)s") % where


def parting_words(row: Any, unit: WeightUnit) -> str:
    """Why a team or angler is ahead of the next one level on points: "third on weight: 12.450 kg
    to 11.900 kg of Otterbeck Teals". Nothing where nothing had to part them.

    `row` is one of a result, or of a bulletin's body.
    """
    told = row.get("parting") if isinstance(row, Mapping) else row.parting
    rank = row.get("rank") if isinstance(row, Mapping) else row.rank
    if told is None or rank is None:
        return ""
    by, mine, theirs, other = _parts(told)
    is_weight = by in ("weight", "best_weight")
    values = {
        "place": _place_named(rank),
        "mine": weight_said(int(mine), unit) if is_weight else numeral(mine),
        "theirs": weight_said(int(theirs), unit) if is_weight else numeral(theirs),
        "other": other,
    }
    return _(_PARTED[by]) % values


def _parts(told: Parting | Mapping[str, str]) -> tuple[str, str, str, str]:
    if isinstance(told, Parting):
        mine, theirs = decimal_text(Fraction(told.mine)), decimal_text(Fraction(told.theirs))
        return told.by, mine, theirs, told.other
    return told["by"], told["mine"], told["theirs"], told["other"]


def _place_named(rank: int) -> str:
    return str(_NAMED[rank - 1]) if rank <= len(_NAMED) else ordinal(rank)
