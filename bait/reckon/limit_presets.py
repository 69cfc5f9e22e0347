"""Bait limits by discipline as rules of past years had them, each with its source.

Rules change every year and the organiser's rule always wins: a preset is where a secretary starts,
and every figure is editable afterwards. Litres, ready to use, loose, as shown to control.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from .limits import ANIMAL, FOR_HOOK, LimitRule

#: How sure a source is, in words.
CERTAINTY: Final = {
    "A-": "an official text, with a little doubt",
    "B": "one secondary source",
    "B-": "one secondary source, with some doubt",
    "C": "from memory or common practice, no source found",
}


@dataclass(frozen=True, slots=True)
class LimitPreset:
    """The two wholes in litres, their `source`, and the parts with their own."""

    key: str
    name: str
    groundbait_l: Fraction
    bait_l: Fraction
    source: str
    parts: tuple[LimitRule, ...] = ()


def _source(text: str, *, certainty: str) -> str:
    words = CERTAINTY[certainty]
    return f"{text} ({words})" if text else words[0].upper() + words[1:]


def _parts(*, larvae: str, hook: str, worms: str, source: str) -> tuple[LimitRule, ...]:
    return (
        LimitRule(
            "Chironomid larvae", Fraction(larvae), counts=ANIMAL, family="larvae", source=source
        ),
        LimitRule(
            "Chironomid larvae for the hook",
            Fraction(hook),
            counts=ANIMAL,
            family="larvae",
            use=FOR_HOOK,
            source=source,
        ),
        LimitRule("Worms, uncut", Fraction(worms), counts=ANIMAL, family="worm", source=source),
    )


_FLOAT = _source("Polish federation 2023, 7.7.5 and 7.7.9", certainty="A-")
_FEEDER = _source("2018 summary", certainty="B")
_FLOAT_PARTS = _parts(larvae="1", hook="0.5", worms="0.5", source=_FLOAT)

PRESETS: Final = (
    LimitPreset("float", "Float, adults", Fraction(20), Fraction("2.5"), _FLOAT, _FLOAT_PARTS),
    LimitPreset(
        "float-youngest", "Float, youngest", Fraction(15), Fraction("2.5"), _FLOAT, _FLOAT_PARTS
    ),
    LimitPreset(
        "feeder",
        "Feeder",
        Fraction(12),
        Fraction("2.5"),
        _source("", certainty="C"),
        _parts(larvae="0.5", hook="0.25", worms="0.5", source=_FEEDER),
    ),
    LimitPreset(
        "float-older",
        "Float, older rule",
        Fraction(17),
        Fraction("2.5"),
        _source("2006 report", certainty="B-"),
    ),
)
PRESETS_BY_KEY: Final = {preset.key: preset for preset in PRESETS}
