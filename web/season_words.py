"""What a team's season says, in sentences: what went together, how sure that is, and no more."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from bait.reckon.season import (
    LEAST_BESIDE,
    LEAST_DAYS,
    LEAST_FED_DAYS,
    LEAST_MATCHES,
)
from bait.words import unit_said

Effect = Mapping[str, Any]
Names = Mapping[str, str]


def column_name(column: Effect, *, names: Names) -> str:
    """A bait by its name, a kind of bait, or a rhythm."""
    match column["of"], column["key"]:
        case "rate", "balls":
            return _("Balls an hour")
        case "rate", _key:
            return _("Loose feeds an hour")
        case "kind", "soil":
            return _("Soil")
        case "kind", _key:
            return _("Groundbait")
        case _of, key:
            return names.get(key, key)


def effect_said(effect: Effect, *, names: Names) -> str:
    """One sentence or two of what was found, with its doubt."""
    match effect["found"]:
        case "more" | "less" | "unsure" as found:
            return _found_said()[found] % {"step": step_said(effect), **factors_said(effect)}
        case "few":
            return _("Too few to say: that takes %(days)d days of %(matches)d matches with it.") % {
                "days": LEAST_FED_DAYS,
                "matches": LEAST_MATCHES,
            }
        case "together":
            others = ", ".join(column_name(other, names=names) for other in effect["together_with"])
            return _(
                "It always went together with %(others)s, so nothing can be said of it alone."
            ) % {"others": others}
        case _:
            return _("Every angler always fed as much of it: there is nothing to compare.")


def _found_said() -> dict[str, str]:
    return {
        "more": _(
            "Days with more of it than the angler’s usual went with more weight against the "
            "section: %(times)s times for each %(step)s more, 90 %% sure between %(low)s and "
            "%(high)s. That does not say it brought the weight."
        ),
        "less": _(
            "Days with more of it than the angler’s usual went with less weight against the "
            "section: %(times)s times for each %(step)s more, 90 %% sure between %(low)s and "
            "%(high)s. That does not say it cost the weight."
        ),
        "unsure": _(
            "Nothing shows either way: for each %(step)s more the weight was %(times)s times "
            "that of other days, 90 %% sure between %(low)s and %(high)s."
        ),
    }


def step_said(effect: Effect) -> str:
    """ "0.5 pints", or "2 feeds an hour"."""
    if effect["of"] == "rate":
        many = 1 if effect["step"] == "1" else 2
        return ngettext("%(n)s feed an hour", "%(n)s feeds an hour", many) % {"n": effect["step"]}
    return f"{effect['step']} {unit_said(effect['unit'], effect['step'])}"


def factors_said(effect: Effect) -> dict[str, str]:
    """The estimate and its bounds, no more exact than they are known."""
    found = {name: effect[name] for name in ("times", "low", "high")}
    return {name: "" if factor is None else factor_said(factor) for name, factor in found.items()}


def factor_said(factor: float) -> str:
    if factor < 0.01:
        return "0.01"
    if factor >= 10:
        return _("over 10") if factor >= 100 else f"{factor:.0f}"
    return f"{factor:.2g}" if factor < 0.1 else f"{factor:.2f}".rstrip("0").rstrip(".")


def stands_on(effect: Effect) -> str:
    """On how much a row stands: "14 matches, 63 days, 5 anglers"."""
    return ", ".join(
        (
            ngettext("%(n)d match", "%(n)d matches", effect["matches"]) % {"n": effect["matches"]},
            ngettext("%(n)d day", "%(n)d days", effect["days"]) % {"n": effect["days"]},
            ngettext("%(n)d angler", "%(n)d anglers", effect["anglers"]) % {"n": effect["anglers"]},
        )
    )


def verdict_said(answer: Mapping[str, Any], *, effects: Sequence[Effect]) -> str:
    """What can be said in all, of those effects that the reader may see."""
    counted = stands_on(answer)
    if answer["verdict"] == "few":
        return _(
            "Too few to say anything yet: %(counted)s can be counted, and it takes "
            "%(days)d days of %(matches)d matches."
        ) % {"counted": counted, "days": LEAST_DAYS, "matches": LEAST_MATCHES}
    if answer["verdict"] == "alike":
        return _(
            "Nothing can be told apart: on all of %(counted)s the weights against the section were "
            "the same."
        ) % {"counted": counted}
    sure = [e for e in effects if e["found"] in ("more", "less")]
    if not sure:
        return _(
            "Of %(counted)s nothing can be said for sure. That is what a season mostly says."
        ) % {"counted": counted}
    return ngettext(
        "%(n)d thing stands out of %(counted)s. Of what does nothing, up to one in ten stands out "
        "by luck alone.",
        "%(n)d things stand out of %(counted)s. Of what does nothing, up to one in ten stands out "
        "by luck alone.",
        len(sure),
    ) % {"n": len(sure), "counted": counted}


def why_said(why: str) -> str:
    """Why a day is left out."""
    return capfirst(
        {
            "not_fished": _("it was not fished and weighed as others’ were"),
            "few_beside": _("fewer than %(n)d others were weighed in the section")
            % {"n": LEAST_BESIDE},
            "nobody_caught": _("nobody in the section caught anything"),
            "no_notes": _("nothing was noted, which is not the same as nothing fed"),
            "no_feed": _("no feed was noted, which is not the same as nothing fed"),
            "clock": _("notes lie outside the match: the phone’s clock was wrong"),
            "half": _("only part of the day was noted"),
            "unit": _("an amount does not fit its bait’s unit"),
            "contrary": _("fish were noted and the scales said nothing"),
            "far": _("an amount is ten times what is usual: a slip of the thumb"),
        }[why]
    )
