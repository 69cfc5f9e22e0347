"""A league's rules as a form: filled in from a preset or from the league, read back into rules."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Final, TypeVar

from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from matches.comma_words import comma_words
from matches.models import League
from matches.reckon.decimals import decimal_read, point_typed
from matches.reckon.errors import BadInput, Fault
from matches.reckon.league.rules import TIE_BREAKS

from .field_form import FieldForm
from .form_numbers import whole_typed

Made = TypeVar("Made")

TIE_FIELDS: Final = ("tie_1", "tie_2", "tie_3")
NAMES: Final = (
    "name",
    "of",
    "adds",
    "counting",
    "drop_worst",
    "best_of",
    "minimum_rounds",
    "missed",
    "missed_points",
    *TIE_FIELDS,
    "reason",
)
ADDS: Final = {
    "points_low": {"counts": "points", "points": "low"},
    "points_high": {"counts": "points", "points": "high"},
    "places": {"counts": "places", "points": "low"},
}
_FIELDS: Final = {
    "/rules/counts": "/adds",
    "/rules/points": "/adds",
    "/rules/drop_worst": "/drop_worst",
    "/rules/best_of": "/best_of",
    "/rules/minimum_rounds": "/minimum_rounds",
    "/rules/missed": "/missed",
    "/rules/missed/points": "/missed_points",
    **{f"/rules/tie_breaks/{n}": f"/{name}" for n, name in enumerate(TIE_FIELDS)},
}


@dataclass(frozen=True, slots=True)
class Preset:
    """A usual set of rules to start from (common practice, no source)."""

    title: str | Promise
    about: str | Promise
    rules: dict[str, Any]


PRESETS: Final = {
    "all": Preset(
        gettext_lazy("Every round counts"),
        gettext_lazy("Points are added up, the lowest total wins; a missed round costs a place."),
        {"counts": "points", "points": "low"},
    ),
    "drop": Preset(
        gettext_lazy("The worst round is dropped"),
        gettext_lazy("As above, and everybody’s worst round, or the one missed, is left out."),
        {"counts": "points", "points": "low", "drop_worst": 1},
    ),
    "best": Preset(
        gettext_lazy("The best six count"),
        gettext_lazy("Come to six rounds to be ranked; what is beyond the best six is left out."),
        {
            "counts": "points",
            "points": "low",
            "best_of": 6,
            "minimum_rounds": 6,
            "missed": "not_counted",
        },
    ),
    "most": Preset(
        gettext_lazy("The most points win"),
        gettext_lazy("For matches whose winner gets the most points; a missed round is nothing."),
        {"counts": "points", "points": "high", "missed": "not_counted"},
    ),
}


def league_form(rules: Mapping[str, Any], *, name: str = "", of: str = "anglers") -> FieldForm:
    """The form with these rules in it."""
    missed = rules.get("missed", "worst_plus_one")
    ties = [*rules.get("tie_breaks", TIE_BREAKS), "", "", ""]
    best, drop = rules.get("best_of"), rules.get("drop_worst")
    return FieldForm(
        {
            "name": name,
            "of": of,
            "adds": _adds(rules),
            "counting": "best" if best else "drop" if drop else "all",
            "drop_worst": str(drop or ""),
            "best_of": str(best or ""),
            "minimum_rounds": str(rules.get("minimum_rounds") or ""),
            "missed": "fixed" if isinstance(missed, dict) else missed,
            "missed_points": missed["points"] if isinstance(missed, dict) else "",
            **dict(zip(TIE_FIELDS, ties, strict=False)),
            "reason": "",
        }
    )


def form_of_league(league: League) -> FieldForm:
    return league_form(league.rules, name=league.name, of=league.of)


def _adds(rules: Mapping[str, Any]) -> str:
    if rules.get("counts") == "places":
        return "places"
    return "points_high" if rules.get("points") == "high" else "points_low"


def rules_typed(values: Mapping[str, str]) -> dict[str, Any]:
    """The rules that were typed. Raises BadInput with a fault at each field that is no number."""
    faults: list[Fault] = []
    rules: dict[str, Any] = dict(ADDS.get(values["adds"], {"counts": ""}))
    if values["counting"] == "drop":
        rules["drop_worst"] = _whole(values, "drop_worst", faults, needed=True)
    if values["counting"] == "best":
        rules["best_of"] = _whole(values, "best_of", faults, needed=True)
    rules["minimum_rounds"] = _whole(values, "minimum_rounds", faults)
    fixed = values["missed"] == "fixed"
    rules["missed"] = {"points": _points(values, faults)} if fixed else values["missed"]
    rules["tie_breaks"] = _ties(values, faults)
    if faults:
        raise BadInput(*faults)
    return rules


def _whole(
    values: Mapping[str, str], name: str, faults: list[Fault], *, needed: bool = False
) -> int:
    text = values[name].strip()
    if not text and not needed:
        return 0
    number = whole_typed(text)
    if number is None or not 1 <= number <= 100:
        faults.append(Fault(f"/{name}", _("Write a whole number from 1 to 100.")))
        return 0
    return number


def _points(values: Mapping[str, str], faults: list[Fault]) -> str:
    text = point_typed(values["missed_points"])
    if decimal_read(text) is None:
        words = comma_words(text, otherwise=_("Write points from 0 up, such as 5.5."))
        faults.append(Fault("/missed_points", words))
    return text


def _ties(values: Mapping[str, str], faults: list[Fault]) -> list[str]:
    chosen: list[str] = []
    for name in TIE_FIELDS:
        if values[name] in chosen:
            faults.append(
                Fault(f"/{name}", _("This stands above already: choose another, or none."))
            )
        elif values[name]:
            chosen.append(values[name])
    return chosen


def at_its_field(act: Callable[[], Made]) -> Made:
    """Do it; a fault of the rules is raised again at the field it was typed in."""
    try:
        return act()
    except BadInput as bad:
        raise BadInput(
            *(Fault(_FIELDS.get(f.pointer, f.pointer), f.message) for f in bad.faults)
        ) from None


def choices() -> dict[str, list[tuple[str, str]]]:
    """What each list offers, in words."""
    ties = [
        ("", _("nothing more")),
        ("weight", _("greater weight in the rounds that count")),
        ("best_places", _("more first places, then seconds and so on")),
        ("last_round", _("better last round")),
    ]
    return {
        "of": [("anglers", _("anglers")), ("teams", _("teams"))],
        "adds": [
            ("points_low", _("the points of each match, the lowest total wins")),
            ("points_high", _("the points of each match, the most win")),
            ("places", _("the places over all, the lowest total wins")),
        ],
        "counting": [
            ("all", _("every round")),
            ("drop", _("all but the worst")),
            ("best", _("only the best")),
        ],
        "missed": [
            ("worst_plus_one", _("one place behind the worst of that round")),
            ("fixed", _("always the same points")),
            ("not_counted", _("nothing, and it is dropped first")),
        ],
        "ties": ties,
    }
