"""Whatever is sent to these calculators is answered or refused in words; nothing else happens."""

from __future__ import annotations

import copy
import json
from collections.abc import Callable
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from matches.reckon.decimals import decimal_read, decimal_text
from matches.reckon.draw import DRAW_EXAMPLE, draw_parse, draw_work_out
from matches.reckon.errors import BadInput
from matches.reckon.league import LEAGUE_EXAMPLE, league_parse, league_work_out
from matches.reckon.payouts import PAYOUTS_EXAMPLE, payouts_parse, payouts_work_out
from matches.reckon.placings import PLACINGS_EXAMPLE, placings_parse, placings_work_out

Answerer = Callable[[Any], dict[str, object]]

CALCULATORS: list[tuple[dict[str, Any], Answerer]] = [
    (PLACINGS_EXAMPLE, lambda raw: placings_work_out(placings_parse(raw)).as_json()),
    (DRAW_EXAMPLE, lambda raw: draw_work_out(draw_parse(raw)).as_json()),
    (LEAGUE_EXAMPLE, lambda raw: league_work_out(league_parse(raw)).as_json()),
    (PAYOUTS_EXAMPLE, lambda raw: payouts_work_out(payouts_parse(raw)).as_json()),
]
NAMES = ["placings", "draw", "league", "payouts"]
SURROGATES = st.sampled_from(["\ud800", "a\udfff", "~/"])
ANYTHING = st.recursive(
    st.one_of(
        st.none(),
        st.booleans(),
        st.integers(),
        st.floats(allow_nan=False),
        st.text(max_size=5),
        SURROGATES,
        st.sampled_from(["zero", "high", "team", "absent", "0", "1", "-1", "1e9", 0, 10**400]),
    ),
    lambda inner: st.one_of(
        st.lists(inner, max_size=3),
        st.dictionaries(st.one_of(st.text(max_size=3), SURROGATES), inner, max_size=3),
    ),
    max_leaves=6,
)


def _places(value: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """The paths to everything inside `value`."""
    keys = (
        list(value)
        if isinstance(value, dict)
        else range(len(value))
        if isinstance(value, list)
        else []
    )
    return [path, *(p for key in keys for p in _places(value[key], (*path, key)))]


def _changed(value: Any, *, path: tuple[Any, ...], by: Any) -> Any:
    if not path:
        return by
    value = copy.deepcopy(value)
    inner = value
    for key in path[:-1]:
        inner = inner[key]
    inner[path[-1]] = by
    return value


@pytest.mark.parametrize(("example", "answered"), CALCULATORS, ids=NAMES)
@given(data=st.data())
def test_anything_in_place_of_anything_is_answered_or_refused(
    example: dict[str, Any], answered: Answerer, data: st.DataObject
) -> None:
    raw = example
    for _ in range(data.draw(st.integers(1, 3))):
        raw = _changed(raw, path=data.draw(st.sampled_from(_places(raw))), by=data.draw(ANYTHING))
    try:
        told: object = answered(raw)
    except BadInput as refused:
        told = [[fault.pointer, fault.message] for fault in refused.faults]
        assert all(f.pointer == "" or f.pointer.startswith("/") for f in refused.faults)
    json.dumps(told, ensure_ascii=False, allow_nan=False).encode()


@pytest.mark.parametrize(("example", "answered"), CALCULATORS, ids=NAMES)
def test_strange_keys_are_refused_with_a_pointer_that_can_be_sent(
    example: dict[str, Any], answered: Answerer
) -> None:
    with pytest.raises(BadInput) as refused:
        answered({**example, "half\ud800": 1, "a/b": 2})
    assert [fault.pointer for fault in refused.value.faults] == ["/half?", "/a~1b"]


@pytest.mark.parametrize(("example", "answered"), CALCULATORS, ids=NAMES)
def test_a_request_is_left_as_it_was(example: dict[str, Any], answered: Answerer) -> None:
    before = copy.deepcopy(example)
    answered(example)
    assert example == before


@given(st.integers(-(10**9), 10**9), st.integers(0, 8), st.integers(0, 8))
def test_decimals_written_are_exact(number: int, twos: int, fives: int) -> None:
    value = Fraction(number, 2**twos * 5**fives)
    text = decimal_text(value)
    assert Fraction(text) == value
    assert "." not in text or not text.endswith("0")


def test_a_third_has_no_decimal() -> None:
    with pytest.raises(ValueError, match="no exact decimal"):
        decimal_text(Fraction(1, 3))


@pytest.mark.parametrize("raw", ["", "-1", "1.", ".5", "1.23456", "1e3", "१", " 1", 1, 1.5, None])
def test_what_is_no_decimal_string_is_not_read(raw: object) -> None:
    assert decimal_read(raw) is None
