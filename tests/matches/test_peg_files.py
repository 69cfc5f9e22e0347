"""Pegs as CSV and as GeoJSON: what is written is read again, and every fault says where it is."""

from __future__ import annotations

import csv
import io
import json
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from matches.reckon.cells import fault_place
from matches.reckon.errors import BadInput
from matches.reckon.peg_fields import COLUMNS, PegLine, peg_read
from matches.reckon.peg_geojson import peg_features_body, peg_features_parse
from matches.reckon.peg_list import peg_list_parse, peg_list_rows
from matches.reckon.reading import is_storable

NOTHING: dict[str, Any] = {
    "side": "",
    "along_m": None,
    "depth_cm": None,
    "latitude": None,
    "longitude": None,
    "accessible": False,
    "power_lines": False,
    "steep_bank": False,
    "notes": "",
}


def as_file(lines: list[PegLine]) -> str:
    written = io.StringIO()
    csv.writer(written).writerows(peg_list_rows(lines))
    return written.getvalue()


def faults(act: Any, text: str) -> list[tuple[str, str, str]]:
    with pytest.raises(BadInput) as caught:
        act(text)
    return [(*fault_place(fault), fault.message) for fault in caught.value.faults]


def features(*pegs: dict[str, Any], **more: Any) -> str:
    return json.dumps(
        {
            "type": "FeatureCollection",
            "features": [{"type": "Feature", "geometry": None, **peg} for peg in pegs],
            **more,
        }
    )


def degrees(most: int) -> st.SearchStrategy[Decimal]:
    return st.integers(-most * 10**6, most * 10**6).map(lambda n: Decimal(n).scaleb(-6))


TEXT = st.text(st.characters(codec="utf-8").filter(is_storable), max_size=30)
NOTES = (TEXT | st.sampled_from(["=1+1", "'=1", "''@x", "'", "-", "' \u2028a"])).map(
    lambda text: "\n".join(text.strip().splitlines()).strip()
)
PLACES = st.tuples(st.none(), st.none()) | st.tuples(degrees(90), degrees(180))


@st.composite
def pegs(draw: st.DrawFn) -> list[PegLine]:
    numbers = draw(
        st.lists(st.text("0123456789abÄ", min_size=1, max_size=8), unique=True, min_size=1)
    )
    made = []
    for row, number in enumerate(numbers, 2):
        latitude, longitude = draw(PLACES)
        values = {
            "side": draw(st.sampled_from(["left", "right", ""])),
            "along_m": draw(st.none() | st.integers(0, 100_000)),
            "depth_cm": draw(st.none() | st.integers(0, 5_000)),
            "latitude": latitude,
            "longitude": longitude,
            **{n: draw(st.booleans()) for n in ("accessible", "power_lines", "steep_bank")},
            "notes": draw(NOTES),
        }
        made.append(PegLine(row, number, values))
    return made


def known(lines: Any) -> list[tuple[str, dict[str, Any]]]:
    return [(line.number, dict(line.values)) for line in lines]


@given(pegs())
def test_pegs_written_as_cells_are_read_as_the_same_pegs(made: list[PegLine]) -> None:
    text = as_file(made)
    assert known(peg_list_parse(text)) == known(made)
    cells = [cell for row in csv.reader(io.StringIO(text)) for cell in (row[0], row[-1])]
    assert [cell for cell in cells if cell.lstrip()[:1] in ("=", "+", "@", "-")] == []


@given(pegs())
def test_pegs_written_as_geojson_are_read_as_the_same_pegs(made: list[PegLine]) -> None:
    read = peg_features_parse(json.dumps(peg_features_body(made)))
    assert known(read.lines) == known(made)
    assert read.unread == ()


@given(st.text() | st.binary().map(lambda raw: raw.decode("latin-1")))
def test_any_text_is_read_or_refused_in_words(text: str) -> None:
    for act in (peg_list_parse, peg_features_parse):
        try:
            act(text)
        except BadInput as bad:
            assert all(fault.message.endswith(".") for fault in bad.faults)


JSONS = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=5),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(
            st.sampled_from(["type", "coordinates", "number", "notes", "x"]), inner, max_size=4
        )
    ),
    max_leaves=8,
)


@given(JSONS, JSONS, JSONS)
def test_any_feature_is_read_or_refused_in_words(first: Any, second: Any, third: Any) -> None:
    text = features(
        {"geometry": first, "properties": second},
        {"geometry": {"type": "Point", "coordinates": third}, "properties": {"number": "1"}},
    )
    try:
        peg_features_parse(text)
    except BadInput as bad:
        assert all(fault.message.endswith(".") for fault in bad.faults)


# What a person writes ------------------------------------------------------------------------


def test_only_columns_that_are_there_say_something() -> None:
    [line] = peg_list_parse("Number;Depth CM;Latitude;longitude\n12a;180;52,1234567;-1,5\n")
    assert (line.row, line.number) == (2, "12a")
    assert line.values == {
        "depth_cm": 180,
        "latitude": Decimal("52.123457"),
        "longitude": Decimal("-1.500000"),
    }


def test_every_fault_of_a_file_is_told_with_row_and_column() -> None:
    text = (
        "number,side,depth_cm,latitude,longitude,accessible,notes\n"
        "1,north,-5,52.1,,perhaps,\n"
        "1,,,91,1,,\n"
        "a b,,1.5,,,,,x\n"
        "2,,,,,,\n2,,,,,,\n"
    )
    assert [(row, column) for row, column, _ in faults(peg_list_parse, text)] == [
        ("2", "side"),
        ("2", "depth_cm"),
        ("2", "accessible"),
        ("2", "longitude"),
        ("3", "latitude"),
        ("4", "8"),
        ("4", "number"),
        ("4", "depth_cm"),
        ("6", "number"),
    ]


@pytest.mark.parametrize(
    ("text", "row", "column", "said"),
    [
        ("", "", "", "The file is empty"),
        ("number\n", "", "", "no peg"),
        ("depth_cm\n1\n", "1", "number", "missing"),
        ("number,latitude\n1,5\n", "1", "longitude", "missing"),
        ("number,colour\n1,red\n", "1", "colour", "not known"),
        ("number,number\n1,1\n", "1", "number", "twice"),
        ('number\n"1\n', "2", "", "quotation marks"),
        ("number\n" + "1\n" * 2001, "", "", "more than 2,000 rows"),
        ("number," * 101 + "\n1\n", "1", "", "more than 100 columns"),
        ("number,longitude,latitude\n1,180.1,1\n", "2", "longitude", "from -180 to 180"),
        ("number,longitude,latitude\n1,1e5,1\n", "2", "longitude", "Write degrees"),
        ("number,notes\n1," + "x" * 1001 + "\n", "2", "notes", "at most 1,000"),
        ("number,along_m\n1,100001\n", "2", "along_m", "from 0 to 100,000"),
        ("number\n123456789\n", "2", "number", "1 to 8 letters"),
    ],
)
def test_a_wrong_file_of_cells_is_refused(text: str, row: str, column: str, said: str) -> None:
    found = faults(peg_list_parse, text)
    assert found[0][:2] == (row, column)
    assert said in found[0][2]


@pytest.mark.parametrize(
    ("text", "row", "column", "said"),
    [
        ("[", "", "", "not JSON"),
        ("[" * 100_000, "", "", "not JSON"),
        ('{"a": NaN}', "", "", "not JSON"),
        ('{"type": "Point", "coordinates": [1, 2]}', "", "", "feature collection"),
        ('{"type": "FeatureCollection"}', "", "", "no features"),
        ('{"type": "FeatureCollection", "features": []}', "", "", "no features"),
        (features({"properties": {}}), "1", "number", "Number the peg"),
        (features({"properties": None}), "1", "properties", "Properties are missing"),
        (features({"type": "Thing"}), "1", "type", "Feature"),
        (features({"properties": {"number": [1]}}), "1", "number", "one word"),
        (features({"properties": {"number": 1.5}}), "1", "number", "letters and digits"),
        (
            features({"properties": {"number": 1}}, {"properties": {"number": "1"}}),
            "2",
            "number",
            "in feature 1 already",
        ),
        (
            features({"geometry": {"type": "Point", "coordinates": [91]}, "properties": {}}),
            "1",
            "coordinates",
            "longitude, then latitude",
        ),
        (
            features(
                {
                    "geometry": {"type": "Point", "coordinates": [52.1, 181]},
                    "properties": {"number": 1},
                }
            ),
            "1",
            "geometry",
            "from -90 to 90",
        ),
        (
            features({"properties": {"number": 1}}, crs={"properties": {"name": "EPSG:27700"}}),
            "",
            "",
            "WGS 84",
        ),
        (features(*[{"properties": {"number": n}} for n in range(2001)]), "", "", "2,000 features"),
    ],
)
def test_a_wrong_geojson_is_refused(text: str, row: str, column: str, said: str) -> None:
    found = faults(peg_features_parse, text)
    assert found[0][:2] == (row, column)
    assert said in found[0][2]


def test_properties_that_say_nothing_to_us_are_named() -> None:
    text = features({"properties": {"number": 7, "fid": 1, "layer": None, "\ud800": 1}})
    read = peg_features_parse(text)
    assert [line.number for line in read.lines] == ["7"]
    assert read.unread == ("fid", "layer")


def test_a_form_is_read_by_the_rules_of_the_file() -> None:
    typed = {**dict.fromkeys(COLUMNS, ""), "number": " 7 ", "accessible": "on", "notes": "a\r\nb"}
    assert peg_read(typed) == PegLine(0, "7", {**NOTHING, "accessible": True, "notes": "a\nb"})
    with pytest.raises(BadInput) as caught:
        peg_read({**typed, "number": "", "depth_cm": "deep", "latitude": "52"})
    assert [fault.pointer for fault in caught.value.faults] == [
        "/number",
        "/depth_cm",
        "/longitude",
    ]
