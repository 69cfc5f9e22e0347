"""What to plan where nobody knows better: a table, each line with its source."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Final

COLD, MILD, WARM = "cold", "mild", "warm"
SLOW, STEADY, FAST = "slow", "steady", "fast"
PRACTICE: Final = "common practice, no source"
MEMORY: Final = "from memory"
#: Summer 30 % and winter 50 % of the ready mix: one secondary source, which names the seasons and
#: not the water's warmth.
SOIL_SOURCE: Final = "one secondary source"
#: Water below so many tenths of a degree Celsius is cold, from so many on warm.
MILD_FROM, WARM_FROM = 80, 150
#: A surface slower than so many centimetres a second is slow, from so many on fast.
STEADY_FROM, FAST_FROM = 20, 50
#: Tenths of a degree that river water has, January to December (from memory, rivers of the north
#: of Europe).
USUAL_CELSIUS_TENTHS: Final = (50, 50, 70, 100, 130, 170, 190, 190, 160, 120, 90, 60)
#: Where nobody measured a flow (common practice, no source).
USUAL_CM_S: Final = 30


@dataclass(frozen=True, slots=True)
class Rule:
    """`value` of `what` in water of that warmth and flow; an empty one holds for any."""

    what: str
    warmth: str
    flow: str
    value: Fraction
    source: str


#: Of lines about the same thing the first that fits holds.
RULES: Final = (
    Rule("soil_share", COLD, "", Fraction(1, 2), SOIL_SOURCE),
    Rule("soil_share", MILD, "", Fraction(2, 5), PRACTICE),
    Rule("soil_share", WARM, "", Fraction(3, 10), SOIL_SOURCE),
    Rule("balls", COLD, SLOW, Fraction(4), PRACTICE),
    Rule("balls", COLD, "", Fraction(6), PRACTICE),
    Rule("balls", "", "", Fraction(8), PRACTICE),
    Rule("ball_mm", "", SLOW, Fraction(60), PRACTICE),
    Rule("ball_mm", "", "", Fraction(80), PRACTICE),
    # How much of a heavy day's loose feed goes in, and how often.
    Rule("day_share", COLD, SLOW, Fraction(1, 6), PRACTICE),
    Rule("day_share", COLD, "", Fraction(1, 4), PRACTICE),
    Rule("day_share", MILD, "", Fraction(1, 2), PRACTICE),
    Rule("day_share", WARM, SLOW, Fraction(3, 4), PRACTICE),
    Rule("day_share", WARM, "", Fraction(1), PRACTICE),
    Rule("every_seconds", COLD, "", Fraction(900), PRACTICE),
    Rule("every_seconds", MILD, "", Fraction(600), PRACTICE),
    Rule("every_seconds", WARM, "", Fraction(300), PRACTICE),
    # A heavy day of five hours on a river: 8 pints of particles, 4 of each of two animal baits.
    Rule("particle_pints", "", "", Fraction(8), PRACTICE),
    Rule("animal_pints", "", "", Fraction(4), PRACTICE),
    Rule("hook_pints", "", "", Fraction(1, 4), PRACTICE),
    # A ball with more than a tenth of loose feed in it breaks: weaker than what skilled hands load.
    Rule("load_share", "", "", Fraction(1, 10), SOIL_SOURCE),
    # For what the opening leaves, to mend and top up with.
    Rule("mix_more", "", "", Fraction(6, 5), PRACTICE),
    Rule("rest_minutes", "", "", Fraction(25), PRACTICE),
    # The last feed goes in so long before the end.
    Rule("quiet_minutes", "", "", Fraction(30), PRACTICE),
)
#: The match that the pints above are for, in minutes.
HEAVY_DAY_MINUTES: Final = 300


def warmth_of(celsius_tenths: int) -> str:
    """Which of COLD, MILD and WARM water of so many tenths of a degree Celsius is."""
    if celsius_tenths < MILD_FROM:
        return COLD
    return WARM if celsius_tenths >= WARM_FROM else MILD


def flow_of(cm_s: int) -> str:
    """Which of SLOW, STEADY and FAST a surface of so many centimetres a second is."""
    if cm_s < STEADY_FROM:
        return SLOW
    return FAST if cm_s >= FAST_FROM else STEADY


def rule_of(what: str, *, warmth: str, flow: str) -> Rule:
    """The first rule about it that holds in such water. Raises KeyError for what has none."""
    for rule in RULES:
        if rule.what == what and rule.warmth in ("", warmth) and rule.flow in ("", flow):
            return rule
    raise KeyError(what)
