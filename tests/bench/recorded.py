"""One run of all benches, as it is kept: `web/docs/bench/last.json`."""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any, Final

from .rows import Curve, Row, curve_of, row_of

DOCS: Final = Path(__file__).resolve().parents[2] / "web" / "docs"
PAGE: Final = DOCS / "bench.md"
PICTURES: Final = DOCS / "bench"
LAST: Final = PICTURES / "last.json"
DIGITS: Final = 4


@dataclass(frozen=True, slots=True)
class Run:
    """`seconds`: how long it took; `quick`: few rounds, small sizes."""

    date: str
    seconds: int
    quick: bool
    machine: str
    rows: tuple[Row, ...]
    curves: tuple[Curve, ...]

    def as_json(self) -> str:
        """Numbers to four digits that tell: more is noise."""
        return json.dumps(_rounded(asdict(self)), indent=1, ensure_ascii=False) + "\n"


def run_read(text: str) -> Run:
    cells = json.loads(text)
    cells["rows"] = tuple(map(row_of, cells["rows"]))
    cells["curves"] = tuple(map(curve_of, cells["curves"]))
    return Run(**cells)


def _rounded(value: Any) -> Any:
    if isinstance(value, float):
        return float(f"{value:.{DIGITS}g}")
    if isinstance(value, dict):
        return {key: _rounded(cell) for key, cell in value.items()}
    return [_rounded(cell) for cell in value] if isinstance(value, list | tuple) else value
