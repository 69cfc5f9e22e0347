"""Where a feed is thrown, in words: for the plan, the mixing sheet and its own page."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from django.utils.translation import gettext as _

from bait.reads.feed_throws import FedKind, ThrowPlace, throws_with_feeds
from matches.models import Entry
from web.measures_said import beside, numeral

QUARTERS = ("", "¼", "½", "¾")


def feed_name(feed: FedKind) -> str:
    return feed.name if feed.ball_mm is None else _("Balls of %(mm)d mm") % {"mm": feed.ball_mm}


def rods_said(cm: int, *, rod_cm: int) -> str:
    """Lengths of the rod to the nearest quarter: "2¼", "½", "0"."""
    whole, rest = divmod((8 * abs(cm) + rod_cm) // (2 * rod_cm), 4)
    return f"{whole or ('' if rest else 0)}{QUARTERS[rest]}"


def metres_said(cm: int, *, measures: str) -> str:
    """ "6.4 m", and for who chose UK measures "6.4 m (21.0 ft)"."""
    said = numeral(f"{cm / 100:.1f}") + " m"
    feet = beside(Fraction(cm, 100), unit="m", measures=measures)
    return f"{said} ({feet})" if feet else said


def throw_said(place: ThrowPlace, *, measures: str) -> str:
    """ "6.4 m upstream, 12.0 m out (1¾ and 3 rods)"; what is unknown is left out.

    `measures` are the reader's.
    """
    way = _("upstream") if place.upstream_cm >= 0 else _("downstream")
    said = f"{metres_said(abs(place.upstream_cm), measures=measures)} {way}"
    if place.out_cm is not None:
        said += ", " + _("%(m)s out") % {"m": metres_said(place.out_cm, measures=measures)}
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


def throw_lines(entry: Entry, *, measures: str) -> list[ThrowLine]:
    """Every throw kept for the entry, for who reads in `measures`. Two queries at most."""
    return [
        ThrowLine(feed_name(feed), throw_said(place, measures=measures))
        for feed, place in throws_with_feeds(entry)
    ]
