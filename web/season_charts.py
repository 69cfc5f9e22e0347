"""A season in three small charts: place in each round, weight in each round, total after each.

Only whole-number geometry is worked out here; the template draws it, and the table on the same page
says the same in words.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

COLUMN = 64
TOP = 24
DEEP = 96
LEFT = 4
LEAST_COLUMNS = 4


@dataclass(frozen=True, slots=True)
class Value:
    """One round's value and its label; `value` None where there is none."""

    round: str
    value: Fraction | None
    label: str
    dropped: bool = False


@dataclass(frozen=True, slots=True)
class Mark:
    """One round as drawn: `state` is counts, dropped or none; y grows downwards."""

    round: str
    label: str
    state: str
    middle: int
    top: int
    above: int
    left: int
    wide: int
    deep: int


@dataclass(frozen=True, slots=True)
class Chart:
    """`path` joins neighbours that have a value (empty for bars)."""

    width: int
    height: int
    base: int
    marks: tuple[Mark, ...]
    path: str

    @property
    def foot(self) -> int:
        """Where the numbers of the rounds stand."""
        return self.height - 6


def bars(values: Sequence[Value]) -> Chart:
    """Bars from nothing up to the greatest."""
    most = max((v.value for v in values if v.value is not None), default=Fraction(0))
    return _chart(values, [_share(v.value, Fraction(0), most) for v in values], line=False)


def line(values: Sequence[Value], *, best_low: bool) -> Chart:
    """Dots joined by a line; with `best_low` the least stands highest."""
    known = [v.value for v in values if v.value is not None]
    least, most = min(known, default=Fraction(0)), max(known, default=Fraction(0))
    shares = [_share(v.value, least, most) for v in values]
    if best_low:
        shares = [None if s is None else 1 - s for s in shares]
    return _chart(values, shares, line=True)


def _share(value: Fraction | None, least: Fraction, most: Fraction) -> Fraction | None:
    """How far between the two; halfway where they are the same."""
    if value is None:
        return None
    return (value - least) / (most - least) if most > least else Fraction(1, 2)


def _chart(values: Sequence[Value], shares: Sequence[Fraction | None], *, line: bool) -> Chart:
    base = TOP + DEEP
    marks = tuple(
        _mark(v, share, at=i, base=base)
        for i, (v, share) in enumerate(zip(values, shares, strict=True))
    )
    return Chart(
        width=COLUMN * max(len(values), LEAST_COLUMNS) + 2 * LEFT,
        height=base + 24,
        base=base,
        marks=marks,
        path=_path(marks) if line else "",
    )


def _mark(value: Value, share: Fraction | None, *, at: int, base: int) -> Mark:
    # A value is never drawn as nothing, however small beside the greatest.
    deep = 0 if share is None else max(4, int(share * DEEP))
    left = LEFT + at * COLUMN
    return Mark(
        round=value.round,
        label=value.label,
        state="none" if share is None else "dropped" if value.dropped else "counts",
        middle=left + COLUMN // 2,
        top=base - deep,
        above=base - deep - 8,
        left=left + 12,
        wide=COLUMN - 24,
        deep=deep,
    )


def _path(marks: Iterable[Mark]) -> str:
    parts: list[str] = []
    pen = "M"
    for mark in marks:
        if mark.state == "none":
            pen = "M"
            continue
        parts.append(f"{pen}{mark.middle} {mark.top}")
        pen = "L"
    return " ".join(parts)
