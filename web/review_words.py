"""What a review says, in sentences: careful ones, with their doubt."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final
from zoneinfo import ZoneInfo

from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from bait.reads.review import Review
from bait.reckon.review import ChangeSeen, Done, Earlier, LineDay, better_line, guess_checked
from bait.reckon.review.next import EARLY_MINUTES
from web.measures_said import numeral, weight_said

FEW_FISH: Final = 10
#: A stretch this long with less than half the day's rate is called quiet.
QUIET_S: Final = 1800


@dataclass(frozen=True, slots=True)
class Said:
    """One sentence or two, and the icon that stands before them."""

    icon: str
    text: str


def review_said(review: Review) -> list[Said]:
    """What to take away, the most useful first. Nothing where nothing was noted."""
    if review.is_empty:
        return []
    return [
        *_result_said(review),
        *_lines_said(review),
        *_changes_said(review),
        *_quiet_said(review),
    ]


def doubts_said(review: Review) -> list[Said]:
    """What the notes cannot say, and why."""
    return [Said("info", text) for text in _doubts(review)]


def clock(review: Review, second: float) -> str:
    """A moment as the clock on the bank showed it."""
    zone = ZoneInfo(review.entry.match.venue.timezone)
    return review.at(second).astimezone(zone).strftime("%H:%M")


def line_name(name: str) -> str:
    return _("%(line)s line") % {"line": name} if name else _("the one line")


def rate_said(per_hour: float) -> str:
    """A rate an hour, no more exact than it is known."""
    return numeral(f"{per_hour:.0f}" if per_hour >= 10 else f"{per_hour:.1f}")


def chance_said(share: float) -> str:
    """A probability in a hundred, never said to be certain."""
    return _("%(n)d in 100") % {"n": min(99, max(1, round(100 * share)))}


def logged_said(review: Review) -> str:
    """Which part of the match was logged, where that is not all of it."""
    watched = review.day.watched
    between = {"start": clock(review, watched.start), "end": clock(review, watched.end)}
    if watched.start and watched.end < review.notes.end:
        return _("Nothing is noted before %(start)s or after %(end)s.") % between
    if watched.start:
        return _("Nothing is noted before %(start)s.") % between
    return _("Nothing is noted after %(end)s.") % between


def times_said(ratio: float) -> str:
    """By how much a rate changed, in a word where there is one."""
    if ratio >= 1:
        return (
            _("about doubled")
            if 1.75 <= ratio <= 2.25
            else _("rose to about %(x)s times what it was") % {"x": rate_said(ratio)}
        )
    if 0.44 <= ratio <= 0.57:
        return _("about halved")
    return _("fell to about %(share)s of what it was") % {"share": f"{100 * ratio:.0f} %"}


def change_said(review: Review, seen: ChangeSeen) -> str:
    """One change: what, when, and what was done then."""
    change = seen.change
    low, high = (clock(review, second) for second in change.second_90)
    how = times_said(change.ratio) if change.ratio else _("began")
    text = _("The catch %(how)s near %(at)s (between %(low)s and %(high)s).") % {
        "how": how,
        "at": clock(review, change.second),
        "low": low,
        "high": high,
    }
    done = [_done_said(review, one) for one in seen.done]
    if not done:
        return text + " " + _("Nothing new was noted shortly before.")
    return text + " " + _("Near then: %(done)s.") % {"done": "; ".join(done)}


def earlier_said(earlier: Earlier, *, match: str) -> str:
    """Why a stage of the next plan begins earlier, to stand in the plan's note."""
    text = _(
        "%(line)s from minute %(now)d instead of %(was)d: in %(match)s it brought %(rate)s fish an "
        "hour and the %(other)s %(slower)s (the better one: %(chance)s; one match proves little)."
    ) % {
        "line": line_name(earlier.better.name),
        "now": earlier.now,
        "was": earlier.was,
        "match": match,
        "rate": rate_said(earlier.better.per_hour),
        "other": line_name(earlier.other.name),
        "slower": rate_said(earlier.other.per_hour),
        "chance": chance_said(earlier.better.best or 0),
    }
    return capfirst(text)


def _done_said(review: Review, done: Done) -> str:
    at = clock(review, done.second)
    if done.kind == "line":
        return _("over to the %(line)s at %(at)s") % {"line": line_name(done.name), "at": at}
    name = review.names.get(done.name, done.name)
    if not done.line:
        return _("%(bait)s fed at %(at)s") % {"bait": name, "at": at}
    return _("%(bait)s fed on the %(line)s at %(at)s") % {
        "bait": name,
        "line": line_name(done.line),
        "at": at,
    }


def _result_said(review: Review) -> Iterable[Said]:
    own, first = review.own, review.first
    if own is None or own.weight is None:
        return
    unit = review.entry.match.unit
    weight = weight_said(own.weight, unit)
    if own.place is None:
        yield Said("scales", _("%(weight)s on the scales.") % {"weight": weight})
        return
    text = _("%(weight)s: place %(place)s of %(n)d in section %(section)s.") % {
        "weight": weight,
        "place": own.place,
        "n": review.in_section,
        "section": own.section,
    }
    if first is not None and first.entry != own.entry and (first.weight or 0) > own.weight:
        text += " " + _("The section was led with %(first)s, %(more)s more.") % {
            "first": weight_said(first.weight or 0, unit),
            "more": weight_said((first.weight or 0) - own.weight, unit),
        }
    yield Said("scales", text)


def _lines_said(review: Review) -> Iterable[Said]:
    lines = [line for line in review.day.lines if line.best is not None]
    if len(lines) < 2 or not review.day.fish:
        return
    found = better_line(review.day)
    if found is None:
        text = _("Which line was better cannot be told: %(lines)s.") % {
            "lines": ", ".join(_line_rate(line) for line in lines)
        }
        yield Said("fish", text)
        return
    best = found[0]
    others = [line for line in lines if line is not best]
    text = _("The %(line)s was the better one (chances: %(chance)s). %(lines)s.") % {
        "line": line_name(best.name),
        "chance": chance_said(best.best or 0),
        "lines": ", ".join(_line_rate(line) for line in (best, *others)),
    }
    begun = review.first_fished(best.name)
    if begun > EARLY_MINUTES * 60:
        text += " " + _("It was first fished at %(at)s: going there earlier is worth a try.") % {
            "at": clock(review, begun)
        }
    yield Said("fish", text)


def _line_rate(line: LineDay) -> str:
    return _("%(rate)s fish an hour on the %(line)s") % {
        "line": line_name(line.name),
        "rate": rate_said(line.per_hour),
    }


def _changes_said(review: Review) -> Iterable[Said]:
    for seen in review.day.changes:
        yield Said("ahead", change_said(review, seen))


def _quiet_said(review: Review) -> Iterable[Said]:
    blocks = review.day.blocks
    if len(blocks) < 2:
        return
    watched = review.day.watched
    usual = review.day.fish * 3600 / (watched.end - watched.start)
    quiet = [b for b in blocks if b.per_hour < usual / 2 and b.end - b.start >= QUIET_S]
    if not quiet:
        return
    worst = min(quiet, key=lambda block: block.per_hour)
    minutes = round((worst.end - worst.start) / 60)
    fish = ngettext("%(n)d fish", "%(n)d fish", worst.fish) % {"n": worst.fish}
    text = _("The quietest stretch was %(start)s to %(end)s: %(fish)s in %(minutes)d minutes.") % {
        "start": clock(review, worst.start),
        "end": clock(review, worst.end),
        "fish": fish,
        "minutes": minutes,
    }
    yield Said("clock", text)


def _doubts(review: Review) -> Iterable[str]:
    day = review.day
    if day.about:
        yield _estimate_said(review)
    if day.changes:
        yield _("One match proves little: what came before a change need not have made it.")
    if 0 < day.fish < FEW_FISH:
        yield _("Few fish: take every rate here as a hint.")
    if day.one_go:
        yield _("Half the fish or more were noted in one go, so nothing is said of when they came.")
    if not day.watched.whole:
        yield logged_said(review) + " " + _("Every rate here is of the time that was logged.")
    if day.outside:
        yield ngettext(
            "%(n)d fish was noted outside that time and is left out: look at the phone’s clock.",
            "%(n)d fish were noted outside that time and are left out: look at the phone’s clock.",
            day.outside,
        ) % {"n": day.outside}
    if day.factor is None and review.own is not None:
        unit = review.entry.match.unit
        yield _(
            "The notes come to about %(about)s and the scales said %(weight)s: not every fish was "
            "noted, or its size guessed wrong. Weights here are as noted."
        ) % {
            "about": weight_said(day.about, unit),
            "weight": weight_said(review.own.weight or 0, unit),
        }


def _estimate_said(review: Review) -> str:
    """How the running weight was guessed, and how the guesses stand against the scales."""
    unsized = sum(one.count for one in review.notes.fish if not one.about)
    text = _("The running weight is an estimate: each fish counts what its size usually weighs.")
    if unsized:
        text += " " + ngettext(
            "%(n)d fish was noted without a size and counts as the others do.",
            "%(n)d fish were noted without a size and count as the others do.",
            unsized,
        ) % {"n": unsized}
    whole = review.day.watched.whole and not review.day.outside
    checked = guess_checked(review.notes.fish, weighed=review.notes.weighed) if whole else None
    if checked is None or review.day.factor is None:
        return text
    unit = review.entry.match.unit
    words = {
        "light": _("Your sizes run light, or not every fish was noted."),
        "heavy": _("Your sizes run heavy."),
        "right": _("That is as near as guesses come."),
    }
    return " ".join(
        [
            text,
            _(
                "It came to %(about)s and the scales said %(weighed)s: %(ratio)s times as much, "
                "nine times in ten %(low)s to %(high)s by how fish of one size vary."
            )
            % {
                "about": weight_said(checked.about, unit),
                "weighed": weight_said(checked.weighed, unit),
                "ratio": numeral(f"{checked.ratio:.2f}"),
                "low": numeral(f"{checked.low:.2f}"),
                "high": numeral(f"{checked.high:.2f}"),
            },
            words[checked.verdict],
        ]
    )
