"""Reading of files of cells: what people make, and what nobody should."""

from __future__ import annotations

import csv
import datetime as dt
import gzip
import io
import zipfile
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bait.reckon.price_columns import PRICE_COLUMNS
from matches.reckon.errors import BadInput
from matches.reckon.sheets import SheetRow, column_letter, columns_propose, heads_digest, sheet_read
from matches.reckon.sheets.anglers import ANGLER_COLUMNS
from matches.reckon.sheets.columns import edits, fold
from matches.reckon.sheets.pegs import PEG_COLUMNS
from matches.reckon.sheets.results import RESULT_COLUMNS
from matches.reckon.sheets.sheet import MOST_BYTES
from matches.reckon.sheets.values import day_read, flag_read, whole_read
from matches.reckon.sheets.weights_typed import weight_typed
from tests.sheets import repacked, xlsx

SHEET = "xl/worksheets/sheet1.xml"
SHEET_XML = (
    '<?xml version="1.0"?>{doctype}<worksheet xmlns="http://schemas.openxmlformats.org/'
    'spreadsheetml/2006/main"><dimension ref="A1:A1"/><sheetData>{rows}</sheetData></worksheet>'
)
BOMB = (
    '<!DOCTYPE b [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;">'
    '<!ENTITY c "&b;&b;&b;&b;&b;&b;&b;&b;&b;&b;">]>'
)
PLAIN = xlsx(["Name", "Team"], ["Maud", "Alders"])
OLE = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"


def rows_xml(rows: str, doctype: str = "") -> bytes:
    """A workbook whose sheet was written by hand."""
    return repacked(PLAIN, {SHEET: SHEET_XML.format(rows=rows, doctype=doctype).encode()})


def text_cell(ref: str, text: str) -> str:
    return f'<c r="{ref}" t="inlineStr"><is><t>{text}</t></is></c>'


def archive(**parts: bytes) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as made:
        for name, body in parts.items():
            made.writestr(name, body)
    return out.getvalue()


def lied(raw: bytes) -> bytes:
    """The archive says of its first sheet that it unpacks to ten bytes."""
    with zipfile.ZipFile(io.BytesIO(raw)) as made:
        size = made.getinfo(SHEET).file_size
    return raw.replace(size.to_bytes(4, "little"), (10).to_bytes(4, "little"))


HEAD = "<row>" + text_cell("A1", "Name") + "</row>"
#: What nobody should send: the words that the refusal has, and how the file is made.
HOSTILE: dict[str, tuple[str, Any]] = {
    "nothing": ("is empty", lambda: b" \n "),
    "heads alone": ("there is nothing", lambda: b"Name\n"),
    "too many bytes": ("larger than 2 MiB", lambda: b"a" * (MOST_BYTES + 1)),
    "a million rows": ("more than 5,000 rows", lambda: b"a\n" * 1_000_000),
    "rows of a workbook": (
        "more than 5,000 rows",
        lambda: rows_xml("".join(f"<row>{text_cell(f'A{n}', 'x')}</row>" for n in range(1, 5_003))),
    ),
    "far down": (
        "far too large",
        lambda: rows_xml(HEAD + f'<row r="1048576">{text_cell("A1048576", "x")}</row>'),
    ),
    "far right": (
        "more than 100 columns",
        lambda: rows_xml(HEAD + f'<row r="2">{text_cell("XFD2", "x")}</row>'),
    ),
    "many columns": ("more than 100 columns", lambda: b"," * 100 + b"a\nb\n"),
    "a long cell": ("more than 2,000 characters", lambda: b"Name\n" + b"a" * 2_001),
    "a cell past all bounds": ("far too long", lambda: b'Name\n"' + b"a" * 200_000 + b'"'),
    "quotes that do not match": ("quotation marks", lambda: b'Name\n"Maud\n'),
    "nul bytes": ("UTF-16", lambda: b"Name\nMa\0ud\n"),
    "UTF-16": ("UTF-16", lambda: "Name\nMaud\n".encode("utf-16")),
    "neither code": ("neither UTF-8", lambda: b"Name\nM\x81\x8d\n"),
    "gzip named csv": ("packed (gzip)", lambda: gzip.compress(b"Name\nMaud\n")),
    "XLS": ("old kind", lambda: OLE + b"x" * 100),
    "PDF": ("PDF", lambda: b"%PDF-1.7\n"),
    "a web page": ("web page", lambda: b"<!DOCTYPE html><table></table>"),
    "a picture": ("picture", lambda: b"\x89PNG\r\n\x1a\n"),
    "ODS": (
        "OpenDocument",
        lambda: archive(mimetype=b"application/vnd.oasis.opendocument.spreadsheet"),
    ),
    "another archive": ("not a workbook", lambda: archive(readme=b"x")),
    "macros": ("macros", lambda: repacked(PLAIN, {"xl/vbaProject.bin": b"x"})),
    "XLSB": ("binary workbook", lambda: archive(**{"xl/workbook.bin": b"x"})),
    "half an archive": ("damaged", lambda: PLAIN[: len(PLAIN) // 2]),
    "a sheet cut off": ("cannot be read", lambda: repacked(PLAIN, {SHEET: b"<worksheet><sheet"})),
    "a zip bomb": ("far too large", lambda: repacked(PLAIN, {"xl/big.xml": b" " * 9_000_000})),
    "a million tags": ("far too large", lambda: rows_xml("<row/>" * 1_000_000)),
    "a bomb that lies": ("damaged", lambda: lied(PLAIN)),
    "a path out": ("lead out", lambda: repacked(PLAIN, {"../../etc/passwd": b"x"})),
    "a path of a drive": ("lead out", lambda: repacked(PLAIN, {"C:\\x.xml": b"x"})),
    "an entity bomb": ("cannot be read", lambda: rows_xml(
        HEAD + "<row r='2'>" + text_cell("A2", "&c;") + "</row>", BOMB)),
    "a file in an entity": ("cannot be read", lambda: rows_xml(
        HEAD + "<row r='2'>" + text_cell("A2", "&f;") + "</row>",
        '<!DOCTYPE b [<!ENTITY f SYSTEM "file:///etc/passwd">]>')),
    "a formula without value": ("without a saved value", lambda: xlsx(["Name"], ["=1+1"])),
    "an error in a cell": ("holds an error", lambda: rows_xml(
        HEAD + '<row r="2"><c r="A2" t="e"><v>#N/A</v></c></row>')),
    "not a number": ("cannot be read", lambda: rows_xml(
        HEAD + '<row r="2"><c r="A2"><v>NaN</v></c></row>')),
    "hidden sheets only": ("no sheet that is shown", lambda: repacked(PLAIN, {
        "xl/workbook.xml": zipfile.ZipFile(io.BytesIO(PLAIN)).read("xl/workbook.xml").replace(
            b'state="visible"', b'state="hidden"')})),
}  # fmt: skip


@pytest.mark.parametrize("what", HOSTILE)
def test_what_cannot_be_read_is_refused_in_words(what: str) -> None:
    words, made = HOSTILE[what]
    with pytest.raises(BadInput) as refused:
        sheet_read(made())
    assert words in refused.value.faults[0].message


AFTERNOON = dt.datetime(2024, 6, 8, 14, 5)  # noqa: DTZ001 - a workbook knows no zones


def test_a_workbook_is_known_by_its_bytes_and_read_as_a_person_would_type_it() -> None:
    sheet = sheet_read(
        xlsx(
            ["Name", "Joined", "At", "Weight", "Big", "Junior", "No"],
            ["Maud", dt.date(2024, 6, 8), dt.time(9, 30), 12.45, 1e22, True, 7],
            [None],
            ["  Perrin  ", AFTERNOON, None, 0.1 + 0.2, -3.0, False, "007"],
        )
    )
    assert sheet.rows == (
        SheetRow(2, ("Maud", "2024-06-08", "09:30", "12.45", "1" + "0" * 22, "yes", "7")),
        SheetRow(4, ("Perrin", "2024-06-08 14:05", "", "0.3", "-3", "no", "007")),
    )


def test_what_a_sheet_says_of_its_own_size_hides_no_row() -> None:
    sheet = sheet_read(rows_xml(HEAD + f'<row r="2">{text_cell("A2", "Maud")}</row>'))
    assert sheet.rows == (SheetRow(2, ("Maud",)),)


def test_a_formula_is_its_saved_value_and_told() -> None:
    cell = '<row r="2"><c r="A2" t="str"><f>"Ma"&amp;"ud"</f><v>Maud</v></c></row>'
    sheet = sheet_read(rows_xml(HEAD + cell))
    assert sheet.rows == (SheetRow(2, ("Maud",)),)
    assert "A2" in sheet.notes[0]


def test_of_several_sheets_the_first_that_is_shown_is_read_and_the_others_told() -> None:
    def more(book: Any) -> None:
        book.create_sheet("Old").sheet_state = "hidden"
        book.create_sheet("More")
        book.active.merge_cells("A2:A3")

    sheet = sheet_read(xlsx(["Name", "Team"], ["Maud", "Alders"], [None, "Teals"], then=more))
    assert sheet.rows == (SheetRow(2, ("Maud", "Alders")), SheetRow(3, ("", "Teals")))
    notes = " ".join(sheet.notes)
    assert "not “More”" in notes and "“Old”" in notes and "merged cell" in notes


# CSV -----------------------------------------------------------------------------------------

#: RFC 4180, section 2, its own examples of rules 1, 2, 5, 6 and 7, below a first line of names.
RFC_4180 = (
    ("aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n", ("zzz", "yyy", "xxx")),
    ("aaa,bbb,ccc\r\nzzz,yyy,xxx", ("zzz", "yyy", "xxx")),
    ('a,b,c\r\n"aaa","bbb","ccc"\r\n', ("aaa", "bbb", "ccc")),
    ('a,b,c\r\n"aaa","b\r\nbb","ccc"\r\n', ("aaa", "b\r\nbb", "ccc")),
    ('a,b,c\r\n"aaa","b""bb","ccc"', ("aaa", 'b"bb', "ccc")),
)


@pytest.mark.parametrize(("text", "cells"), RFC_4180)
def test_examples_of_the_standard_are_read(text: str, cells: tuple[str, ...]) -> None:
    assert sheet_read(text.encode()).rows[0].cells == cells


@pytest.mark.parametrize("code", ["utf-8", "utf-8-sig", "cp1252"])
@pytest.mark.parametrize("separator", [",", ";", "\t"])
def test_code_and_separator_are_found(code: str, separator: str) -> None:
    text = separator.join(["Name", "Fee"]) + "\n" + separator.join(["Zoë", "£5"]) + "\n"
    sheet = sheet_read(text.encode(code))
    assert sheet.heads == ("Name", "Fee") and sheet.rows[0].cells == ("Zoë", "£5")
    assert bool(sheet.notes) == (code == "cp1252")


cells = st.text(
    st.characters(blacklist_categories=["Cs"], blacklist_characters="\0"), max_size=12
).map(str.strip)


@given(
    st.lists(st.lists(cells, min_size=2, max_size=5).filter(any), min_size=1, max_size=8),
    st.sampled_from(",;\t"),
    st.sampled_from([csv.QUOTE_MINIMAL, csv.QUOTE_ALL]),
    st.sampled_from(["\n", "\r\n"]),
)
def test_what_pythons_own_csv_writes_is_read_back(
    rows: list[list[str]], separator: str, quoting: Any, ends: str
) -> None:
    out = io.StringIO()
    writer = csv.writer(out, delimiter=separator, quoting=quoting, lineterminator=ends)
    writer.writerows([["Name", "Team", "No", "x", "y"], *rows])
    sheet = sheet_read(out.getvalue().encode())
    read = csv.reader(io.StringIO(out.getvalue(), newline=""), delimiter=separator)
    wanted = [[cell.strip() for cell in row] for row in read][1:]
    assert [_padded(row.cells) for row in sheet.rows] == [_padded(row) for row in wanted]


def _padded(row: Any) -> list[str]:
    return [*row, *[""] * (5 - len(row))]


# Columns -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("heads", "found"),
    [
        (["Angler", "Squad", "Member No."], {"name": 0, "team": 1, "number": 2}),
        (["NÁME", "Taem"], {"name": 0, "team": 1}),
        (["Forename", "Last name"], {"first_name": 0, "surname": 1}),
        (["Name", "Name"], {"name": 0}),
        (["", "Colour"], {}),
        (["Mebership numbr", "Nmae"], {"number": 0, "name": 1}),
    ],
)
def test_columns_are_known_by_what_people_call_them(heads: Any, found: Any) -> None:
    assert columns_propose(ANGLER_COLUMNS, heads) == found


def test_every_name_of_a_column_leads_to_it_and_to_no_other() -> None:
    for columns in (ANGLER_COLUMNS, PEG_COLUMNS, PRICE_COLUMNS, RESULT_COLUMNS):
        names = [
            fold(n) for c in columns for n in {fold(c.name), fold(c.words), *map(fold, c.also)}
        ]
        assert len(names) == len(set(names))


def test_edits_counts_slips_of_the_hand() -> None:
    """Values from memory of the published distance: one swap is one edit."""
    for one, other, n in (("name", "nmae", 1), ("team", "teams", 1), ("", "abc", 3), ("a", "a", 0)):
        assert edits(one, other) == edits(other, one) == n


def test_heads_are_told_apart_by_names_and_order_not_by_case() -> None:
    assert heads_digest(["Peg No.", "Depth"]) == heads_digest(["peg no", "DEPTH"])
    assert heads_digest(["Peg", "Depth"]) != heads_digest(["Depth", "Peg"])
    assert [column_letter(n) for n in (1, 26, 27, 703)] == ["A", "Z", "AA", "AAA"]


# Values --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("2024-06-08", (2024, 6, 8)),
        ("2024-06-08T00:00:00", (2024, 6, 8)),
        ("8/6/2024", (2024, 6, 8)),
        ("08.06.24", (2024, 6, 8)),
        ("8 June 2024", (2024, 6, 8)),
        ("Sat 8th Jun. 2024", (2024, 6, 8)),
        ("8-Jun-69", (1969, 6, 8)),
        ("31/2/2024", None),
        ("6/2024", None),
        ("45451", None),
    ],
)
def test_days_are_read_as_people_write_them(text: str, day: Any) -> None:
    assert day_read(text) == (dt.date(*day) if day else None)


def test_flags_and_whole_numbers_are_read_as_people_write_them() -> None:
    assert [flag_read(t) for t in ("X", " Yes ", "0", "no", "", "maybe")] == [
        True, True, False, False, None, None,
    ]  # fmt: skip
    read = [
        whole_read(t, least=1, most=99) for t in ("3", "3.0", "1st", "2=", "0", "100", "1e2", "٣")
    ]
    assert read == [3, 3, 1, 2, None, None, None, None]


@pytest.mark.parametrize(
    ("text", "weight"),
    [
        ("12.450 kg", (12_450, "g")),
        ("12,4kg", (12_400, "g")),
        ("12 kg 45 g", (12_045, "g")),
        ("850g", (850, "g")),
        ("27 lb 6 oz 8 dr", (7_016, "dr")),
        ("27lb 6oz", (7_008, "dr")),
        ("27-6-8", (7_016, "dr")),
        ("6 oz", (96, "dr")),
        ("0", (0, None)),
        ("0.0", (0, None)),
        ("12.45", None),
        ("27-16-0", None),
        ("5 tonnes", None),
        ("1e9 kg", None),
        ("-3 kg", None),
        ("nan kg", None),
        ("9999 kg", None),
        ("", None),
    ],
)
def test_weights_are_read_in_the_notations_of_the_bank(text: str, weight: Any) -> None:
    """256 drams to the pound and 16 to the ounce: UK Weights and Measures Act 1985, schedule 1."""
    assert weight_typed(text) == weight
