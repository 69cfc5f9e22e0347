"""How far a worker is, told to its row while it reckons."""

from __future__ import annotations

import time

from matches.writes.work import Claim, work_renew

RENEW_EVERY_S = 0.3


class WorkProgress:
    """Tells the row how far the calculator is, at most a few times a second.

    Raises LeaseLost when another worker holds the row now.
    """

    def __init__(self, claim: Claim) -> None:
        self.claim = claim
        self.told_at = float("-inf")

    def __call__(self, percent: int, words: str) -> None:
        if time.monotonic() - self.told_at >= RENEW_EVERY_S:
            work_renew(self.claim, percent=percent, words=words)
            self.told_at = time.monotonic()
