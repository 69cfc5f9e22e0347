"""A team's season: how what was fed went with the weight against the section, doubt and all.

It says what went together, never what brought what.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final, Literal

import numpy as np

from .columns import LEAST_DAYS, LEAST_MATCHES, ColumnSeen, Lack, far_off, table_of
from .day import AnglerDay, Column, DayFed, LeftOut, day_fed
from .effects import Part, Progress, parts_of
from .mixed import Floats, sums_of

Verdict = Literal["said", "few", "alike"]
Found = Literal["more", "less", "unsure"]
PLACES: Final = 3


@dataclass(frozen=True, slots=True)
class Effect:
    """One column: the weight was `times` that of other days for `step` more of it, nine times in
    ten between `low` and `high`; all None where `found` says why nothing is said.

    It was fed on `days` days of `matches` matches by `anglers` anglers.
    """

    column: Column
    found: Found | Lack
    matches: int
    days: int
    anglers: int
    step: float = 0.0
    times: float | None = None
    low: float | None = None
    high: float | None = None
    with_: tuple[Column, ...] = ()


@dataclass(frozen=True, slots=True)
class SeasonAnswer:
    """`days` of `anglers` in `matches` are reckoned with, the others are in `left_out`.

    `verdict`: "said"; "few" where the days or matches are too few to say anything; "alike" where
    every result was as usual, so that nothing can have gone with it.
    """

    verdict: Verdict
    matches: int
    days: int
    anglers: int
    effects: tuple[Effect, ...]
    left_out: tuple[LeftOut, ...]

    def as_json(self) -> dict[str, Any]:
        """Plain JSON; factors to three places."""
        return {
            "verdict": self.verdict,
            "matches": self.matches,
            "days": self.days,
            "anglers": self.anglers,
            "effects": [_effect_json(effect) for effect in self.effects],
            "left_out": [
                {"match": one.match, "angler": one.angler, "why": one.why} for one in self.left_out
            ],
        }


def season_work_out(
    days: Sequence[AnglerDay], *, progress: Progress = lambda _percent, _words: None
) -> SeasonAnswer:
    """What the days say. Each angler once a match, else ValueError; see `day_fed`."""
    if len({(day.match, day.angler) for day in days}) < len(days):
        raise ValueError("An angler fishes a match once.")
    read = [day_fed(day) for day in days]
    kept, far = far_off([day for day in read if isinstance(day, DayFed)])
    out = [*(day for day in read if isinstance(day, LeftOut)), *far]
    matches, anglers = {day.match for day in kept}, {day.angler for day in kept}
    verdict: Verdict = "few"
    effects: tuple[Effect, ...] = ()
    if len(matches) >= LEAST_MATCHES and len(kept) >= LEAST_DAYS:
        verdict, effects = _effects(kept, progress=progress)
    return SeasonAnswer(
        verdict, len(matches), len(kept), len(anglers), effects, tuple(sorted(out, key=_order))
    )


def _order(one: LeftOut) -> tuple[str, str]:
    return one.match, one.angler


def _effects(days: Sequence[DayFed], *, progress: Progress) -> tuple[Verdict, tuple[Effect, ...]]:
    table = table_of(days)
    ratios = np.array([day.log_ratio for day in days])
    if np.ptp(ratios) < 1e-9:
        return "alike", ()
    parts: dict[Column, Part] = {}
    if table.used:
        sums = sums_of(
            ratios - ratios.mean(),
            np.ones((len(days), 1)),
            [
                table.amounts,
                groups([day.angler for day in days]),
                groups([day.match for day in days]),
            ],
        )
        try:
            found = parts_of(sums, progress=progress)
        except ValueError:
            return "alike", ()
        parts = dict(zip(table.used, found, strict=True))
    return "said", tuple(_effect(seen, parts.get(seen.column)) for seen in table.seen)


def groups(names: Sequence[str]) -> Floats:
    """A column for each name, in their order: 1 in its rows."""
    every = sorted(set(names))
    return np.array([[float(name == one) for one in every] for name in names])


def _effect(seen: ColumnSeen, part: Part | None) -> Effect:
    counts = (seen.matches, seen.days, seen.anglers)
    if seen.lack is not None or part is None:
        return Effect(seen.column, seen.lack or "alike", *counts, with_=seen.with_)
    times, low, high = (
        math.exp(log * seen.step / seen.spread) for log in (part.middle, part.low, part.high)
    )
    found: Found = "more" if low > 1 else "less" if high < 1 else "unsure"
    return Effect(seen.column, found, *counts, seen.step, times, low, high)


def _effect_json(effect: Effect) -> dict[str, Any]:
    return {
        **_column_json(effect.column),
        "found": effect.found,
        "matches": effect.matches,
        "days": effect.days,
        "anglers": effect.anglers,
        "step": f"{effect.step:g}",
        **{name: _rounded(getattr(effect, name)) for name in ("times", "low", "high")},
        "together_with": [_column_json(column) for column in effect.with_],
    }


def _column_json(column: Column) -> dict[str, str]:
    return {"of": column.of, "key": column.key, "unit": column.unit}


def _rounded(factor: float | None) -> float | None:
    return None if factor is None else round(min(factor, 1e6), PLACES)
