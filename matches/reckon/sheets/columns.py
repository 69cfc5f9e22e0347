"""Which column of a file is what: by the names people give them, near misses too."""

from __future__ import annotations

import hashlib
import json
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

#: Letters of a head that are looked at.
_LOOKED_AT: Final = 40


@dataclass(frozen=True, slots=True)
class Column:
    """A column that an import reads: its own name, what it is called on the screen, and the other
    names people give it."""

    name: str
    words: str
    also: tuple[str, ...] = ()
    needed: bool = False


def columns_propose(columns: Sequence[Column], heads: Sequence[str]) -> dict[str, int]:
    """By the name of a column, at which place of the file it stands (from 0), as far as its head
    tells: first by the names themselves, then by what is nearest to one and near to no other."""
    folded = [fold(head) for head in heads]
    found: dict[str, int] = {}
    for column in columns:
        at = next((folded.index(name) for name in _names(column) if name in folded), None)
        if at is not None and at not in found.values():
            found[column.name] = at
    for n, head in enumerate(folded):
        near = _nearest(head, [c for c in columns if c.name not in found])
        if near and n not in found.values():
            found[near.name] = n
    return found


def _nearest(head: str, columns: Sequence[Column]) -> Column | None:
    """The one column that the head is a slip of the hand away from."""
    allowed = 0 if len(head) < 4 else 1 if len(head) < 8 else 2
    by_distance = sorted(
        (min(edits(head, name) for name in _names(column)), n) for n, column in enumerate(columns)
    )
    if not by_distance or not 0 < by_distance[0][0] <= allowed:
        return None
    if len(by_distance) > 1 and by_distance[1][0] == by_distance[0][0]:
        return None
    return columns[by_distance[0][1]]


def _names(column: Column) -> list[str]:
    return [fold(name) for name in (column.name, column.words, *column.also)]


def fold(text: str) -> str:
    """Letters and digits alone, without case and accents: "Peg No." and "peg_no" are one."""
    plain = unicodedata.normalize("NFKD", text.casefold())
    return "".join(c for c in plain if c.isalnum())[:_LOOKED_AT]


def edits(one: str, other: str) -> int:
    """How many letters are to be put in, left out, changed, or swapped with the next.

    The optimal string alignment distance: L. Boytsov, Indexing methods for approximate dictionary
    searching, ACM Journal of Experimental Algorithmics 16 (2011), section 2.
    """
    before: list[int] = []
    row = list(range(len(other) + 1))
    for i, a in enumerate(one, 1):
        last, before, row = before, row, [i]
        for j, b in enumerate(other, 1):
            cost = min(before[j] + 1, row[j - 1] + 1, before[j - 1] + (a != b))
            if i > 1 and j > 1 and a == other[j - 2] and one[i - 2] == b:
                cost = min(cost, last[j - 2] + 1)
            row.append(cost)
    return row[-1]


def heads_digest(heads: Sequence[str]) -> str:
    """What tells this set of heads, in their order, from every other."""
    folded = json.dumps([fold(head) for head in heads])
    return hashlib.sha256(folded.encode()).hexdigest()


def column_letter(at: int) -> str:
    """A column as a spreadsheet calls it: 1 is A, 27 is AA."""
    letters = ""
    while at:
        at, rest = divmod(at - 1, 26)
        letters = chr(65 + rest) + letters
    return letters
