"""How much is done, counted instead of timed: the same on any machine, however busy."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType
from typing import Any


class Steps:
    """`taken`: how many functions were called in this thread, those written in C among them."""

    taken = 0

    def count(self, frame: FrameType, event: str, told: Any) -> None:
        self.taken += event in ("call", "c_call")


@contextmanager
def steps_counted() -> Iterator[Steps]:
    steps, before = Steps(), sys.getprofile()
    sys.setprofile(steps.count)
    try:
        yield steps
    finally:
        sys.setprofile(before)
