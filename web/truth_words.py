"""What became of a bait, in words; and its bars, whose lengths are in hundredths of the longest."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from bait.models import Bait
from bait.reads.truth import TeamBait, Truth, TruthPart, TruthRow
from bait.reckon.bait_cost import SeasonCost
from bait.reckon.spare import BAGS_LEAST, MATCHES_LEAST, Spare
from bait.reckon.truth import PartlyKnown
from matches.models import Match
from matches.times import zone_named
from web.templatetags.money import amount, money, unit_of


@dataclass(frozen=True, slots=True)
class Bar:
    """One of planned, bought, fed and left. `width` is empty where the amount is not known."""

    kind: str
    name: str
    width: str
    said: str


@dataclass(frozen=True, slots=True)
class BaitSaid:
    bait: Bait
    bars: tuple[Bar, ...]
    words: tuple[str, ...]


def amount_in(bait: Bait, value: Fraction) -> str:
    """ "2.5 pints"."""
    return f"{amount(value)} {unit_of(bait.unit, value)}"


def row_said(row: TruthRow) -> BaitSaid:
    """One bait of one bag."""
    known, bait = row.known, row.bait
    bars = (
        ("planned", _("Planned"), known.planned, _("not in the plan")),
        ("had", _("In the bag"), known.had, _("no order is placed: not known")),
        ("fed", _("Fed"), known.fed, _("no feed notes")),
        ("left", _("Left over"), known.left, _("nobody said")),
    )
    said = [
        (kind, name, value, amount_in(bait, value) if value is not None else unknown)
        for kind, name, value, unknown in bars
    ]
    if known.fed == 0:
        said[2] = ("fed", _("Fed"), None, _("none of it noted"))
    if known.emptied:
        said[3] = ("left", _("Left over"), None, _("nothing came back"))
    return BaitSaid(bait, _bars(said), tuple(_row_words(row)))


def _row_words(row: TruthRow) -> Iterator[str]:
    known, bait, gap = row.known, row.bait, row.known.gap
    if known.unnoted:
        yield _("%(amount)s of it are for the mix or the hook by the plan, which nobody notes.") % {
            "amount": amount_in(bait, known.unnoted)
        }
    if row.unread:
        yield _("Some of it is in a unit that no longer fits this bait, and is not counted.")
    if gap is None:
        return
    if known.adds_up:
        yield _("It adds up, as closely as bait is measured.")
    elif gap > 0:
        yield _("%(amount)s are not accounted for.") % {"amount": amount_in(bait, gap)}
    else:
        yield _("%(amount)s more were fed and left than were in the bag: look at the notes.") % {
            "amount": amount_in(bait, -gap)
        }


def team_said(row: TeamBait) -> BaitSaid:
    """One bait over the whole team."""
    bait = row.bait
    had = amount_in(bait, row.had) if row.had is not None else _("no order is placed: not known")
    said = [
        ("planned", _("Planned"), row.planned.amount, _partly(bait, row.planned)),
        ("had", _("Had") if row.larder else _("Bought"), row.had, had),
        ("fed", _("Fed"), _some(row.fed), _partly(bait, row.fed)),
        ("left", _("Left over"), _some(row.left), _partly(bait, row.left)),
    ]
    return BaitSaid(bait, _bars(said), tuple(_team_words(row)))


def _team_words(row: TeamBait) -> Iterator[str]:
    parts = [
        f"{b.packs} × {amount(b.amount)} {unit_of(b.unit, b.amount)}, {b.shop}" for b in row.bought
    ]
    if row.larder:
        parts.append(_("%(amount)s from the larder") % {"amount": amount_in(row.bait, row.larder)})
    if parts:
        yield "; ".join(parts)
    if row.unnoted:
        yield _("%(amount)s are for mixes and hooks by the plans, which nobody notes.") % {
            "amount": amount_in(row.bait, row.unnoted)
        }


def _some(sums: PartlyKnown) -> Fraction | None:
    """None too where nothing was noted: that nothing was fed is more than anybody said."""
    return sums.amount if sums.known and sums.amount else None


def _partly(bait: Bait, sums: PartlyKnown) -> str:
    if not sums.known:
        return _("nobody said")
    if not sums.amount:
        return _("none noted in %(known)d of %(of)d bags") % {"known": sums.known, "of": sums.of}
    if sums.known == sums.of:
        return amount_in(bait, sums.amount)
    return _("%(amount)s, as far as %(known)d of %(of)d bags say") % {
        "amount": amount_in(bait, sums.amount),
        "known": sums.known,
        "of": sums.of,
    }


def _bars(said: Sequence[tuple[str, str, Fraction | None, str]]) -> tuple[Bar, ...]:
    longest = max((value for _k, _n, value, _s in said if value), default=Fraction(1))
    return tuple(
        Bar(kind, name, "" if value is None else str(round(100 * value / longest)), words)
        for kind, name, value, words in said
    )


def missing_said(part: TruthPart) -> str:
    """What of the bag is not accounted for, in a line; empty where nothing is."""
    missing = [
        f"{row.bait.name} {amount_in(row.bait, row.known.gap)}"
        for row in part.rows
        if row.known.gap and row.known.gap > 0 and not row.known.adds_up
    ]
    if not missing:
        return ""
    return _("Not accounted for: %(baits)s.") % {"baits": "; ".join(missing)}


def day_said(part: TruthPart, *, truth: Truth) -> str:
    """How much the notes of the day can be trusted; empty where they cover all of it."""
    match, watched = truth.match, part.watched
    if part.angler.person_id is None:
        return _("No phone of theirs is signed in, so there are no feed notes.")
    if not part.fed_notes:
        return _("No feed notes of theirs: what was fed is not known.")
    if watched is None:
        return _("None of the notes lies within the match: was the phone’s clock right?")
    if watched.whole:
        return ""
    if watched.start == watched.end:
        return _(
            "Noted at %(at)s only: the phone was put away the rest, so more may have been fed."
        ) % {"at": _clock(match, watched.start)}
    return _(
        "Noted from %(start)s to %(end)s only (%(part)d in 100 of the match): the phone was put "
        "away the rest, so more may have been fed."
    ) % {
        "start": _clock(match, watched.start),
        "end": _clock(match, watched.end),
        "part": round(100 * (watched.end - watched.start) / _seconds(match)),
    }


def _clock(match: Match, second: int) -> str:
    at = match.start_at + dt.timedelta(seconds=second)
    return at.astimezone(zone_named(match.venue.timezone)).strftime("%H:%M")


def _seconds(match: Match) -> int:
    return max(1, int((match.end_at - match.start_at).total_seconds()))


def spare_said(spare: Spare) -> str:
    """Why this spare, in one or two sentences."""
    if not spare.learnt:
        return _(
            "Of %(bags)d baits in the bags of %(matches)d matches it was said what came back. Once "
            "that is %(bags_least)d baits or more, of %(least)d matches, the spare is learnt from "
            "them; until then %(percent)d %% is the usual (common practice, no source)."
        ) % {
            "bags": spare.bags,
            "matches": spare.matches,
            "bags_least": BAGS_LEAST,
            "least": MATCHES_LEAST,
            "percent": spare.percent,
        }
    words = _(
        "In your last %(matches)d matches of which it is told what came back, %(percent)d %% would "
        "have been enough for %(enough)d of %(bags)d baits in the bags. The rule: the least, in "
        "steps of 5 %%, that does for nine of ten (common practice, no source)."
    ) % {
        "matches": spare.matches,
        "percent": spare.percent,
        "enough": spare.enough,
        "bags": spare.bags,
    }
    if not spare.emptied:
        return words
    more = ngettext(
        "%(n)d came back empty, so a little more might have been used.",
        "%(n)d came back empty, so a little more might have been used.",
        spare.emptied,
    )
    return f"{words} {more % {'n': spare.emptied}}"


def per_kilo_said(cost: SeasonCost, *, currency: str) -> str:
    """Money a kilo, to the nearest penny; a dash with its reason where nothing was weighed."""
    if cost.per_kilo is None:
        return _dash(_("nothing weighed"), cost=cost)
    return money(round(cost.per_kilo), currency)


def per_point_said(cost: SeasonCost, *, currency: str) -> str:
    """Money a section point; a dash with its reason where there are none."""
    if cost.per_point is None:
        return _dash(_("no section points"), cost=cost)
    return money(round(cost.per_point), currency)


def _dash(why: str, *, cost: SeasonCost) -> str:
    many = ngettext("%(n)d match", "%(n)d matches", cost.matches) % {"n": cost.matches}
    return f"— ({why}, {many})"
