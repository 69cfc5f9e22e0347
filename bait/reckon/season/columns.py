"""What was fed over a season as columns of numbers, and which of them can say anything."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median
from typing import Final, Literal

import numpy as np

from .day import Column, DayFed, LeftOut
from .mixed import Floats

#: On fewer matches or days nothing is said of a season, or of what was fed on so few of them
#: (common practice, no source).
LEAST_MATCHES: Final = 5
LEAST_DAYS: Final = 15
LEAST_FED_DAYS: Final = 10
#: An amount so many times the usual of its bait is a slip of the thumb (common practice, no
#: source), once so many days say what is usual.
FAR_OFF: Final = 10
FAR_DAYS: Final = 5
#: A column that the others tell so much of cannot be told apart from them.
SHARE_TOLD: Final = 0.98
#: Which others: those that take part in telling it by so much of a usual difference.
PART: Final = 0.1
_NONE: Final = 1e-9

Lack = Literal["few", "alike", "together"]


@dataclass(frozen=True, slots=True)
class ColumnSeen:
    """One column: on how many days of how many matches it was fed, and by how many anglers; why
    nothing can be said of it (`with_`: what it went together with). `step` is an amount to speak
    of, of which the days hold enough; 0 where all are alike. `spread` is a day's usual difference
    from what the same angler mostly feeds (a standard deviation)."""

    column: Column
    matches: int
    days: int
    anglers: int
    step: float
    spread: float
    lack: Lack | None = None
    with_: tuple[Column, ...] = ()


@dataclass(frozen=True, slots=True)
class Table:
    """Days as rows, in the order given. `amounts` holds a column for each of `used`: what was fed
    beyond the angler's own usual, in spreads."""

    seen: tuple[ColumnSeen, ...]
    used: tuple[Column, ...]
    amounts: Floats


def far_off(days: Sequence[DayFed]) -> tuple[list[DayFed], list[LeftOut]]:
    """The days, without those on which more was noted of something than anybody feeds."""
    fed: dict[Column, list[float]] = defaultdict(list)
    for day in days:
        for column, amount in day.fed.items():
            if amount > 0:
                fed[column].append(amount)
    most = {c: FAR_OFF * median(seen) for c, seen in fed.items() if len(seen) >= FAR_DAYS}
    kept, out = [], []
    for day in days:
        if any(amount > most.get(column, math.inf) for column, amount in day.fed.items()):
            out.append(LeftOut(day.match, day.angler, "far"))
        else:
            kept.append(day)
    return kept, out


def table_of(days: Sequence[DayFed]) -> Table:
    """Each angler is set against themself: what they always feed says nothing of what it does.

    A rhythm that the amounts tell of is left to them.
    """
    columns = sorted({column for day in days for column, amount in day.fed.items() if amount > 0})
    raw = np.array([[day.fed.get(c, 0.0) for c in columns] for day in days]).reshape(len(days), -1)
    beyond = _beyond(raw, [day.angler for day in days])
    spreads = np.sqrt((beyond**2).mean(axis=0)) if days else np.zeros(len(columns))
    amounts = beyond / np.where(spreads > _NONE, spreads, 1.0)
    varied = [n for n, spread in enumerate(spreads) if spread > _NONE]
    baits = [n for n in varied if columns[n].of != "rate"]
    seen, used = [], []
    for n, column in enumerate(columns):
        beside = [other for other in (baits if n in baits else varied) if other != n]
        told = _told_by(amounts, n, beside) if n in varied else ()
        rows = [day for day, fed in zip(days, raw[:, n], strict=True) if fed > 0]
        one = ColumnSeen(
            column=column,
            matches=len({day.match for day in rows}),
            days=len(rows),
            anglers=len({day.angler for day in rows}),
            step=_step(2 * float(spreads[n])) if n in varied else 0.0,
            spread=float(spreads[n]),
            with_=tuple(columns[other] for other in told),
        )
        lack = _lack(one)
        seen.append(ColumnSeen(*_parts(one), lack, one.with_ if lack == "together" else ()))
        if n in baits or (n in varied and not told):
            used.append(n)
    return Table(tuple(seen), tuple(columns[n] for n in used), amounts[:, used])


def _parts(one: ColumnSeen) -> tuple[Column, int, int, int, float, float]:
    return one.column, one.matches, one.days, one.anglers, one.step, one.spread


def _lack(one: ColumnSeen) -> Lack | None:
    if one.matches < LEAST_MATCHES or one.days < LEAST_FED_DAYS:
        return "few"
    if not one.step:
        return "alike"
    return "together" if one.with_ else None


def _beyond(raw: Floats, anglers: Sequence[str]) -> Floats:
    """Each row less the mean of its angler's."""
    out = raw.copy()
    for angler in set(anglers):
        rows = [n for n, one in enumerate(anglers) if one == angler]
        out[rows] -= raw[rows].mean(axis=0)
    return out


def _told_by(amounts: Floats, at: int, beside: Sequence[int]) -> tuple[int, ...]:
    """The columns of which this one follows; none where it goes its own way."""
    if not beside:
        return ()
    others = amounts[:, list(beside)]
    parts, *_rest = np.linalg.lstsq(others, amounts[:, at], rcond=None)
    left = amounts[:, at] - others @ parts
    if 1 - float(left @ left) / len(amounts) < SHARE_TOLD:
        return ()
    return tuple(n for n, part in zip(beside, parts, strict=True) if abs(part) > PART)


def _step(most: float) -> float:
    """The largest of 1, 2, 5, 10 … (and a tenth of each) that is no more than `most`."""
    size: float = 10.0 ** math.floor(math.log10(most) + _NONE)
    return max(step * size for step in (1, 2, 5) if step * size <= most * (1 + _NONE))
