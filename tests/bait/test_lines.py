"""The calculator of lines: the shared cases, and what must hold of any lines."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bait.reckon.lines import (
    LINES_EXAMPLE,
    LINES_EXAMPLE_ANSWER,
    Rate,
    best_shares,
    lines_parse,
    lines_work_out,
)
from matches.reckon.errors import BadInput
from tests.nearly import nearly

CASES = json.loads((Path(__file__).parents[1] / "cases" / "lines.json").read_text(encoding="utf-8"))
RATES = st.builds(
    Rate,
    shape=st.floats(0.1, 3_000, allow_nan=False),
    scale=st.floats(0.01, 50, allow_nan=False),
)


@pytest.mark.parametrize("case", [c for c in CASES if "output" in c], ids=lambda c: c["why"])
def test_case_is_worked_out(case: dict[str, Any]) -> None:
    answer = lines_work_out(lines_parse(case["input"])).as_json()
    assert nearly(answer, case["output"])


@pytest.mark.parametrize("case", [c for c in CASES if "errors" in c], ids=lambda c: c["why"])
def test_case_is_refused(case: dict[str, Any]) -> None:
    with pytest.raises(BadInput) as refused:
        lines_parse(case["input"])
    assert sorted(fault.pointer for fault in refused.value.faults) == case["errors"]
    assert all(fault.message.endswith(".") for fault in refused.value.faults)


def test_the_worked_example_has_the_figures_of_an_independent_program() -> None:
    """Long 2600 g/h, best 0.7788; short 1928.6 g/h, best 0.2212 (the design's own page)."""
    answer = lines_work_out(lines_parse(LINES_EXAMPLE)).as_json()
    assert [round(line["grams_per_hour"], 1) for line in answer["lines"]] == [2600, 1928.6]
    assert [round(line["best"], 4) for line in answer["lines"]] == [0.7788, 0.2212]
    assert nearly(answer, LINES_EXAMPLE_ANSWER)


@given(st.lists(RATES, min_size=1, max_size=6))
def test_shares_add_up_and_a_greater_rate_never_has_less(rates: list[Rate]) -> None:
    shares = best_shares(rates)
    assert sum(shares) == pytest.approx(1, abs=1e-9)
    assert all(share >= 0 for share in shares)
    first = rates[0]
    better = best_shares([Rate(first.shape, first.scale * 1.5), *rates[1:]])
    assert better[0] >= shares[0] - 1e-4


@given(st.lists(RATES, min_size=2, max_size=5))
def test_the_order_of_lines_and_the_unit_of_weight_change_nothing(rates: list[Rate]) -> None:
    shares = best_shares(rates)
    assert best_shares(rates[::-1]) == pytest.approx(shares[::-1], abs=1e-9)
    drams = [Rate(rate.shape, rate.scale / 1.7718451953125) for rate in rates]
    assert best_shares(drams) == pytest.approx(shares, abs=1e-9)
