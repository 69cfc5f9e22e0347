"""Amounts in, across and out, exactly."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bait.reckon.units import (
    UNITS,
    amount_convert,
    amount_down,
    amount_finite,
    amount_format,
    amount_read,
    unit_sort,
)


def test_a_pint_is_the_legal_pint() -> None:
    litres = amount_convert(Fraction(1), unit="pint", to="L", density=None)
    assert litres == Fraction("0.56826125")


def test_what_is_left_is_written_short_and_is_never_more_than_there_is() -> None:
    assert amount_down(Fraction(1, 3), unit="kg") == Fraction("0.33")
    assert amount_down(Fraction("2.999"), unit="pint") == Fraction("2.99")
    assert amount_down(Fraction("3.5"), unit="each") == 3


def test_sixteen_ounces_are_a_pound() -> None:
    assert amount_convert(Fraction(16), unit="oz", to="lb", density=None) == 1


def test_volume_and_mass_mix_only_with_a_density() -> None:
    assert amount_convert(Fraction(2), unit="L", to="kg", density=None) is None
    assert amount_convert(Fraction(2), unit="L", to="kg", density=Fraction("0.58")) == Fraction(
        "1.16"
    )
    assert amount_convert(Fraction("1.16"), unit="kg", to="ml", density=Fraction("0.58")) == 2000


@pytest.mark.parametrize("unit", ["L", "kg"])
def test_pieces_mix_with_nothing_even_with_a_density(unit: str) -> None:
    assert amount_convert(Fraction(1), unit="each", to=unit, density=Fraction(1)) is None
    assert amount_convert(Fraction(1), unit=unit, to="each", density=Fraction(1)) is None


@given(
    st.fractions(min_value=0, max_value=1000),
    st.sampled_from(sorted(UNITS)),
    st.sampled_from(sorted(UNITS)),
)
def test_there_and_back_loses_nothing(amount: Fraction, unit: str, to: str) -> None:
    there = amount_convert(amount, unit=unit, to=to, density=None)
    if there is None:
        assert unit_sort(unit) != unit_sort(to)
    else:
        assert amount_convert(there, unit=to, to=unit, density=None) == amount


@pytest.mark.parametrize(
    ("text", "value"),
    [("0", 0), ("2.5", Fraction(5, 2)), ("0.0001", Fraction(1, 10000)), ("100000", 100000)],
)
def test_decimal_strings_are_read_exactly(text: str, value: Fraction) -> None:
    assert amount_read(text) == value


@pytest.mark.parametrize(
    "raw",
    [
        "",
        "-1",
        "+1",
        "1e2",
        "NaN",
        "Infinity",
        " 1",
        "1\n",
        ".5",
        "1.",
        "0.00001",
        "100000.1",
        "1,5",
        "٣",
        1,
        1.5,
        None,
        True,
        [],
        {},
    ],
)
def test_what_is_no_amount_is_not_read(raw: object) -> None:
    assert amount_read(raw) is None


def test_zero_can_be_refused() -> None:
    assert amount_read("0.0", zero=False) is None


def test_only_finite_decimals_are_written() -> None:
    assert amount_format(Fraction("0.56826125")) == "0.56826125"
    assert amount_finite(Fraction(1, 8))
    assert not amount_finite(Fraction(1, 3))
    with pytest.raises(ValueError, match="no exact decimal"):
        amount_format(Fraction(1, 3))
