"""Copies of a club, its phones logging before them and meanwhile."""

from __future__ import annotations

import threading
from pathlib import Path
from typing import Any

from tests.web.phone import Phone
from web.copies import copy_take
from web.copies.taking import Taken


def weighed(world: Any, *weights: int) -> Phone:
    phone = Phone(world.weigher, world.match)
    for weight in weights:
        phone.keep("weigh_in", "1", {"net": phone.seq + 1, "weight": weight, "unit": "g"})
        phone.sync()
    return phone


def taken_meanwhile(world: Any, together: Any, file: Path) -> Taken:
    """A copy that was begun after eight weigh-ins of a phone, which goes on until it is made."""
    begun, taken = threading.Event(), threading.Event()

    def log() -> None:
        phone = Phone(world.weigher, world.match)
        while not taken.is_set() or phone.seq < 12:
            phone.keep("weigh_in", "1", {"net": 1 + phone.seq % 9, "weight": 500, "unit": "g"})
            phone.take_in(phone.push(list(phone.outbox.values())))
            if phone.seq == 8:
                begun.set()

    def take() -> Taken:
        assert begun.wait(timeout=60)
        try:
            return copy_take(file)
        finally:
            taken.set()

    _none, copy = together([log, take])
    return copy
