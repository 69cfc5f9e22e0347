"""What a push was, told to the meters: how large, how many facts, what became of each."""

from __future__ import annotations

from collections.abc import Sequence

from rest_framework.request import Request

from matches.writes.facts import Outcome
from web.running import meters


def push_count(request: Request, outcomes: Sequence[Outcome]) -> None:
    """Count one push that was answered. How long it took is in the times of its route."""
    packing = "gzip" if "gzip" in request.headers.get("Content-Encoding", "").lower() else "plain"
    size = request.META.get("CONTENT_LENGTH") or ""
    if size.isascii() and size.isdigit():
        meters.PUSH_BYTES.labels(packing).observe(int(size))
    meters.PUSH_FACTS.labels(packing).observe(len(outcomes))
    for outcome in outcomes:
        meters.FACTS.labels(outcome.verdict.value).inc()
