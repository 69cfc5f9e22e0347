"""Amounts are said beside the other system's measure, and typed decimals are never misread."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from django.utils import translation

from bait.words import amount_said
from matches.comma_words import comma_words
from matches.reckon.decimals import decimal_read, point_typed
from matches.reckon.errors import BadInput
from matches.reckon.money import money_typed
from web.measures_said import beside
from web.templatetags.money import amount, money
from web.templatetags.truth import kilos, points

#: By the legal sizes (UK Weights and Measures Act 1985), rounded by hand.
BESIDE = [
    ("2", "pint", "metric", "1.14 L"),
    ("1", "lb", "metric", "454 g"),
    ("3", "lb", "metric", "1.36 kg"),
    ("8", "oz", "metric", "227 g"),
    ("6", "ft", "metric", "1.83 m"),
    ("1", "L", "uk", "1.76 pt"),
    ("1", "kg", "uk", "2.20 lb"),
    ("250", "g", "uk", "8.8 oz"),
    ("2.4", "m", "uk", "7.9 ft"),
    ("1", "L", "metric", ""),
    ("1", "pint", "uk", ""),
    ("2", "pint", "written", ""),
    ("3", "each", "metric", ""),
]


@pytest.mark.parametrize(("value", "unit", "measures", "said"), BESIDE)
def test_other_measure_is_said_beside(value: str, unit: str, measures: str, said: str) -> None:
    assert beside(Fraction(value), unit=unit, measures=measures) == said


@pytest.mark.parametrize(
    ("value", "said", "in_french"),
    [
        ("0.5", "0.5 pints", "0,5 pinte"),
        ("1", "1 pint", "1 pinte"),
        ("1.75", "1.75 pints", "1,75 pinte"),
        ("2", "2 pints", "2 pintes"),
    ],
)
def test_french_has_a_comma_and_says_all_below_two_as_of_one(
    value: str, said: str, in_french: str
) -> None:
    assert amount_said(Decimal(value), unit="pint") == said
    with translation.override("fr"):
        assert amount_said(Decimal(value), unit="pint") == in_french
        assert (kilos(Fraction(37_990)), points(Fraction(11, 2))) == ("37,99\u00a0kg", "5,5")


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("2,5", "2.5"),
        ("2.5", "2.5"),
        (" 12,40 ", "12.40"),
        ("0,125", "0.125"),
        ("1250", "1250"),
        ("1,250", None),
        ("1,250.5", None),
        ("1,2,3", None),
        ("1.250,5", None),
    ],
)
def test_a_decimal_comma_is_read_and_one_that_may_part_thousands_is_not(
    typed: str, meant: str | None
) -> None:
    assert decimal_read(point_typed(typed)) == (None if meant is None else Fraction(meant))


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("1,250", "“1,250” may be 1.25 or 1250: write one of the two."),
        ("£12,000", "“12,000” may be 12 or 12000: write one of the two."),
        ("0,125x", "Write a number."),
        ("1,250,000", "Write a number."),
    ],
)
def test_a_comma_that_may_part_thousands_is_asked_about(typed: str, said: str) -> None:
    assert comma_words(typed, otherwise="Write a number.") == said


def test_money_is_typed_with_point_or_comma_and_never_a_thousandfold_off() -> None:
    assert [money_typed(t) for t in ("£12.40", "12,40 €", "1250")] == [1240, 1240, 125_000]
    with pytest.raises(BadInput):
        money_typed("1,250")


def test_french_has_a_comma_and_the_sign_of_money_behind() -> None:
    with translation.override("fr"):
        assert money(-420, "GBP") == "−4,20\u00a0£"
        assert amount("2.50") == "2,5"
        assert beside(Fraction(2), unit="pint", measures="metric") == "1,14 L"
    assert (money(420, "GBP"), amount("2.50")) == ("£4.20", "2.5")
