"""What of a club is written out whole: a table, its columns in words, and its rows one by one."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any, Final

from django.db.models import QuerySet

from matches.models import Club

CHUNK: Final = 500


@dataclass(frozen=True, slots=True)
class ClubTable:
    """`columns` are (name, meaning and unit); `rows` yields cells in their order, never all of them
    at once. Fetch the club through `matches.reads.access` first."""

    file: str
    about: str
    columns: Sequence[tuple[str, str]]
    rows: Callable[[Club], Iterable[Sequence[Any]]]


def values(rows: QuerySet[Any], *paths: str) -> Iterator[Sequence[Any]]:
    """The values at these paths of each row, a few hundred rows in memory at a time."""
    return rows.values_list(*paths).iterator(chunk_size=CHUNK)
