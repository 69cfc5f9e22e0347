"""Weights of fish as they are keyed in, said and compared."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from matches.reckon.errors import BadInput
from matches.reckon.weights import (
    WEIGHT_MOST,
    WeightUnit,
    weight_from_parts,
    weight_in,
    weight_text,
)


@pytest.mark.parametrize(
    ("parts", "unit", "weight"),
    [
        ({"kg": "12", "g": "450"}, "g", 12_450),
        ({"kg": 12, "g": 450}, "g", 12_450),
        ({"kg": "", "g": "1450"}, "g", 1_450),
        ({"kg": "3", "g": ""}, "g", 3_000),
        ({"kg": "1000", "g": "0"}, "g", 1_000_000),
        ({"g": "0"}, "g", 0),
        ({"g": "007"}, "g", 7),
        ({"lb": "27", "oz": "6", "dr": "8"}, "dr", 7_016),
        ({"lb": "27", "dr": "8"}, "dr", 6_920),
        ({"oz": "20"}, "dr", 320),
        ({"dr": "300"}, "dr", 300),
        ({"lb": None, "oz": 0}, "dr", 0),
    ],
)
def test_parts_from_the_keypad_add_up(
    parts: dict[str, object], unit: WeightUnit, weight: int
) -> None:
    assert weight_from_parts(parts, unit=unit) == weight


@pytest.mark.parametrize(
    ("parts", "unit", "pointers"),
    [
        ({}, "g", ["/weight"]),
        ({"kg": "", "g": None}, "g", ["/weight"]),
        ({"kg": "1", "g": "1000"}, "g", ["/weight/g"]),
        ({"kg": "-1", "g": "5"}, "g", ["/weight/kg"]),
        ({"kg": "1.5"}, "g", ["/weight/kg"]),
        ({"kg": 1.5}, "g", ["/weight/kg"]),
        ({"kg": True}, "g", ["/weight/kg"]),
        ({"kg": "١٢"}, "g", ["/weight/kg"]),
        ({"kg": "1001"}, "g", ["/weight/kg"]),
        ({"kg": "1000", "g": "1"}, "g", ["/weight"]),
        ({"kg": "1", "lb": "2"}, "g", ["/weight/lb"]),
        ({"lb": "2", "oz": "16", "dr": "16"}, "dr", ["/weight/oz", "/weight/dr"]),
        ({"oz": "3", "dr": "16"}, "dr", ["/weight/dr"]),
        ({"lb": "1", "dr": "16"}, "dr", ["/weight/dr"]),
        ({"g": "9" * 5000}, "g", ["/weight/g"]),
    ],
)
def test_a_slip_on_the_keypad_is_pointed_at(
    parts: dict[str, object], unit: WeightUnit, pointers: list[str]
) -> None:
    with pytest.raises(BadInput) as refused:
        weight_from_parts(parts, unit=unit, pointer="/weight")
    assert [fault.pointer for fault in refused.value.faults] == pointers


@pytest.mark.parametrize(
    ("weight", "unit", "text"),
    [
        (12_450, "g", "12.450 kg"),
        (0, "g", "0.000 kg"),
        (7, "g", "0.007 kg"),
        (7_016, "dr", "27 lb 6 oz 8 dr"),
        (15, "dr", "0 lb 0 oz 15 dr"),
        (256, "dr", "1 lb 0 oz 0 dr"),
    ],
)
def test_a_weight_is_said_as_at_the_scales(weight: int, unit: WeightUnit, text: str) -> None:
    assert weight_text(weight, unit=unit) == text


def test_a_weight_below_zero_is_never_said() -> None:
    with pytest.raises(ValueError, match="never below zero"):
        weight_text(-1, unit="g")


@given(st.integers(0, WEIGHT_MOST["dr"]))
def test_what_is_said_in_pounds_keys_in_again(weight: int) -> None:
    pounds, _, ounces, _, drams, _ = weight_text(weight, unit="dr").split()
    parts = {"lb": pounds, "oz": ounces, "dr": drams}
    assert weight_from_parts(parts, unit="dr") == weight


@given(st.integers(0, WEIGHT_MOST["g"]))
def test_what_is_said_in_kilograms_keys_in_again(weight: int) -> None:
    kilograms, grams = weight_text(weight, unit="g").removesuffix(" kg").split(".")
    assert weight_from_parts({"kg": kilograms, "g": grams}, unit="g") == weight


# Source: UK Weights and Measures Act 1985 (1 lb = 0.45359237 kg); the two sums are that times
# 1 + 4/16 + 8/256 and 5 + 6/16, worked by hand.
@pytest.mark.parametrize(
    ("parts", "kilograms"),
    [
        ({"lb": 1}, "0.45359237"),
        ({"oz": 1}, "0.028349523125"),
        ({"dr": 1}, "0.0017718451953125"),
        ({"lb": 1, "oz": 4, "dr": 8}, "0.5811652240625"),
        ({"lb": 5, "oz": 6}, "2.43805898875"),
    ],
)
def test_pounds_are_the_legal_pounds(parts: dict[str, object], kilograms: str) -> None:
    drams = weight_from_parts(parts, unit="dr")
    assert weight_in(drams, unit="dr", other="g") == Fraction(kilograms) * 1000


@given(st.integers(0, WEIGHT_MOST["dr"]))
def test_there_and_back_is_exact(weight: int) -> None:
    grams = weight_in(weight, unit="dr", other="g")
    assert grams * Fraction(25_600_000, 45_359_237) == weight
