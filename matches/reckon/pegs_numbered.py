"""Pegs numbered 1, 2, 3 … of which nothing else is known yet."""

from __future__ import annotations

from typing import Final

from matches.reckon.decimals import digits_read

from .errors import BadInput, Fault
from .peg_fields import PegLine

PEGS_MOST: Final = 500


def pegs_numbered(text: str) -> list[PegLine]:
    """So many pegs as `text` says; none for an empty text. Raises BadInput at "/pegs"."""
    text = text.strip()
    if not text:
        return []
    count = digits_read(text, most=PEGS_MOST)
    if not count:
        raise BadInput(Fault("/pegs", f"Write how many pegs, from 1 to {PEGS_MOST}, or nothing."))
    return [PegLine(number, str(number), {}) for number in range(1, count + 1)]
