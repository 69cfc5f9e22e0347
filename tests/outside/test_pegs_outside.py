"""Sections and places of pegs against a library and the standard's own examples."""

from __future__ import annotations

import json
from typing import Any

import numpy as np
import pytest

from matches.reckon.cells import fault_place
from matches.reckon.errors import BadInput
from matches.reckon.peg_geojson import MEDIA_TYPE, peg_features_body, peg_features_parse
from matches.reckon.sections import BankPeg, runs_even


@pytest.mark.parametrize("sections", range(1, 13))
@pytest.mark.parametrize("pegs", [24, 25, 35, 36, 97])
def test_even_runs_of_one_bank_are_those_of_numpy_array_split(pegs: int, sections: int) -> None:
    """Source: numpy.array_split, which puts the larger parts first."""
    numbers = [str(n) for n in range(1, pegs + 1)]
    runs = runs_even([BankPeg(n) for n in numbers], sections=sections)
    split = [tuple(part.tolist()) for part in np.array_split(np.array(numbers), sections)]
    assert [run.pegs for run in runs] == split


def collection(*features: dict[str, Any]) -> str:
    return json.dumps({"type": "FeatureCollection", "features": features})


# RFC 7946, section 1.5, the feature collection's first feature; appendix A.1, the point.
EXAMPLE_POINT = {"type": "Point", "coordinates": [102.0, 0.5]}
APPENDIX_POINT = {"type": "Point", "coordinates": [100.0, 0.0]}
# Appendix A.2; section 1.5, the second feature is a line, the third a polygon.
EXAMPLE_LINE = {"type": "LineString", "coordinates": [[102.0, 0.0], [103.0, 1.0]]}


@pytest.mark.parametrize("geometry", [EXAMPLE_POINT, APPENDIX_POINT, None])
def test_a_point_of_the_standard_comes_back_as_it_was(geometry: dict[str, Any] | None) -> None:
    """Longitude stands first (section 3.1.1); a feature without a place has null (section 3.2)."""
    feature = {"type": "Feature", "geometry": geometry, "properties": {"number": "1"}}
    [line] = peg_features_parse(collection(feature)).lines
    written = json.loads(json.dumps(peg_features_body([line])))
    assert written["features"] == [feature]
    if geometry:
        assert [float(str(line.values[k])) for k in ("longitude", "latitude")] == geometry[
            "coordinates"
        ]


def test_a_height_is_read_over() -> None:
    """Section 3.1.1: a third element is a height in metres, and may be there."""
    point = {"type": "Point", "coordinates": [102.0, 0.5, 12.0]}
    feature = {"type": "Feature", "geometry": point, "properties": {"number": "1"}}
    [line] = peg_features_parse(collection(feature)).lines
    assert peg_features_body([line])["features"][0]["geometry"] == EXAMPLE_POINT


def test_a_line_of_the_standard_is_no_peg() -> None:
    point, line = (
        {"type": "Feature", "geometry": geometry, "properties": {"number": str(n)}}
        for n, geometry in enumerate([EXAMPLE_POINT, EXAMPLE_LINE], 1)
    )
    with pytest.raises(BadInput) as caught:
        peg_features_parse(collection(point, line))
    assert [fault_place(fault) for fault in caught.value.faults] == [("2", "geometry")]


def test_a_file_that_names_the_standards_own_system_is_read() -> None:
    """Section 4: all coordinates are WGS 84, urn:ogc:def:crs:OGC::CRS84; crs members of files made
    by the specification of 2008 may still say so."""
    body = {
        "type": "FeatureCollection",
        "crs": {"type": "name", "properties": {"name": "urn:ogc:def:crs:OGC:1.3:CRS84"}},
        "features": [{"type": "Feature", "geometry": None, "properties": {"number": "1"}}],
    }
    assert [line.number for line in peg_features_parse(json.dumps(body)).lines] == ["1"]


def test_the_media_type_is_the_registered_one() -> None:
    """Section 12."""
    assert MEDIA_TYPE == "application/geo+json"
