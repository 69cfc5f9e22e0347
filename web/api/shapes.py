"""Small words for describing JSON in the OpenAPI schema (3.0)."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from typing import Any

from bait.reckon.units import UNITS

Shape = dict[str, Any]

ID: Shape = {"type": "string", "minLength": 1, "maxLength": 200}
MONEY: Shape = {"type": "string", "pattern": r"^[0-9]+(\.[0-9]{1,2})?$", "example": "4.20"}
MONEY_SIGNED: Shape = {"type": "string", "pattern": r"^-?[0-9]+\.[0-9]{2}$", "example": "-0.05"}
AMOUNT: Shape = {"type": "string", "pattern": r"^[0-9]+(\.[0-9]+)?$", "example": "2.5"}
POINTS: Shape = {"type": "string", "pattern": r"^[0-9]+(\.[0-9]+)?$", "example": "5.5"}
CURRENCY: Shape = {"type": "string", "pattern": "^[A-Z]{3}$", "example": "GBP"}
FLAG: Shape = {"type": "boolean"}
WHOLE: Shape = {"type": "integer", "minimum": 0}
COUNT: Shape = {"type": "integer", "minimum": 1}
NUMBER: Shape = {"type": "number"}
UNIT: Shape = {"type": "string", "enum": list(UNITS)}
WEIGHT_UNIT: Shape = {
    "type": "string",
    "enum": ["g", "dr"],
    "description": "g: grams. dr: drams, 16 to the ounce, 256 to the pound.",
}


def one_of(words: Sequence[str]) -> Shape:
    """A string that is one of `words`."""
    return {"type": "string", "enum": list(words)}


def number_of(least: str, most: str, *, about: str = "") -> Shape:
    """A number from `least` to `most`."""
    shape: Shape = {"type": "number", "minimum": float(least), "maximum": float(most)}
    return {**shape, "description": about} if about else shape


def or_null(shape: Shape) -> Shape:
    if "enum" in shape:
        return {**shape, "enum": [*shape["enum"], None], "nullable": True}
    return {**shape, "nullable": True}


def list_of(shape: Shape) -> Shape:
    return {"type": "array", "items": shape}


def object_of(
    needs: Mapping[str, Shape], may: Mapping[str, Shape] | None = None, *, about: str = ""
) -> Shape:
    """An object with every key of `needs`, perhaps those of `may`, and no other."""
    required: Collection[str] = list(needs)
    shape: Shape = {
        "type": "object",
        "properties": {**needs, **(may or {})},
        "additionalProperties": False,
    }
    if required:
        shape["required"] = required
    if about:
        shape["description"] = about
    return shape
