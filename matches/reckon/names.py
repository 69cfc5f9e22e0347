"""Names taken out of what was written, with other words put in their place."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping
from typing import Any


def names_replaced(value: Any, *, names: Mapping[str, str]) -> Any:
    """`value`, plain JSON, with every whole name in its texts replaced by what `names` has for it.

    A longer name goes before one that is part of it; keys stay as they are.
    """
    known = sorted((name for name in names if name), key=len, reverse=True)
    if not known:
        return value
    pattern = re.compile(rf"(?<!\w)(?:{'|'.join(map(re.escape, known))})(?!\w)")
    return _replaced(value, pattern, names)


def _replaced(value: Any, pattern: re.Pattern[str], names: Mapping[str, str]) -> Any:
    if isinstance(value, str):
        return pattern.sub(lambda found: names[found.group()], value)
    if isinstance(value, dict):
        return {key: _replaced(held, pattern, names) for key, held in value.items()}
    if isinstance(value, list):
        return [_replaced(held, pattern, names) for held in value]
    return value


def body_redacted(
    body: Any, *, entries: Collection[int], names: Mapping[str, str], name: str
) -> Any:
    """A bulletin's or league table's body without somebody's names: those in `names` are replaced
    wherever they stand, and whatever one of the `entries` is called (a junior's initials) is
    `name`, there and at its peg."""
    pegs = {row["peg"] for row in _rows(body) if row.get("entry") in entries and "peg" in row}
    return _renamed(names_replaced(body, names=names), entries, pegs, name)


def _rows(value: Any) -> list[dict[str, Any]]:
    if isinstance(value, dict):
        inner = [row for held in value.values() for row in _rows(held)]
        return [value, *inner] if "angler" in value else inner
    return [row for held in value for row in _rows(held)] if isinstance(value, list) else []


def _renamed(value: Any, entries: Collection[int], pegs: Collection[str], name: str) -> Any:
    if isinstance(value, list):
        return [_renamed(held, entries, pegs, name) for held in value]
    if not isinstance(value, dict):
        return value
    row = {key: _renamed(held, entries, pegs, name) for key, held in value.items()}
    if "angler" in row and (row.get("entry") in entries or row.get("peg") in pegs):
        row["angler"] = name
    return row
