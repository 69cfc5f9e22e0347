"""The picture of a season: of each thing fed the factor on the weight, with its interval.

Only geometry is worked out here; the template draws it, and the table on the page says the same.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from .season_words import Names, column_name, step_said

WIDTH: Final = 340
SIDE: Final = 14
ROW: Final = 40
TOP: Final = 4
#: What the axis may reach to, as factors; an interval that goes on beyond ends in an arrow.
REACHES: Final = (1.25, 1.5, 2.0, 4.0)


@dataclass(frozen=True, slots=True)
class Tick:
    x: str
    words: str


@dataclass(frozen=True, slots=True)
class SeasonRow:
    """One interval. `found` colours it; an open end has an arrow."""

    name: str
    found: str
    text_y: int
    y: int
    left: str
    right: str
    x: str
    arrows: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SeasonPicture:
    """Everything the page draws. Numbers are text, so that no locale turns a point into a comma."""

    width: int
    height: int
    base: int
    even: str
    rows: tuple[SeasonRow, ...]
    ticks: tuple[Tick, ...]


def season_picture(effects: Sequence[Mapping[str, Any]], *, names: Names) -> SeasonPicture | None:
    """Of the effects of which something is said; None where there is none."""
    shown = [effect for effect in effects if effect["times"] is not None]
    if not shown:
        return None
    furthest = max(max(effect["high"], 1 / max(effect["low"], 1e-6)) for effect in shown)
    reach = next((reach for reach in REACHES if furthest <= reach), REACHES[-1])
    base = TOP + ROW * len(shown)
    return SeasonPicture(
        width=WIDTH,
        height=base + 22,
        base=base,
        even=_n(_x(1, reach=reach)),
        rows=tuple(_row(effect, n, reach=reach, names=names) for n, effect in enumerate(shown)),
        ticks=tuple(Tick(_n(_x(f, reach=reach)), f"{f:.2g} ×") for f in (1 / reach, 1, reach)),
    )


def _row(effect: Mapping[str, Any], n: int, *, reach: float, names: Names) -> SeasonRow:
    top = TOP + ROW * n
    y = top + 28
    arrows = []
    if effect["low"] < 1 / reach:
        arrows.append(f"M{SIDE} {y - 5}l-8 5l8 5z")
    if effect["high"] > reach:
        arrows.append(f"M{WIDTH - SIDE} {y - 5}l8 5l-8 5z")
    return SeasonRow(
        name=f"{column_name(effect, names=names)}, +{step_said(effect)}",
        found=effect["found"],
        text_y=top + 15,
        y=y,
        left=_n(_x(effect["low"], reach=reach)),
        right=_n(_x(effect["high"], reach=reach)),
        x=_n(_x(effect["times"], reach=reach)),
        arrows=tuple(arrows),
    )


def _x(factor: float, *, reach: float) -> float:
    """On a scale on which a half lies as far from one as two."""
    share = math.log(max(factor, 1e-6)) / math.log(reach)
    return WIDTH / 2 + (WIDTH / 2 - SIDE) * min(1.0, max(-1.0, share))


def _n(value: float) -> str:
    return f"{value:.1f}"
