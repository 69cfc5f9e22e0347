"""The benches' arithmetic, and that the page of speed says what the last run found. Nothing is
timed here."""

from __future__ import annotations

import ast
import json
from dataclasses import replace
from pathlib import Path

import pytest

from tests.bench import parts
from tests.bench.__main__ import BENCHES, Bench, Runner
from tests.bench.aims import AIMS, BY_KEY, aims_met
from tests.bench.page import page_text
from tests.bench.plots import picture
from tests.bench.recorded import LAST, PAGE, PICTURES, Run, run_read
from tests.bench.rows import (
    ROWS_FILE,
    Curve,
    Row,
    Turns,
    figure,
    found_read,
    in_turn,
    p95,
    quarters,
    ratio_figure,
    slope,
    tell,
)

FOLDER = Path(__file__).parent / "bench"
RUN = run_read(LAST.read_text(encoding="utf-8"))


def test_a_ratio_is_that_of_each_round_and_its_spread_half_of_them() -> None:
    turns = Turns(ours=[1, 2, 3, 4, 50], theirs=[2, 2, 2, 2, 10])
    row = turns.row("places", "ten", reference="another", unit="s")
    assert (row.ours, row.theirs, row.ratio, row.spread) == (3, 2, 1.5, (1.0, 2.0))


def test_rounds_run_in_turn_and_stop_after_three_where_time_is_up() -> None:
    ran: list[str] = []
    turns = in_turn(lambda: ran.append("o"), lambda: ran.append("t"), rounds=9, within=0)
    assert "".join(ran) == "ototot"
    assert len(turns.ours) == len(turns.theirs) == 3


@pytest.mark.parametrize(
    ("sizes", "times", "expected"),
    [
        ((1, 10, 100), (5, 5, 5), 0),
        ((1, 10, 100), (2, 20, 200), 1),
        ((20, 200, 2_000), (3, 300, 30_000), 2),
        ((10, 1_000), (1, 10), 0.5),
    ],
)
def test_a_slope_is_the_power_of_the_growth(
    sizes: tuple[int, ...], times: tuple[float, ...], expected: float
) -> None:
    assert slope(sizes, times) == pytest.approx(expected)


def test_one_size_has_no_slope() -> None:
    assert slope((10,), (1.0,)) is None


def test_of_twenty_numbers_one_is_above_the_95_of_100() -> None:
    assert p95(list(range(1, 21))) == 19
    assert p95([7]) == 7
    assert quarters([4, 1, 3, 2, 5]) == (2, 4)


@pytest.mark.parametrize(
    ("number", "words"),
    [
        (None, "–"),
        (0, "0"),
        (1234.5, "1,234"),
        (12.345, "12.3"),
        (0.01234, "0.0123"),
        (1.0, "1.00"),
    ],
)
def test_a_figure_has_three_digits_that_tell(number: float | None, words: str) -> None:
    assert figure(number) == words


def test_a_ratio_far_below_one_is_told_the_other_way_round() -> None:
    assert [ratio_figure(r) for r in (2.0, 0.333, 1 / 12_000)] == ["2.00", "0.33", "1 / 12,000"]


def test_an_aim_is_missed_by_one_row_and_unknown_without_any() -> None:
    good = Row("a", "b", ours=1.0, ratio=1.9, aims=("placings-lexsort",))
    unmeasured = Row("a", "b", aims=("api-read",), said="not measured")
    met = aims_met([good, unmeasured])
    assert (met["placings-lexsort"], met["api-read"]) == (True, None)
    assert aims_met([replace(good, ratio=2.1), good])["placings-lexsort"] is False


def test_what_a_bench_told_is_read_again_but_half_a_line() -> None:
    line = '{"Row": {"what": "a", "size": "b", "ours": 1.5, "spread": [1, 2], "aims": ["x"]}}\n'
    rows, curves = found_read(line + line[:20])
    assert (rows, curves) == ([Row("a", "b", ours=1.5, spread=(1, 2), aims=("x",))], [])


def test_a_bench_that_does_not_end_well_costs_its_own_rows_and_says_so() -> None:
    with Runner(quick=True) as runner:
        runner.run(Bench("no_such_bench"))
    assert [row.said for row in runner.rows] == ["it ended with 1"]
    assert runner.stopped == ["no_such_bench"]


def test_what_fails_is_said_in_its_place_and_the_next_is_measured(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = tmp_path / "rows"
    monkeypatch.setenv(ROWS_FILE, str(file))
    monkeypatch.setattr(parts, "_failed", [])

    def bench() -> None:
        for what, by in (("first", 1), ("second", 0), ("third", 4)):
            with parts.part(what, "small"):
                tell(Row(what, "small", ours=1 / by))
        raise LookupError("no end")

    with pytest.raises(SystemExit) as ended:
        parts.run(bench)
    rows, _curves = found_read(file.read_text(encoding="utf-8"))
    assert [(row.what, row.ours) for row in rows] == [
        ("first", 1.0),
        ("second", None),
        ("third", 0.25),
        ("what came after", None),
    ]
    assert "division by zero" in rows[1].said and "no end" in rows[3].said
    assert ended.value.code == 1


def test_every_bench_is_run_and_every_one_that_is_run_is_there() -> None:
    files = [*FOLDER.glob("bench_*.py"), *FOLDER.glob("grow_*.py")]
    assert sorted(bench.name for bench in BENCHES) == sorted(file.stem for file in files)


def test_every_aim_is_measured_by_the_bench_it_names() -> None:
    """A row is held against an aim by its key, which stands in the bench as it is."""
    said: dict[str, set[str]] = {}
    for bench in BENCHES:
        tree = ast.parse((FOLDER / f"{bench.name}.py").read_text(encoding="utf-8"))
        texts = {n.value for n in ast.walk(tree) if isinstance(n, ast.Constant)}
        said[bench.name] = {text for text in texts if text in BY_KEY}
    meant: dict[str, set[str]] = {bench.name: set() for bench in BENCHES}
    for aim in AIMS:
        meant[aim.bench].add(aim.key)
    assert said == meant
    assert len(BY_KEY) == len(AIMS)


def test_the_last_run_tells_of_every_aim() -> None:
    told = {(row.bench, key) for row in RUN.rows for key in row.aims}
    assert {(aim.bench, aim.key) for aim in AIMS} - told == set()


def test_the_page_says_what_the_last_run_found() -> None:
    assert PAGE.read_text(encoding="utf-8") == page_text(RUN)
    assert run_read(RUN.as_json()) == RUN


def test_every_picture_is_drawn_from_the_last_run_and_the_same_each_time() -> None:
    drawn = {f"{curve.key}.svg": picture(curve) for curve in RUN.curves}
    kept = {file.name: file.read_text(encoding="utf-8") for file in PICTURES.glob("*.svg")}
    assert len(drawn) >= 8
    assert drawn == kept
    assert picture(RUN.curves[0]) == drawn[f"{RUN.curves[0].key}.svg"]


def test_what_was_missed_and_where_a_curve_stopped_stand_on_the_page() -> None:
    row = Row("a", "b", ours=3.0, unit="s", aims=("order-p95",), bench="bench_order")
    curve = Curve("k", "Title", "pegs", (1, 10), (1.0, 10.0), "bare", (2.0, 2.0), "no more of it")
    page = page_text(Run("2026-06-20", 1, True, "a machine", (row,), (curve,)))
    assert "## Missed, and why" in page and "HiGHS" in page.split("## Measured")[0]
    assert "No more of it." in page and "| slope | 1.00 | 0 |" in page
    assert "not measured" in page
    assert json.loads(RUN.as_json())["rows"]
