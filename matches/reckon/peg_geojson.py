"""Pegs as GeoJSON (RFC 7946): one Point feature each, longitude first, in bank order downstream.

What is known of a peg stands in the feature's properties, called as the columns of the CSV. A peg
whose place is not known has no geometry (null, section 3.2).
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, Final

from .cells import MOST_ROWS
from .peg_fields import (
    COLUMNS,
    PLACE,
    PegLine,
    PegValue,
    file_refuse,
    peg_line_read,
    repeats_note,
)
from .reading import Reading, Where, is_storable

#: RFC 7946, section 12.
MEDIA_TYPE: Final = "application/geo+json"
PROPERTIES: Final = tuple(name for name in COLUMNS if name not in PLACE)
WGS84_NAMES: Final = ("CRS84", "EPSG::4326", "EPSG:4326")
UNREAD_SHOWN: Final = 20
_SMALL: Final = re.compile(r"-?[0-9]\.?[0-9]{0,40}[eE][+-]?[0-9]{1,2}")


class _Written(str):
    """A JSON number with a point, as it was written."""

    __slots__ = ()


@dataclass(frozen=True, slots=True)
class PegFeatures:
    """The pegs of a file, and the properties in it that say nothing to us and were not read."""

    lines: tuple[PegLine, ...]
    unread: tuple[str, ...]


def peg_features_parse(text: str) -> PegFeatures:
    """The pegs of a feature collection. Raises BadInput with every fault, each pointing at
    "/feature/member" (features counted from 1): then nothing of the file is to be used."""
    reading = Reading()
    features = _features(text)
    lines = [_line(reading, n, feature) for n, feature in enumerate(features, 1)]
    repeats_note(reading, lines, what="feature")
    reading.finish()
    unread = {
        name
        for feature in features
        for name in feature["properties"]
        if name not in PROPERTIES and is_storable(name)
    }
    return PegFeatures(
        tuple(line for line in lines if line is not None), tuple(sorted(unread)[:UNREAD_SHOWN])
    )


def _features(text: str) -> list[Any]:
    try:
        body = json.loads(text, parse_float=_Written, parse_constant=_constant_refuse)
    except (ValueError, RecursionError) as error:
        raise file_refuse("This is not JSON: choose a GeoJSON file.") from error
    if not isinstance(body, dict) or body.get("type") != "FeatureCollection":
        raise file_refuse("This is not a GeoJSON feature collection: save the pegs as one.")
    if "crs" in body and not any(name in str(body["crs"]) for name in WGS84_NAMES):
        raise file_refuse(
            "This file names coordinates of its own (crs): save it in WGS 84, longitude and "
            "latitude in degrees."
        )
    features = body.get("features")
    if not isinstance(features, list) or not features:
        raise file_refuse("The feature collection holds no features: add a point for each peg.")
    if len(features) > MOST_ROWS:
        raise file_refuse(f"The file has more than {MOST_ROWS:,} features: send it in parts.")
    return features


def _constant_refuse(name: str) -> None:
    raise ValueError(f"{name} is no JSON")


def _line(reading: Reading, row: int, feature: Any) -> PegLine | None:
    if not isinstance(feature, dict) or feature.get("type") != "Feature":
        reading.fault((row, "type"), "This must be a Feature.")
        return None
    properties = feature.get("properties")
    if not isinstance(properties, dict):
        reading.fault((row, "properties"), "Properties are missing: give at least the number.")
        return None
    before = len(reading.faults)
    texts = {name: _text(reading, properties[name], (row, name)) for name in _known(properties)}
    texts |= _place(reading, feature.get("geometry"), row=row)
    texts.setdefault("number", "")
    where: dict[str, Where] = {name: (row, name) for name in COLUMNS}
    where |= dict.fromkeys(PLACE, (row, "geometry"))
    if len(reading.faults) > before:
        return None
    return peg_line_read(reading, texts, row=row, where=where)


def _known(properties: Mapping[str, Any]) -> list[str]:
    return [name for name in PROPERTIES if name in properties]


def _text(reading: Reading, value: Any, where: Where) -> str:
    """A property as a cell would have it."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if value is None or isinstance(value, str | int):
        return "" if value is None else str(value)
    reading.fault(where, "Write one word, number, true or false here, or null.")
    return ""


def _place(reading: Reading, geometry: Any, *, row: int) -> dict[str, str]:
    """Latitude and longitude; a height, if there is one, is not kept."""
    if geometry is None:
        return dict.fromkeys(PLACE, "")
    at = geometry.get("coordinates") if isinstance(geometry, dict) else None
    if not isinstance(geometry, dict) or geometry.get("type") != "Point":
        reading.fault((row, "geometry"), "A peg is a Point: leave out lines and areas.")
    elif not isinstance(at, list) or len(at) < len(PLACE) or not all(map(_is_number, at)):
        reading.fault((row, "coordinates"), "Write longitude, then latitude, as two numbers.")
    else:
        return {"longitude": _plain(at[0]), "latitude": _plain(at[1])}
    return dict.fromkeys(PLACE, "")


def _plain(number: object) -> str:
    """A JSON number without its power of ten."""
    text = str(number)
    return f"{Decimal(text):f}" if _SMALL.fullmatch(text) else text


def _is_number(value: Any) -> bool:
    return isinstance(value, int | _Written) and not isinstance(value, bool)


def peg_features_body(lines: Iterable[PegLine]) -> dict[str, Any]:
    """The feature collection of these pegs: `peg_features_parse` reads the same pegs from it."""
    return {"type": "FeatureCollection", "features": [_feature(line) for line in lines]}


def _feature(line: PegLine) -> dict[str, Any]:
    at = [_degrees(line.values.get(name)) for name in ("longitude", "latitude")]
    return {
        "type": "Feature",
        "geometry": None if None in at else {"type": "Point", "coordinates": at},
        "properties": {
            "number": line.number,
            **{name: value for name, value in line.values.items() if name in PROPERTIES},
        },
    }


def _degrees(value: PegValue) -> float | None:
    """Six decimals come whole through a double: nine digits of its fifteen."""
    return float(value) if isinstance(value, Decimal) else None
