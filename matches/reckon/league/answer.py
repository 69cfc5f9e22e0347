"""The table of a league."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final, Literal

from ..decimals import decimal_text
from ..weights import WEIGHT_UNITS, WeightUnit
from .request import LeagueRequest
from .rules import LeagueRules, TieBreak
from .scores import Score, scores_by_entrant

Behind = Literal["points", "equal"] | TieBreak
Standing = tuple[object, ...]

_BEHIND_ALL: Final = Fraction(10**12)
"""Worse than any place or points there can be."""


@dataclass(frozen=True, slots=True)
class Season:
    """One entrant's row. `rank` None: too few rounds fished.

    `behind` says what sets the row behind the one above: points, a tie-break, or nothing (equal).
    """

    id: str
    scores: tuple[Score, ...]
    rank: int | None = None
    behind: Behind | None = None

    @property
    def total(self) -> Fraction:
        return sum((s.points for s in self.counted if s.points is not None), Fraction(0))

    @property
    def counted(self) -> tuple[Score, ...]:
        """The rounds in the total, in their order."""
        return tuple(s for s in self.scores if s.counts)

    @property
    def fished(self) -> int:
        """Rounds come to, what `minimum_rounds` asks for: neither missed nor absent from."""
        return sum(1 for s in self.scores if s.status not in ("missed", "absent"))

    @property
    def weights(self) -> dict[WeightUnit, int]:
        """The weight of the rounds in the total, apart for each unit it was taken in."""
        sums: defaultdict[WeightUnit, int] = defaultdict(int)
        for score in self.counted:
            if score.status != "missed":
                sums[score.round.weight_unit] += score.weight
        return {unit: sums[unit] for unit in WEIGHT_UNITS if unit in sums}

    def as_json(self) -> dict[str, object]:
        return {
            "rank": self.rank,
            "id": self.id,
            "total": decimal_text(self.total),
            "behind": self.behind,
            "fished": self.fished,
            "counted": len(self.counted),
            "weights": [{"unit": u, "weight": w} for u, w in self.weights.items()],
            "rounds": [_score_json(s) for s in self.scores],
        }


def _score_json(score: Score) -> dict[str, object]:
    with_weight = score.status not in ("missed", "to_weigh")
    return {
        "round": score.round.id,
        "status": score.status,
        "points": None if score.points is None else decimal_text(score.points),
        "place": None if score.place is None else decimal_text(score.place),
        "weight": score.weight if with_weight else None,
        "counts": score.counts,
        "dropped": score.dropped,
    }


@dataclass(frozen=True, slots=True)
class LeagueAnswer:
    """The ranked by rank, then those without a rank; equals by id in UTF-8 bytes."""

    table: tuple[Season, ...]

    def as_json(self) -> dict[str, object]:
        """The response of the API: points as exact decimal strings."""
        return {"table": [row.as_json() for row in self.table]}


def league_work_out(request: LeagueRequest) -> LeagueAnswer:
    """The table after the rounds given. The order of entries in a round does not matter; that of
    the rounds does only where an earlier round is dropped and for the tie-break `last_round`."""
    rules = request.rules
    needed = min(rules.minimum_rounds, sum(1 for held in request.rounds if held.scored))
    seasons = [Season(name, scores) for name, scores in scores_by_entrant(request).items()]
    ranked = [s for s in seasons if s.fished >= needed]
    rest = [s for s in seasons if s.fished < needed]
    return LeagueAnswer((*_ranks_give(ranked, rules=rules), *_in_order(rest, rules=rules)))


def _in_order(seasons: Sequence[Season], *, rules: LeagueRules) -> list[Season]:
    return sorted(seasons, key=lambda s: (_standing(s, rules=rules), s.id.encode()))


def _ranks_give(seasons: Sequence[Season], *, rules: LeagueRules) -> list[Season]:
    """Rows in order with their rank; equals after all tie-breaks share one."""
    rows: list[Season] = []
    above: Standing | None = None
    for position, season in enumerate(_in_order(seasons, rules=rules), start=1):
        standing = _standing(season, rules=rules)
        behind = None if above is None else _behind(above, standing, rules=rules)
        rank = rows[-1].rank if behind == "equal" else position
        rows.append(Season(season.id, season.scores, rank, behind))
        above = standing
    return rows


def _behind(above: Standing, standing: Standing, *, rules: LeagueRules) -> Behind:
    words: tuple[Behind, ...] = ("points", *rules.tie_breaks)
    for word, better, own in zip(words, above, standing, strict=True):
        if better != own:
            return word
    return "equal"


def _standing(season: Season, *, rules: LeagueRules) -> Standing:
    """The total, then each tie-break: less is better throughout."""
    return (
        rules.worse(season.total),
        *(_TIE_BREAKS[word](season, rules) for word in rules.tie_breaks),
    )


def _weight(season: Season, _rules: LeagueRules) -> Fraction:
    """The greater weight of the rounds in the total; grams and drams compared exactly."""
    return -sum((s.grams for s in season.counted), Fraction(0))


def _best_places(season: Season, _rules: LeagueRules) -> tuple[Fraction, ...]:
    """More first places, then more seconds and so on, among the rounds in the total; a score
    without a place is behind every place."""
    places = sorted(_BEHIND_ALL if s.place is None else s.place for s in season.counted)
    return tuple(places) + (_BEHIND_ALL,) * (len(season.scores) - len(places))


def _last_round(season: Season, rules: LeagueRules) -> tuple[Fraction, ...]:
    """The better points in the last round, then in the one before, dropped or not; a round that
    counts nothing is behind every score."""
    return tuple(
        _BEHIND_ALL if s.points is None else rules.worse(s.points) for s in reversed(season.scores)
    )


_TIE_BREAKS: Final[dict[TieBreak, Callable[[Season, LeagueRules], object]]] = {
    "weight": _weight,
    "best_places": _best_places,
    "last_round": _last_round,
}
