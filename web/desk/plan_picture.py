"""The picture of a plan: for each bait, how much is in by each minute, in small multiples."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from django.utils.translation import gettext as _

from bait.models import Bait
from bait.reckon.plan_picture import BaitCurve
from web.picture_parts import HUES, tick_step
from web.templatetags.money import amount, unit_of

WIDTH, ROW, PLOT, HEAD, FOOT = 320, 76, 44, 22, 24
TICK_MINUTES = (30, 60, 120, 240)


@dataclass(frozen=True, slots=True)
class PictureRow:
    """One bait: its line and the area under it as SVG paths, and what stands above them."""

    name: str
    said: str
    hue: int
    top: int
    base: int
    text_y: int
    area: str
    line: str
    unplaced: str


@dataclass(frozen=True, slots=True)
class Tick:
    x: str
    words: str
    anchor: str


@dataclass(frozen=True, slots=True)
class TableRow:
    name: str
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PlanPicture:
    """Everything the page needs: paths in picture units, and the same as a table.

    Times are minutes after the start of the match; `start_x` is where it is.
    """

    width: int
    height: int
    plot: int
    rows: tuple[PictureRow, ...]
    ticks: tuple[Tick, ...]
    axis_y: int
    start_x: str
    heads: tuple[str, ...]
    table: tuple[TableRow, ...]


def plan_picture(
    curves: Sequence[BaitCurve], *, baits: Mapping[str, Bait], length_minutes: int
) -> PlanPicture | None:
    """The picture of some curves, or None where nothing goes in."""
    ends = [m for curve in curves for ramp in curve.ramps for m in (ramp.start, ramp.end)]
    if not ends:
        return None
    first, last = min(0, *ends), max(length_minutes, *ends)
    scale = _Scale(first, last)
    named = sorted(curves, key=lambda curve: baits[curve.bait].name)
    height = ROW * len(named)
    marks = _marks(last)
    ticks = tuple(_tick(m, scale=scale) for m in marks)
    return PlanPicture(
        width=WIDTH,
        height=height + FOOT,
        plot=PLOT,
        rows=tuple(
            _row(curve, name=baits[curve.bait].name, n=n, scale=scale)
            for n, curve in enumerate(named)
        ),
        ticks=ticks,
        axis_y=height + 16,
        start_x=scale.x(0),
        heads=tuple(tick.words for tick in ticks),
        table=tuple(_table_row(c, name=baits[c.bait].name, marks=marks) for c in named),
    )


@dataclass(frozen=True, slots=True)
class _Scale:
    first: int
    last: int

    def x(self, minute: int | Fraction) -> str:
        """Text, so that no locale turns the point into a comma."""
        return f"{float((minute - self.first) * WIDTH / max(1, self.last - self.first)):.1f}"


def _marks(last: int) -> list[int]:
    """Whole steps from the start to the end, as many as fit beside each other."""
    step = tick_step(last, steps=TICK_MINUTES)
    return list(range(0, last + 1, step))


def _tick(minute: int, *, scale: _Scale) -> Tick:
    words = _("start") if minute == 0 else _("%(n)d min") % {"n": minute}
    if minute and minute % 60 == 0:
        words = _("%(n)d h") % {"n": minute // 60}
    x = scale.x(minute)
    near = float(x) > WIDTH - 14
    return Tick(x, words, "end" if near else "start" if float(x) < 8 else "middle")


def _row(curve: BaitCurve, *, name: str, n: int, scale: _Scale) -> PictureRow:
    top = n * ROW + HEAD
    most = curve.total
    points = [
        (scale.x(m), f"{float(top + PLOT - (v * (PLOT - 2) / most if most else 0)):.1f}")
        for m, v in curve.corners
    ]
    base = top + PLOT
    line = " ".join(f"{'L' if i else 'M'}{x} {y}" for i, (x, y) in enumerate(points))
    if points:
        line = f"M{points[0][0]} {base} L{line[1:]} L{WIDTH} {points[-1][1]}"
    area = f"{line} L{WIDTH} {base} Z" if line else ""
    return PictureRow(
        name=name,
        said=_said(most, unit=curve.unit),
        hue=n % HUES,
        top=top,
        base=base,
        text_y=n * ROW + 15,
        area=area,
        line=line,
        unplaced=_said(curve.unplaced, unit=curve.unit) if curve.unplaced else "",
    )


def _said(value: Fraction, *, unit: str) -> str:
    return f"{amount(value)} {unit_of(unit, value)}"


def _table_row(curve: BaitCurve, *, name: str, marks: Sequence[int]) -> TableRow:
    return TableRow(
        name=f"{name} ({unit_of(curve.unit, Fraction(2))})",
        cells=tuple(amount(curve.by(minute)) for minute in marks),
    )
