"""The suggested plan in words: each number with where it comes from."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from bait.reads.suggested import Suggested
from bait.reckon.suggest import Known, Reason
from bait.reckon.suggest.request import (
    DRY,
    GEOMETRY,
    GIVEN,
    HOOKED,
    LOAD,
    MEASURABLE,
    MEASURED,
    PLAN,
    REVIEW,
    RULE,
    SOIL,
)
from bait.reckon.suggest.rules import COLD, FAST, SLOW, WARM
from web.measures_said import numeral
from web.review_words import earlier_said
from web.templatetags.money import amount, minutes, unit_of
from web.truth_words import spare_said


@dataclass(frozen=True, slots=True)
class NumberSaid:
    """What it is, the number, why, and a word of care where there is one."""

    what: str
    value: str
    why: str
    care: str = ""


def numbers_said(found: Suggested, *, own: bool) -> list[NumberSaid]:
    """Every number of the suggestion, the water's first and the spare last.

    `own`: its angler reads it, not the captain.
    """
    return [
        _celsius_said(found),
        _flow_said(found.ask.cm_s),
        *(_reason_said(reason, found=found, own=own) for reason in found.suggestion.reasons),
        NumberSaid(_("Spare"), f"{found.ask.spare_percent} %", spare_said(found.spare)),
    ]


def celsius_text(tenths: int) -> str:
    """ "8.4", as a field is filled with it."""
    return f"{tenths // 10}.{tenths % 10}"


def flow_text(cm_s: int) -> str:
    """ "0.30", metres a second."""
    return f"{cm_s // 100}.{cm_s % 100:02d}"


def _celsius_said(found: Suggested) -> NumberSaid:
    known = found.ask.celsius_tenths
    usual = _("usual for rivers in %(month)s (from memory)") % {
        "month": date_format(found.entry.match.date, "F")
    }
    value = _("%(celsius)s °C, %(warmth)s") % {
        "celsius": numeral(celsius_text(known.value)),
        "warmth": _warmth(found.suggestion.warmth),
    }
    return NumberSaid(_("Water"), value, _known_said(known, usual=usual))


def _warmth(warmth: str) -> str:
    return {COLD: _("cold"), WARM: _("warm")}.get(warmth, _("mild"))


def _flow_said(known: Known) -> NumberSaid:
    usual = _("nobody measured it: common practice, no source")
    value = _("%(speed)s m/s at the surface") % {"speed": numeral(flow_text(known.value))}
    return NumberSaid(_("Flow"), value, _known_said(known, usual=usual))


def _known_said(known: Known, *, usual: str) -> str:
    if known.by == GIVEN:
        return _("as you wrote it")
    if known.by != MEASURED:
        return usual
    words = ngettext(
        "measured here by the team, %(n)d time",
        "measured here by the team, %(n)d times: the middle",
        known.times,
    )
    return words % {"n": known.times}


def _reason_said(reason: Reason, *, found: Suggested, own: bool) -> NumberSaid:
    return NumberSaid(
        _what(reason, found=found),
        _value(reason, found=found),
        _why(reason, own=own),
        " ".join(_cares(reason, found=found)),
    )


def _what(reason: Reason, *, found: Suggested) -> str:
    if reason.what == "amount":
        name = found.baits[reason.bait].name
        use = {
            DRY: _("dry in the mix"),
            SOIL: _("in the mix"),
            LOAD: _("in the balls"),
            HOOKED: _("for the hook"),
        }.get(reason.use, _("fed loose"))
        return f"{name}, {use}"
    return {
        "balls": _("Balls to open"),
        "ball_mm": _("Across a ball"),
        "every_seconds": _("Feed every"),
        "quiet_minutes": _("Last feed before the end"),
        "soil_share": _("Soil in the ready mix"),
        "switch": _("Second line from"),
    }[reason.what]


def _value(reason: Reason, *, found: Suggested) -> str:
    whole = int(reason.value)
    match reason.what:
        case "amount":
            return _of_bait(reason, reason.value, found=found)
        case "ball_mm":
            return f"{whole} mm"
        case "every_seconds":
            return _("%(n)d min") % {"n": round(whole / 60)}
        case "quiet_minutes":
            return _("%(n)d min") % {"n": whole}
        case "switch":
            return minutes(whole)
        case "soil_share":
            return f"{round(100 * reason.value)} %"
    return str(whole)


def _of_bait(reason: Reason, value: Fraction, *, found: Suggested) -> str:
    unit = found.baits[reason.bait].unit
    return f"{amount(value)} {unit_of(unit, value)}"


def _why(reason: Reason, *, own: bool) -> str:
    if reason.by == RULE:
        return reason.source
    if reason.by == GEOMETRY:
        return _("as much as the balls need, and a fifth more (common practice, no source)")
    if reason.by == MEASURABLE:
        return _("less often than usual, so that each throw is large enough to measure")
    if reason.by in (PLAN, REVIEW):
        words = {
            (PLAN, True): _("as in your plan for %(match)s"),
            (PLAN, False): _("as in their plan for %(match)s"),
            (REVIEW, True): _("your review of %(match)s"),
            (REVIEW, False): _("their review of %(match)s"),
        }[reason.by, own]
        return words % {"match": reason.source}
    whose = {
        ("own_here", True): _("the middle of your %(n)d matches at this venue in water as warm"),
        ("own_here", False): _("the middle of their %(n)d matches at this venue in water as warm"),
        ("own", True): _("the middle of your %(n)d matches anywhere in water as warm"),
        ("own", False): _("the middle of their %(n)d matches anywhere in water as warm"),
    }.get(
        (reason.by, own),
        _("the middle of this team’s %(n)d matches at this venue in water as warm"),
    ) % {"n": reason.matches}
    if reason.what != "amount":
        return whose
    told = ngettext(
        "of %(n)d bag it is told what came back, else as planned",
        "of %(n)d bags it is told what came back, else as planned",
        reason.told,
    ) % {"n": reason.told}
    return f"{whose}; {told if reason.told else _('as planned')}"


def _cares(reason: Reason, *, found: Suggested) -> Iterator[str]:
    if reason.contradicts and reason.low is not None and reason.high is not None:
        if reason.what == "amount":
            low, high = amount(reason.low), _of_bait(reason, reason.high, found=found)
        else:
            low, high = str(int(reason.low)), str(int(reason.high))
        yield _("They contradict each other, from %(low)s to %(high)s: trust it little.") % {
            "low": low,
            "high": high,
        }
    if reason.cut and reason.wished is not None:
        wished = (
            _of_bait(reason, reason.wished, found=found)
            if reason.what == "amount"
            else str(int(reason.wished))
        )
        yield _("Less than the %(wished)s it would be, to keep within the limits.") % {
            "wished": wished
        }


def left_out_said(found: Suggested) -> str:
    """Baits that the limits shut out; empty where there are none."""
    names = [found.baits[key].name for key in found.suggestion.left_out]
    if not names:
        return ""
    return _(
        "Left out, as a limit forbids them or they cannot be measured against one: %(baits)s."
    ) % {"baits": ", ".join(names)}


def note_said(found: Suggested) -> str:
    """What the plan's note begins with once the suggestion is taken over."""
    words = _(
        "Started from a suggestion for water of %(celsius)s °C and %(speed)s m/s: from what was "
        "used before and what is usual, not a forecast."
    ) % {
        "celsius": numeral(celsius_text(found.ask.celsius_tenths.value)),
        "speed": numeral(flow_text(found.ask.cm_s.value)),
    }
    if found.learnt is None:
        return words
    earlier, then = found.learnt
    return f"{words}\n{earlier_said(earlier, match=then.name)}"


def water_care(found: Suggested) -> str:
    """What slow or fast water changes; empty in between."""
    if found.suggestion.flow == SLOW:
        return _("Slow water: smaller balls.")
    if found.suggestion.flow == FAST:
        return _("Fast water: feed lands further down; see where to throw.")
    return ""
