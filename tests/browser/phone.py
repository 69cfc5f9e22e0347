"""A weigher's phone as the server sees it: a batch of facts over the API, from a signed-in page."""

from __future__ import annotations

import datetime as dt
import uuid
from collections.abc import Sequence
from typing import Any

from playwright.sync_api import Page

from matches.models import Match


class Phone:
    """A weigher's phone: it keeps what is weighed, then sends it when there is signal."""

    def __init__(self, page: Page, match: Match) -> None:
        self.page, self.match, self.device = page, match, str(uuid.uuid4())
        self.sent = 0

    def send(self, weights: Sequence[tuple[str, int]]) -> list[str]:
        """Send these pegs and grams; what came of each."""
        answer = self.page.context.request.post(
            "/api/v1/sync/facts",
            data={
                "protocol": 1,
                "device": self.device,
                "app": "b1",
                "facts": [self._fact(peg, grams) for peg, grams in weights],
            },
            headers={"X-CSRFToken": self._token()},
        )
        assert answer.ok, answer.text()
        return [outcome["outcome"] for outcome in answer.json()["outcomes"]]

    def _fact(self, peg: str, grams: int) -> dict[str, Any]:
        self.sent += 1
        return {
            "id": str(uuid.uuid4()),
            "device": self.device,
            "seq": self.sent,
            "kind": "weigh_in",
            "match": str(self.match.pk),
            "peg": peg,
            "recorded_at": dt.datetime.now(dt.UTC).strftime("%Y-%m-%dT%H:%M:%S.%f")[:-3] + "Z",
            "clock_offset_ms": 0,
            "supersedes": None,
            "body": {"net": 1, "weight": grams, "unit": "g", "witness": None},
        }

    def _token(self) -> str:
        cookies = self.page.context.cookies()
        return next(str(c["value"]) for c in cookies if c["name"] == "csrftoken")
