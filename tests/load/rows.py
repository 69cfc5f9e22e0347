"""What one trial came to: a row of the table."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from statistics import quantiles


@dataclass(frozen=True, slots=True)
class Row:
    """`measured` in words and numbers; `aim` is what it is held against."""

    trial: str
    on: str
    measured: str
    aim: str
    good: bool

    def as_line(self) -> str:
        return json.dumps(asdict(self))


def row_read(line: str) -> Row:
    return Row(**json.loads(line))


def table(rows: Sequence[Row]) -> str:
    """A table of Markdown."""
    lines = ["| trial | on | measured | aim | |", "|---|---|---|---|---|"]
    lines += [
        f"| {row.trial} | {row.on} | {row.measured} | {row.aim} |"
        f" {'held' if row.good else '**missed**'} |"
        for row in rows
    ]
    return "\n".join(lines)


def p95(numbers: Sequence[float]) -> float:
    return quantiles(numbers, n=20)[-1] if len(numbers) > 1 else max(numbers, default=0.0)
