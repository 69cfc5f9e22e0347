"""A bench in parts: where one fails, a row says so in its place, and the next are measured."""

from __future__ import annotations

import sys
import traceback
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Final

from .rows import Row, tell

WORDS_MOST: Final = 200
_failed: list[str] = []


@contextmanager
def part(what: str, size: str = "") -> Iterator[None]:
    """One thing that is measured; why it failed stands in its place."""
    try:
        yield
    except Exception as error:  # noqa: BLE001  (whatever it is, the rest is measured)
        traceback.print_exc()
        why = next(iter(f"{type(error).__name__}: {error}".splitlines()))
        tell(Row(what, size, said=f"it failed: {why[:WORDS_MOST]}"))
        _failed.append(what)


def run(main: Callable[[], None]) -> None:
    """The whole of a bench; it ends with 1 where a part failed."""
    with part("what came after"):
        main()
    sys.exit(1 if _failed else 0)
