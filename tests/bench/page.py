"""The page of a run, in Markdown: `web/docs/bench.md`. All of it follows from what was recorded."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final

from .aims import AIMS, BY_KEY, Aim, aims_met
from .profiled import PROFILED
from .recorded import Run
from .rows import Curve, Row, figure, ratio_figure, slope

WORDS: Final = """# Speed

Written by `make bench`, on {date}: {length}, {seconds} s.

Machine: {machine}.

Everything is measured beside a reference in the same run, in turn with it: a figure alone says more
of the machine than of the code. *Ours* and *its* are medians; *ratio* is ours over the reference's,
the median of the rounds, so below 1 is faster than the reference; between the two figures of *half
of the rounds* lie half of them. An aim is about the ratio where it can be, else about the time. The
recorded run is `web/docs/bench/last.json`; this page says what stands in it.

## Aims

{aims}
{missed}
## Measured

{measured}
## How cost grows

The same work at a size, ten times and, where the time of a run allows, a hundred times that: both
axes go by powers of ten, so a slope of 1 means ten times the time for ten times the work, 2 a
hundred times. The tables say what the pictures show.

{grown}"""

QUICK_WORDS: Final = "a quick run of few rounds and, for some aims, smaller sizes than theirs"


def page_text(run: Run) -> str:
    return WORDS.format(
        date=run.date,
        length=QUICK_WORDS if run.quick else "a full run",
        seconds=run.seconds,
        machine=run.machine,
        aims=aims_table(run.rows),
        missed=missed_words(run.rows),
        measured="\n".join(_measured(run.rows)),
        grown="\n".join(map(curve_words, run.curves)),
    )


def table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    lines = [head, ["---"] * len(head), *rows]
    return "\n".join("| " + " | ".join(line) + " |" for line in lines) + "\n"


def aims_table(rows: Sequence[Row]) -> str:
    """The aim, the row that came nearest to missing it, and whether it is met."""
    met = aims_met(rows)
    cells = []
    for aim in AIMS:
        worst = worst_row(aim, rows)
        cells.append((aim.words, _worst_words(aim, worst), met_word(met[aim.key])))
    return table(("aim", "measured, at its worst", "met"), cells)


def worst_row(aim: Aim, rows: Iterable[Row]) -> Row | None:
    held = [row for row in rows if aim.key in row.aims]
    measured = [row for row in held if aim.met(row) is not None]
    if not measured:
        return held[0] if held else None
    return max(measured, key=lambda row: (row.ratio if aim.of == "ratio" else row.ours) or 0)


def _worst_words(aim: Aim, row: Row | None) -> str:
    if row is None or aim.met(row) is None:
        return row.said if row is not None else "not measured"
    found = f"{figure(row.ours)} {row.unit}"
    if aim.of == "ratio":
        found = f"{ratio_figure(row.ratio)} of {row.reference}"
    return f"{found}: {row.what}, {row.size}"


def met_word(met: bool | None) -> str:
    return {True: "yes", False: "**no**", None: "–"}[met]


def missed_words(rows: Sequence[Row]) -> str:
    missed = [BY_KEY[key] for key, met in aims_met(rows).items() if met is False]
    if not missed:
        return "\nEvery aim that was measured is met.\n"
    lines = ["", "## Missed, and why", ""]
    for aim in missed:
        why = PROFILED.get(aim.key, "Nobody has looked yet at where the time goes.")
        lines += [f"**{aim.words[0].upper()}{aim.words[1:]}.** {why}", ""]
    return "\n".join(lines)


def _measured(rows: Sequence[Row]) -> Iterable[str]:
    head = ("what", "of how much", "ours", "reference", "its", "ratio", "half of the rounds", "aim")
    for bench in dict.fromkeys(row.bench for row in rows):
        own = [row for row in rows if row.bench == bench]
        yield f"### {bench.removeprefix('bench_').replace('_', ' ').capitalize()}\n"
        yield table((*head, "met", ""), map(_cells, own))


def _cells(row: Row) -> tuple[str, ...]:
    spread = "" if row.spread is None else " to ".join(map(ratio_figure, row.spread))
    aims = [BY_KEY[key] for key in row.aims]
    return (
        row.what,
        row.size,
        f"{figure(row.ours)} {row.unit}" if row.ours is not None else "–",
        row.reference,
        f"{figure(row.theirs)} {row.unit}" if row.theirs is not None else "",
        ratio_figure(row.ratio) if row.ratio is not None else "",
        spread,
        ", ".join(_limit_words(aim, row) for aim in aims),
        ", ".join(met_word(aim.met(row)) for aim in aims),
        row.said,
    )


def _limit_words(aim: Aim, row: Row) -> str:
    if aim.of == "ratio":
        return f"ratio {ratio_figure(aim.limit)}"
    return f"{figure(aim.limit)} {row.unit}"


def curve_words(curve: Curve) -> str:
    """The picture, with the table that says the same."""
    alt = f"{curve.title}: milliseconds by {curve.of}, in the table below"
    head = [curve.of, "ours, ms", f"{curve.reference}, ms", "ratio"]
    rows = [
        [f"{size:,}", figure(ours), figure(theirs), ratio_figure(ours / theirs)]
        for size, ours, theirs in zip(curve.sizes, curve.ours, curve.theirs, strict=True)
    ]
    slopes = [figure(slope(curve.sizes, curve.ours)), figure(slope(curve.sizes, curve.theirs)), ""]
    rows.append(["slope", *slopes])
    stopped = f"\n{curve.stopped[0].upper()}{curve.stopped[1:]}.\n" if curve.stopped else ""
    return f"### {curve.title}\n\n![{alt}](bench/{curve.key}.svg)\n\n{table(head, rows)}{stopped}"
