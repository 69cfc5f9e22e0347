"""The rules of a league, and the reading of them from JSON."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Final, Literal, cast

from ..decimals import decimal_read
from ..placings.scheme import DIRECTIONS, Direction
from ..reading import Reading, Where

TieBreak = Literal["weight", "best_places", "last_round"]
Missed = Literal["worst_plus_one", "not_counted"] | Fraction

TIE_BREAKS: Final = ("weight", "best_places", "last_round")
MISSED: Final = ("worst_plus_one", "not_counted")
RULE_KEYS: Final = ("points", "drop_worst", "best_of", "minimum_rounds", "missed", "tie_breaks")
ROUNDS_MOST: Final = 100


@dataclass(frozen=True, slots=True)
class LeagueRules:
    """How rounds become a table.

    `points`: the lowest or the highest total wins. `drop_worst` rounds are left out of each total,
    or all but the `best_of`; one round always counts. Ranked is who fished `minimum_rounds`, or
    every round so far while there were fewer. `missed`: what a round without an entry is worth:
    one place behind the worst of that round, nothing and dropped first, or fixed points.
    """

    points: Direction = "low"
    drop_worst: int = 0
    best_of: int | None = None
    minimum_rounds: int = 0
    missed: Missed = "worst_plus_one"
    tie_breaks: tuple[TieBreak, ...] = TIE_BREAKS

    def dropped(self, rounds: int) -> int:
        """How many of so many rounds are left out of an entrant's total."""
        wanted = self.drop_worst if self.best_of is None else rounds - self.best_of
        return max(0, min(wanted, rounds - 1))

    def worse(self, points: Fraction) -> Fraction:
        """Points turned so that less is better."""
        return points if self.points == "low" else -points


def rules_read(reading: Reading, body: Mapping[str, object]) -> LeagueRules:
    """The rules that stand beside the rounds in a request; faults are noted in `reading`."""
    rules = LeagueRules(
        points=cast(
            Direction,
            reading.read_word(body.get("points", "low"), ("points",), words=DIRECTIONS),
        ),
        drop_worst=_count_read(reading, body, "drop_worst", least=0) or 0,
        best_of=_count_read(reading, body, "best_of", least=1),
        minimum_rounds=_count_read(reading, body, "minimum_rounds", least=0) or 0,
        missed=_missed_read(reading, body.get("missed", "worst_plus_one")),
        tie_breaks=_tie_breaks_read(reading, body.get("tie_breaks", list(TIE_BREAKS))),
    )
    _sense_check(reading, rules)
    return rules


def points_read(reading: Reading, raw: object, where: Where) -> Fraction:
    """Exact points: a decimal string from 0, with at most four places."""
    value = decimal_read(raw)
    if value is None:
        reading.fault(where, 'Write points as a decimal string such as "5.5".')
        return Fraction(0)
    return value


def _count_read(
    reading: Reading, body: Mapping[str, object], key: str, *, least: int
) -> int | None:
    raw = body.get(key)
    return None if raw is None else reading.read_whole(raw, (key,), least=least, most=ROUNDS_MOST)


def _missed_read(reading: Reading, raw: object) -> Missed:
    if isinstance(raw, dict):
        body = reading.read_object(raw, ("missed",), needs=("points",))
        return points_read(reading, body.get("points", "0"), ("missed", "points"))
    return cast(Missed, reading.read_word(raw, ("missed",), words=MISSED))


def _tie_breaks_read(reading: Reading, raw: object) -> tuple[TieBreak, ...]:
    twice = "This tie-break stands here twice: name it once."
    words = reading.read_words(raw, ("tie_breaks",), words=TIE_BREAKS, twice=twice)
    return tuple(cast(TieBreak, word) for word in words)


def _sense_check(reading: Reading, rules: LeagueRules) -> None:
    if rules.best_of is not None and rules.drop_worst:
        reading.fault(("best_of",), "Drop the worst, or count the best: not both.")
    if rules.missed != "not_counted" or rules.points == "high":
        return
    if rules.best_of is None or rules.minimum_rounds < rules.best_of:
        reading.fault(
            ("missed",),
            "With the lowest total winning, whoever stays at home would lead: give a missed round "
            "points, or count the best of so many and ask for at least as many to be ranked.",
        )
