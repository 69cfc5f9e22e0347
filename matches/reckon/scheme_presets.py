"""Ways of scoring as clubs use them, each with its source: where a secretary starts.

The organiser's rule always wins: every rule of a preset is editable afterwards. What a rule means
is `matches.reckon.placings.scheme.Scheme`'s.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Any, Final

#: The rules one by one, as the placings calculator takes them; None: the section's size.
INTERNATIONAL_RULES: Final[Mapping[str, str | None]] = MappingProxyType(
    {
        "direction": "low",
        "ties": "average",
        "blank": "average_of_left",
        "absent": "size_plus_one",
        "first": None,
        "step": "1",
    }
)


@dataclass(frozen=True, slots=True)
class SchemePreset:
    """`says` explains it in plain words; `differs` are the rules that are not the international
    ones; `source` says where it was seen and how sure that is."""

    key: str
    name: str
    says: str
    source: str
    differs: Mapping[str, str | None] = field(default_factory=dict)

    @property
    def rules(self) -> dict[str, str | None]:
        """Every rule by name: the preset's own, the international one where it is silent."""
        return {**INTERNATIONAL_RULES, **self.differs}


_CLUBS: Final = "Seen in club rules (one secondary source)."

PRESETS: Final = (
    SchemePreset(
        "international",
        "International float rule",
        "Points are the place in the section, and the lowest total wins. Equal weights share the "
        "places they fill. Blanks share the places that are left: of 24 with 12 fish caught, each "
        "scores 18.5. Who is absent or disqualified scores one more than the section has anglers.",
        "Article 33 of the international coarse-angling text in translation, and the Polish "
        "federation's points rule (official texts); one more for the absent: an event under "
        "international rules (one secondary source).",
    ),
    SchemePreset(
        "club-low",
        "Club rule: a blank scores one more than the section",
        "Points are the place, and the lowest total wins. Each blank scores one more than the "
        "section has anglers, who is absent two more: in a section of 20 that is 21 and 22.",
        _CLUBS,
        {"blank": "size_plus_one", "absent": "size_plus_two"},
    ),
    SchemePreset(
        "points-up",
        "Points up: the most points win",
        "The winner of a section scores as many points as it has anglers, each place below one "
        "point less, and the highest total wins. Who is absent scores nothing.",
        "The way up seen in club rules (one secondary source); nothing for the absent is common "
        "practice, no source.",
        {"direction": "high", "absent": "zero"},
    ),
    SchemePreset(
        "points-up-fixed",
        "Points up, the same for every winner",
        "Every section's winner scores the same points, however many fish in it; each place below "
        "scores one less. Thirty points are where we start: write your club's own figure.",
        "A fixed figure for the winner seen in club rules (one secondary source); the figure of 30 "
        "is ours, no source.",
        {"direction": "high", "absent": "zero", "first": "30"},
    ),
    SchemePreset(
        "points-up-blank-one",
        "Points up, one point for a blank",
        "As points up, but whoever fishes and weighs nothing scores one point, so that staying to "
        "the end is worth more than going home.",
        "One point for a blank seen in club rules (one secondary source).",
        {"direction": "high", "absent": "zero", "blank": "one"},
    ),
)
PRESETS_BY_KEY: Final = {preset.key: preset for preset in PRESETS}


def preset_of(scheme: Any) -> SchemePreset | None:
    """The preset whose rules a match's scheme has, None for rules of its own."""
    rules = scheme_rules(scheme)
    return next((preset for preset in PRESETS if preset.rules == rules), None)


def scheme_rules(scheme: Any) -> dict[str, str | None]:
    """The six rules of a stored scheme, the international ones where it says nothing."""
    said = scheme if isinstance(scheme, dict) else {}
    return {key: said.get(key, usual) for key, usual in INTERNATIONAL_RULES.items()}


def scheme_of(rules: Mapping[str, str | None], *, without_singles: bool) -> Any:
    """The scheme as a match keeps it: the name where the rules are the international ones."""
    if dict(rules) == dict(INTERNATIONAL_RULES) and not without_singles:
        return "international"
    return {**rules, **({"teams_ranked_without_singles": True} if without_singles else {})}


def ranks_without_singles(scheme: Any) -> bool:
    """Whether the team count leaves out those who fish alone."""
    return isinstance(scheme, dict) and scheme.get("teams_ranked_without_singles") is True
