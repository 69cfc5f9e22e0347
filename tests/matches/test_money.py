"""Pence in and out, and a whole number shared to the last unit."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from matches.reckon.errors import BadInput, pointer
from matches.reckon.money import largest_remainder, pence_format, pence_parse


@pytest.mark.parametrize(
    ("text", "pence"),
    [("4.20", 420), ("4.2", 420), ("4", 400), ("0.05", 5), ("0", 0), ("999999999.99", 99999999999)],
)
def test_pounds_are_read_as_whole_pence(text: str, pence: int) -> None:
    assert pence_parse(text) == pence


@pytest.mark.parametrize(
    "text",
    ["", "-1", "+1", "1.234", ".50", "1.", "1,50", "1e2", " 1", "1\n", "£1", "٣", "1" * 10, "NaN"],
)
def test_what_is_not_money_is_refused_with_its_place(text: str) -> None:
    with pytest.raises(BadInput) as refused:
        pence_parse(text, pointer="/packs/0/price")
    assert [fault.pointer for fault in refused.value.faults] == ["/packs/0/price"]


def test_a_number_is_not_taken_for_money() -> None:
    with pytest.raises(BadInput):
        pence_parse(4.2)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("pence", "text"), [(420, "4.20"), (5, "0.05"), (0, "0.00"), (-5, "-0.05"), (-120, "-1.20")]
)
def test_pence_are_written_with_two_places(pence: int, text: str) -> None:
    assert pence_format(pence) == text


@given(st.integers(0, 10**11 - 1))
def test_money_written_is_money_read(pence: int) -> None:
    assert pence_parse(pence_format(pence)) == pence


# Source: textbook tables of Hamilton's (largest remainder) method of apportionment. The first is
# a class table of 37 seats; the next two show the Alabama paradox: one seat more in the house, one
# fewer for the smallest.
@pytest.mark.parametrize(
    ("whole", "parts", "shares"),
    [
        (37, {"a": 14, "b": 23, "c": 45, "d": 18}, {"a": 5, "b": 8, "c": 17, "d": 7}),
        (49, {"a": 3, "b": 7, "c": 90}, {"a": 2, "b": 3, "c": 44}),
        (51, {"a": 3, "b": 7, "c": 90}, {"a": 1, "b": 4, "c": 46}),
    ],
)
def test_largest_remainder_meets_the_textbook(
    whole: int, parts: dict[str, Fraction | int], shares: dict[str, int]
) -> None:
    assert largest_remainder(whole, parts) == shares


def test_a_bill_is_shared_to_the_penny() -> None:
    # 1235 p over 150 : 200 : 325 is 274.44, 365.93 and 594.63, worked by hand.
    parts = {"maud": 150, "idris": 200, "tamsin": 325}
    assert largest_remainder(1235, parts) == {"maud": 274, "idris": 366, "tamsin": 595}


def test_equal_remainders_go_to_the_first_key_by_utf8_bytes() -> None:
    assert largest_remainder(1, {"𝄞": 1, "｡": 1}) == {"｡": 1, "𝄞": 0}
    assert largest_remainder(2, {"c": 1, "b": 1, "a": 1}) == {"c": 0, "b": 1, "a": 1}


def test_with_nothing_to_go_by_all_share_evenly() -> None:
    assert largest_remainder(5, {"b": 0, "a": 0}) == {"a": 3, "b": 2}


def test_nothing_is_shared_with_nobody() -> None:
    assert largest_remainder(0, {}) == {}
    with pytest.raises(ValueError, match="nobody"):
        largest_remainder(1, {})


@pytest.mark.parametrize(("whole", "part"), [(-1, 1), (1, -1)])
def test_less_than_nothing_is_not_shared(whole: int, part: int) -> None:
    with pytest.raises(ValueError, match="zero or more"):
        largest_remainder(whole, {"a": part})


@given(
    st.integers(0, 10**9),
    st.dictionaries(st.text(max_size=3), st.fractions(0, 1000), min_size=1, max_size=8),
)
def test_shares_add_up_and_stay_within_one_of_the_quota(
    whole: int, parts: dict[str, Fraction]
) -> None:
    shares = largest_remainder(whole, parts)
    total = sum(parts.values())
    assert sum(shares.values()) == whole
    assert list(shares) == list(parts)
    for key, part in parts.items():
        quota = whole * part / total if total else Fraction(whole, len(parts))
        assert abs(shares[key] - quota) < 1


def test_pointers_escape_what_rfc_6901_escapes() -> None:
    # Source: RFC 6901, section 5 (the keys "a/b" and "m~n").
    assert pointer("a/b") == "/a~1b"
    assert pointer("m~n") == "/m~0n"
    assert pointer("foo", 0) == "/foo/0"
    assert pointer("") == "/"
    assert pointer() == ""


def test_a_pointer_can_always_be_sent() -> None:
    assert pointer("half\ud800") == "/half?"
