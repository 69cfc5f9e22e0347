"""What an earlier explanation found, read back, so that its questions are not asked again."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from typing import Any

from matches.reckon.money import pence_parse

from .again import Change, Figure, WhatIf
from .answer import BaitAmount


def figures_known(raw: Mapping[str, Any], *, steps: Mapping[str, str]) -> dict[Figure, WhatIf]:
    """Every answer in an explanation's own JSON, by what was asked.

    `steps`: the unit of one more of each bait now; answers in another unit are left out.
    """
    if raw["total"] is None:
        return {}
    base = pence_parse(raw["total"])
    found = _found(raw, steps=steps)
    return {figure: _what_if(known, base=base) for figure, known in found if known is not None}


def _found(raw: Mapping[str, Any], *, steps: Mapping[str, str]) -> Iterator[tuple[Figure, Any]]:
    for way in raw["alternatives"]:
        if way["kind"] == "only":
            yield Figure("only", way["supplier"]), way["order"]
    for shop in raw["shops"]:
        yield Figure("dropped", shop["supplier"]), shop["dropped"]
        yield Figure("minimum", shop["supplier"]), shop["without_minimum"]
        yield Figure("free_delivery", shop["supplier"]), shop["without_free_delivery"]
    for bait in raw["baits"]:
        if steps.get(bait["bait"]) == bait["unit"]:
            yield Figure("one_more", bait["bait"]), bait["one_more"]
            yield Figure("one_less", bait["bait"]), bait["one_less"]
    for line in raw["lines"]:
        yield Figure("without", line["pack"]), line["without"]


def _what_if(raw: Mapping[str, Any], *, base: int) -> WhatIf:
    total, compares = pence_parse(raw["total"]), raw["difference"] is not None
    return WhatIf(
        total=total,
        difference=total - base if compares else None,
        delivery_difference=_signed(raw["delivery_difference"]),
        packs=raw["packs"],
        suppliers=tuple(raw["suppliers"]),
        left_over=_amounts(raw["left_over"]),
        missing=_amounts(raw["missing"]),
        gained=_amounts(raw["gained"]),
        changes=tuple(Change(c["pack"], c["before"], c["after"]) for c in raw["changes"]),
    )


def _signed(text: str) -> int:
    return -pence_parse(text[1:]) if text.startswith("-") else pence_parse(text)


def _amounts(rows: list[dict[str, str]]) -> tuple[BaitAmount, ...]:
    return tuple(
        BaitAmount(row["bait"], Fraction(row["amount"]), row["unit"], row.get("why"))
        for row in rows
    )
