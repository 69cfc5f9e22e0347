"""What each round is worth to each entrant, and which rounds are dropped."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Literal

from ..weights import GRAMS_PER_DRAM
from .request import LeagueRequest, Round, RoundEntry
from .rules import LeagueRules

ScoreStatus = Literal["fished", "absent", "disqualified", "to_weigh", "missed"]
DroppedFor = Literal["missed", "points", "weight", "earlier"]


@dataclass(frozen=True, slots=True)
class Score:
    """One round of one entrant. `points` None: nothing is counted for it (yet).

    `dropped` says what made it worse than the rounds kept: it was missed, its points, its weight,
    or only that it came earlier; None where it is not dropped.
    """

    round: Round
    status: ScoreStatus
    points: Fraction | None
    weight: int = 0
    place: Fraction | None = None
    dropped: DroppedFor | None = None

    @property
    def counts(self) -> bool:
        """Whether it stands in the total."""
        return self.points is not None and self.dropped is None

    @property
    def grams(self) -> Fraction:
        """The weight in grams, exactly, whatever unit it was taken in."""
        return self.weight * (GRAMS_PER_DRAM if self.round.weight_unit == "dr" else Fraction(1))


def scores_by_entrant(request: LeagueRequest) -> dict[str, tuple[Score, ...]]:
    """Every entrant's scores in the order of the rounds, the worst of them dropped."""
    missed = [_missed_points(held, rules=request.rules) for held in request.rounds]
    entered = [{e.id: e for e in held.entries} for held in request.rounds]
    ids = sorted({name for of in entered for name in of}, key=str.encode)
    return {
        name: _worst_dropped(
            [
                _score(held, of.get(name), missed=points)
                for held, of, points in zip(request.rounds, entered, missed, strict=True)
            ],
            rules=request.rules,
        )
        for name in ids
    }


def _missed_points(held: Round, *, rules: LeagueRules) -> Fraction | None:
    """What the round is worth to who has no entry in it; never below nothing."""
    if rules.missed == "not_counted" or not held.scored:
        return None
    if isinstance(rules.missed, Fraction):
        return rules.missed
    given = [e.points for e in held.entries if e.status != "to_weigh"]
    return max(given) + 1 if rules.points == "low" else max(min(given) - 1, Fraction(0))


def _score(held: Round, entry: RoundEntry | None, *, missed: Fraction | None) -> Score:
    if entry is None:
        return Score(held, "missed", missed)
    if entry.status == "to_weigh":
        return Score(held, "to_weigh", None)
    return Score(held, entry.status, entry.points, entry.weight, entry.place)


def _worst_dropped(scores: Sequence[Score], *, rules: LeagueRules) -> tuple[Score, ...]:
    """The worst by points is dropped first, then the least weight, then the earlier round."""
    order = sorted(
        (n for n, s in enumerate(scores) if s.round.scored and s.status != "to_weigh"),
        key=lambda n: _goodness(scores[n], rules=rules),
    )
    many = rules.dropped(len(order))
    if not many:
        return tuple(scores)
    kept = scores[order[many]]
    reasons = dict(_reasons(scores, order[:many], kept=kept))
    return tuple(replace(score, dropped=reasons.get(n)) for n, score in enumerate(scores))


def _goodness(score: Score, *, rules: LeagueRules) -> tuple[bool, Fraction, Fraction]:
    """Least for what is dropped first; equals stay in the order of the rounds."""
    points = Fraction(0) if score.points is None else -rules.worse(score.points)
    return (score.points is not None, points, score.grams)


def _reasons(
    scores: Sequence[Score], dropped: Sequence[int], *, kept: Score
) -> Iterator[tuple[int, DroppedFor]]:
    for n in dropped:
        score = scores[n]
        if score.status == "missed":
            yield n, "missed"
        elif score.points != kept.points:
            yield n, "points"
        else:
            yield n, "weight" if score.grams != kept.grams else "earlier"
