"""What a bench finds, in one form: a row for each thing measured, a curve for each that grows.

A bench is a file `bench_*.py` or `grow_*.py` that can be run by itself (`python -m
tests.bench.bench_placings`, `--quick` for few rounds). It tells each row as it has it: as a line on
the screen, and in the file that the environment names, where there is one.
"""

from __future__ import annotations

import json
import math
import os
import sys
from collections.abc import Callable, Sequence
from dataclasses import asdict, dataclass, field
from pathlib import Path
from statistics import median
from time import perf_counter
from typing import Any, Final

QUICK: Final = "--quick" in sys.argv
ROWS_FILE: Final = "DRAWBAG_BENCH_ROWS"
FEWEST_ROUNDS: Final = 3


@dataclass(frozen=True, slots=True)
class Row:
    """`ours` and `theirs` are medians, in `unit`. `ratio`: ours over the reference's, the median
    of the rounds; `spread`: a quarter of the rounds are below the first, a quarter above the
    second. `aims`: keys of `aims.py`. `said`: more in words, or why nothing was measured."""

    what: str
    size: str
    ours: float | None = None
    unit: str = "ms"
    reference: str = ""
    theirs: float | None = None
    ratio: float | None = None
    spread: tuple[float, float] | None = None
    aims: tuple[str, ...] = ()
    said: str = ""
    bench: str = ""


@dataclass(frozen=True, slots=True)
class Curve:
    """Milliseconds at each size, of ours and of the reference (empty: there is none).

    `key` names the picture; `of` is what is counted by `sizes`; `stopped` says why a size that was
    meant is not there.
    """

    key: str
    title: str
    of: str
    sizes: tuple[int, ...]
    ours: tuple[float, ...]
    reference: str = ""
    theirs: tuple[float, ...] = ()
    stopped: str = ""


@dataclass(slots=True)
class Turns:
    """Seconds of ours and of the reference's rounds, which ran in turn."""

    ours: list[float] = field(default_factory=list)
    theirs: list[float] = field(default_factory=list)

    @property
    def ratios(self) -> list[float]:
        return [a / b for a, b in zip(self.ours, self.theirs, strict=True)]

    def row(self, what: str, size: str, *, reference: str, unit: str = "ms", **more: Any) -> Row:
        times = {"s": 1.0, "ms": 1e3}[unit]
        return Row(
            what,
            size,
            ours=median(self.ours) * times,
            unit=unit,
            reference=reference,
            theirs=median(self.theirs) * times,
            ratio=median(self.ratios),
            spread=quarters(self.ratios),
            **more,
        )


def in_turn(
    ours: Callable[[], object],
    theirs: Callable[[], object],
    *,
    rounds: int,
    within: float = 20.0,
    clock: Callable[[], float] = perf_counter,
) -> Turns:
    """Ours and the reference, round after round, so that other work on the machine meets both.

    After `within` seconds it is enough, if there were three rounds.
    """
    found, began = Turns(), perf_counter()
    for n in range(rounds):
        if n >= FEWEST_ROUNDS and perf_counter() - began > within:
            break
        found.ours.append(seconds_of(ours, clock=clock))
        found.theirs.append(seconds_of(theirs, clock=clock))
    return found


def seconds_of(work: Callable[[], object], *, clock: Callable[[], float] = perf_counter) -> float:
    began = clock()
    work()
    return clock() - began


def quarters(numbers: Sequence[float]) -> tuple[float, float]:
    """A quarter of the numbers is at most the first, a quarter at least the second."""
    ordered = sorted(numbers)
    most = len(ordered) - 1
    return ordered[most // 4], ordered[most - most // 4]


def p95(numbers: Sequence[float]) -> float:
    """The least of the numbers that 95 of 100 are not above."""
    return sorted(numbers)[math.ceil(0.95 * len(numbers)) - 1]


def slope(sizes: Sequence[float], times: Sequence[float]) -> float | None:
    """The power of the size that the time grows by: least squares of the logarithms."""
    if len(sizes) < 2:
        return None
    xs, ys = [math.log(size) for size in sizes], [math.log(time) for time in times]
    x, y = sum(xs) / len(xs), sum(ys) / len(ys)
    over = sum((a - x) * (b - y) for a, b in zip(xs, ys, strict=True))
    return over / sum((a - x) ** 2 for a in xs)


def figure(number: float | None) -> str:
    """A number with three digits that tell."""
    if number is None:
        return "–"
    if number == 0 or number >= 100:
        return f"{number:,.0f}"
    places = max(0, 2 - math.floor(math.log10(abs(number))))
    return f"{number:.{min(places, 6)}f}"


def ratio_figure(ratio: float | None) -> str:
    """What is far below one is told the other way round."""
    if ratio is None:
        return "–"
    return f"1 / {1 / ratio:,.0f}" if 0 < ratio < 0.05 else f"{ratio:.2f}"


def tell(found: Row | Curve) -> None:
    """Say it, and keep it for whoever started this."""
    print("  " + (row_line(found) if isinstance(found, Row) else curve_line(found)), flush=True)
    if file := os.environ.get(ROWS_FILE):
        with Path(file).open("a", encoding="utf-8") as out:
            out.write(json.dumps({type(found).__name__: asdict(found)}) + "\n")


def row_line(row: Row) -> str:
    if row.ours is None:
        return f"{row.what}, {row.size}: {row.said}"
    line = f"{row.what}, {row.size}: {figure(row.ours)} {row.unit}"
    if row.ratio is not None:
        line += (
            f"; {row.reference} {figure(row.theirs)} {row.unit}; ratio {ratio_figure(row.ratio)}"
        )
    return line + (f" ({row.said})" if row.said else "")


def curve_line(curve: Curve) -> str:
    points = ", ".join(
        f"{size:,} {figure(ours)} ms" for size, ours in zip(curve.sizes, curve.ours, strict=True)
    )
    grown = slope(curve.sizes, curve.ours)
    return f"{curve.title}, {curve.of}: {points}; slope {figure(grown)} {curve.stopped}".rstrip()


def found_read(text: str) -> tuple[list[Row], list[Curve]]:
    """Rows and curves as `tell` kept them, a line each. A bench that was stopped may leave half a
    line at the end."""
    rows, curves = [], []
    for line in text.rpartition("\n")[0].splitlines():
        for name, cells in json.loads(line).items():
            if name == "Row":
                rows.append(row_of(cells))
            else:
                curves.append(curve_of(cells))
    return rows, curves


def row_of(cells: dict[str, Any]) -> Row:
    spread = cells["spread"]
    return Row(**cells | {"aims": tuple(cells["aims"]), "spread": spread and tuple(spread)})


def curve_of(cells: dict[str, Any]) -> Curve:
    return Curve(**{k: tuple(v) if isinstance(v, list) else v for k, v in cells.items()})
