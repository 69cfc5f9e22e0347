"""Where a feed is thrown, in words: for the plan, the mixing sheet and its own page."""

from __future__ import annotations

from dataclasses import dataclass

from django.utils.translation import gettext as _

from bait.reads.feed_throws import FedKind, ThrowPlace, throws_with_feeds
from matches.models import Entry

QUARTERS = ("", "¼", "½", "¾")


def feed_name(feed: FedKind) -> str:
    return feed.name if feed.ball_mm is None else _("Balls of %(mm)d mm") % {"mm": feed.ball_mm}


def rods_said(cm: int, *, rod_cm: int) -> str:
    """Lengths of the rod to the nearest quarter: "2¼", "½", "0"."""
    whole, rest = divmod((8 * abs(cm) + rod_cm) // (2 * rod_cm), 4)
    return f"{whole or ('' if rest else 0)}{QUARTERS[rest]}"


def throw_said(place: ThrowPlace) -> str:
    """ "6.4 m upstream, 12.0 m out (1¾ and 3 rods)"; what is unknown is left out."""
    way = _("upstream") if place.upstream_cm >= 0 else _("downstream")
    said = f"{place.along_m:.1f} m {way}"
    if place.out_m is not None:
        said += ", " + _("%(m).1f m out") % {"m": place.out_m}
    if place.rod_cm:
        lengths = [place.upstream_cm, *([] if place.out_cm is None else [place.out_cm])]
        rods = [rods_said(cm, rod_cm=place.rod_cm) for cm in lengths]
        said += " " + _("(%(n)s rods)") % {"n": _(" and ").join(rods)}
    return said


@dataclass(frozen=True, slots=True)
class ThrowLine:
    """A feed and where it is thrown."""

    name: str
    said: str


def throw_lines(entry: Entry) -> list[ThrowLine]:
    """Every throw kept for the entry. Two queries at most."""
    return [
        ThrowLine(feed_name(feed), throw_said(place)) for feed, place in throws_with_feeds(entry)
    ]
