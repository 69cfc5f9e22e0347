"""How often a trial by chance is made: often enough in every run, and in full when asked for.

`make thorough` sets THOROUGH=1 and makes every trial as often as the promise names it.
"""

from __future__ import annotations

import os

IN_FULL = bool(os.environ.get("THOROUGH"))


def trials(every_run: int, *, in_full: int) -> int:
    return in_full if IN_FULL else every_run
