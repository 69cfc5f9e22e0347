"""A price list as a file: read strictly, every fault with its row and column."""

from __future__ import annotations

from fractions import Fraction

import pytest

from bait.reckon.price_list import pack_read, price_list_parse
from bait.reckon.price_rows import ListedBait, ListLine, PackPrices
from matches.reckon.cells import MOST_BYTES, MOST_ROWS, cells_decode, fault_place
from matches.reckon.errors import BadInput

CASTER = ListedBait("caster", "Caster", "pint", False)
MIX = ListedBait("river-mix", "River mix", "L", True)
SOIL = ListedBait("soil", "River soil", "L", False)
BAITS = (CASTER, MIX, SOIL)
HEAD = "bait,amount,unit,price,from_packs,break_price,max_packs"


def read(text: str, baits: tuple[ListedBait, ...] = BAITS) -> tuple[ListLine, ...]:
    return price_list_parse(text, baits=baits)


def faults(text: str) -> list[tuple[str, str]]:
    with pytest.raises(BadInput) as caught:
        read(text)
    return [fault_place(fault) for fault in caught.value.faults]


def first_fault(raw: bytes | str) -> str:
    with pytest.raises(BadInput) as caught:
        if isinstance(raw, bytes):
            cells_decode(raw)
        else:
            read(raw)
    return caught.value.faults[0].message


def test_one_row_is_one_pack() -> None:
    text = f"{HEAD}\nCaster,1,pint,4.20,10,3.80,\nriver-mix,2,kg,9.20,,,6\n"
    assert read(text) == (
        ListLine(2, "caster", Fraction(1), "pint", PackPrices(420, ((10, 380),), None)),
        ListLine(3, "river-mix", Fraction(2), "kg", PackPrices(920, (), 6)),
    )


def test_columns_stand_in_any_order_in_any_case_and_some_may_be_missing() -> None:
    assert read("PRICE,Unit, Bait ,AMOUNT\n4.2,Pints,CASTER,0.5\n") == (
        ListLine(2, "caster", Fraction(1, 2), "pint", PackPrices(420)),
    )


def test_more_breaks_take_numbered_columns() -> None:
    text = (
        "bait;amount;unit;price;From packs;break price;from_packs_2;break_price_2\n"
        "River mix;2;kg;9,20;5;8,60;10;8,00\n"
    )
    assert read(text)[0].prices == PackPrices(920, ((5, 860), (10, 800)))


def test_semicolons_let_decimals_have_commas() -> None:
    assert read("bait;amount;unit;price\nCaster;0,5;pint;4,20\n") == (
        ListLine(2, "caster", Fraction(1, 2), "pint", PackPrices(420)),
    )


def test_commas_do_not_and_the_fault_says_why() -> None:
    text = 'bait,amount,unit,price\nCaster,1,pint,"4,20"\n'
    assert faults(text) == [("2", "price")]
    assert first_fault(text).endswith(
        "A decimal comma is read only where semicolons part the columns."
    )


@pytest.mark.parametrize("mark", ["", "\ufeff"])
def test_utf8_is_read_with_and_without_its_mark(mark: str) -> None:
    text = f"{mark}bait,amount,unit,price\r\nCaster,1,pint,4.20\r\n"
    assert len(read(cells_decode(text.encode()))) == 1


def test_another_encoding_is_refused_with_its_row_and_column() -> None:
    raw = "bait,amount,unit,price\nCaster,1,pint,4.20\nCastér,1,pint,4.20\n".encode("latin-1")
    with pytest.raises(BadInput) as caught:
        cells_decode(raw)
    assert fault_place(caught.value.faults[0]) == ("3", "1")
    assert "CSV UTF-8" in caught.value.faults[0].message


@pytest.mark.parametrize(
    ("raw", "words"),
    [
        (b"", "empty"),
        (b" \r\n", "empty"),
        ("bait,amount\n".encode("utf-16"), "UTF-16"),
        (b"bait\0,amount", "UTF-16"),
        (b"PK\x03\x04rest", "spreadsheet itself"),
        (b"x" * (MOST_BYTES + 1), "1 MiB"),
    ],
)
def test_what_is_no_text_file_of_ours_is_told_what_to_do(raw: bytes, words: str) -> None:
    assert words in first_fault(raw)


def test_wrong_columns_are_named_each() -> None:
    assert faults("bait,size,unit,price,price\nCaster,1,pint,4,4\n") == [
        ("1", "size"),
        ("1", "price"),
        ("1", "amount"),
    ]


def test_half_a_pair_of_columns_is_a_fault() -> None:
    assert faults("bait,amount,unit,price,from_packs\nCaster,1,pint,4,10\n") == [
        ("1", "break_price")
    ]


def test_tabs_are_told_apart() -> None:
    assert "Tabs" in first_fault("bait\tamount\tunit\tprice\n")


def test_a_list_without_packs_is_refused() -> None:
    assert "no pack" in first_fault(f"{HEAD}\n\n,,,\n")


@pytest.mark.parametrize(
    ("row", "column"),
    [
        (",1,pint,4,,,", "bait"),
        ("Worm,1,pint,4,,,", "bait"),
        ("Caster,0,pint,4,,,", "amount"),
        ("Caster,-1,pint,4,,,", "amount"),
        ("Caster,1e3,pint,4,,,", "amount"),
        ("Caster,1.00001,pint,4,,,", "amount"),
        ("Caster,1,bucket,4,,,", "unit"),
        ("Caster,1,kg,4,,,", "unit"),
        ("Caster,1,,4,,,", "unit"),
        ("Caster,1,pint,,,,", "price"),
        ("Caster,1,pint,£4.20,,,", "price"),
        ("Caster,1,pint,-4,,,", "price"),
        ("Caster,1,pint,4.205,,,", "price"),
        ("Caster,1,pint,10000.01,,,", "price"),
        ("Caster,1,pint,4,10,,", "break_price"),
        ("Caster,1,pint,4,,3,", "from_packs"),
        ("Caster,1,pint,4,1,3,", "from_packs"),
        ("Caster,1,pint,4,ten,3,", "from_packs"),
        ("Caster,1,pint,4,10,4.50,", "break_price"),
        ("Caster,1,pint,4,,,10001", "max_packs"),
        ("Caster,1,pint,4,,,2.5", "max_packs"),
        ("Caster,1,pint,4,,,,spare", "8"),
    ],
)
def test_a_wrong_cell_is_found_by_row_and_column(row: str, column: str) -> None:
    assert faults(f"{HEAD}\nRiver mix,2,kg,9.20,,,\n\n{row}\n") == [("4", column)]


def test_every_fault_of_a_file_is_told_at_once() -> None:
    assert faults(f"{HEAD}\nWorm,x,bucket,free,,,\nCaster,1,pint,4,,,\nCaster,0,pint,4,,,\n") == [
        ("2", "bait"),
        ("2", "amount"),
        ("2", "unit"),
        ("2", "price"),
        ("4", "amount"),
    ]


def test_the_same_pack_twice_is_a_fault_however_its_amount_is_written() -> None:
    text = f"{HEAD}\nCaster,1,pint,4,,,\nRiver mix,1,kg,5,,,\ncaster,1.0,pints,4,,,\n"
    assert faults(text) == [("4", "amount")]
    assert "row 2" in first_fault(text)


def test_breaks_come_in_order() -> None:
    head = "bait,amount,unit,price,from_packs,break_price,from_packs_2,break_price_2"
    assert faults(f"{head}\nCaster,1,pint,4,10,3,10,2\n") == [("2", "from_packs_2")]
    assert faults(f"{head}\nCaster,1,pint,4,5,3,10,3.50\n") == [("2", "break_price_2")]


def test_a_near_name_is_offered() -> None:
    assert "“Caster”" in first_fault(f"{HEAD}\nCastor,1,pint,4,,,\n")


def test_two_baits_of_one_name_are_told_by_their_keys() -> None:
    twins = (CASTER, ListedBait("caster-2", "caster", "pint", False))
    with pytest.raises(BadInput, match="caster, caster-2"):
        read(f"{HEAD}\nCaster,1,pint,4,,,\n", twins)
    assert read(f"{HEAD}\nCASTER-2,1,pint,4,,,\n", twins)[0].bait == "caster-2"
    assert read(f"{HEAD}\ncaster,1,pint,4,,,\n", twins)[0].bait == "caster"


def test_a_guard_against_formulas_is_read_through() -> None:
    odd = (ListedBait("sum", "=SUM(A1)", "L", False),)
    assert read(f"{HEAD}\n'=SUM(A1),1,L,4,,,\n", odd)[0].bait == "sum"


def test_quotation_marks_that_do_not_match_are_told_with_their_row() -> None:
    assert faults(f'{HEAD}\nCaster,1,pint,4,,,\n"Caster,1,pint,4,,,\n') == [("3", "")]


def test_as_many_rows_as_allowed_are_read_and_no_more() -> None:
    rows = [f"Caster,{n},pint,4,,," for n in range(1, MOST_ROWS + 2)]
    assert len(read("\n".join([HEAD, *rows[:-1]]))) == MOST_ROWS
    assert "2000 rows" in first_fault("\n".join([HEAD, *rows]))


def test_a_unit_of_another_sort_needs_the_density() -> None:
    assert read(f"{HEAD}\nRiver mix,2,kg,9,,,\n")[0].unit == "kg"
    assert faults(f"{HEAD}\nRiver soil,2,kg,9,,,\n") == [("2", "unit")]
    assert faults(f"{HEAD}\nRiver mix,2,each,9,,,\n") == [("2", "unit")]


def test_a_form_is_read_by_the_same_rules() -> None:
    fields = {
        "bait": "caster",
        "amount": "0,5",
        "unit": "pint",
        "price": " 2,20 ",
        "from_packs": "",
        "break_price": "",
        "from_packs_2": "4",
        "break_price_2": "2",
    }
    assert pack_read(fields, baits=BAITS).prices == PackPrices(220, ((4, 200),))
    with pytest.raises(BadInput) as caught:
        pack_read({**fields, "price": "x", "break_price_2": ""}, baits=BAITS)
    assert [fault.pointer for fault in caught.value.faults] == ["/price", "/break_price_2"]
