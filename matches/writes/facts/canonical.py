"""The one way to write a fact down, so that two copies can be compared by their digest."""

from __future__ import annotations

from typing import Any

from matches.reckon.canonical import canonical_digest


def fact_digest(own: dict[str, Any]) -> str:
    """SHA-256 (hex) of a fact's own fields as canonical JSON.

    `own` is `FactIn.as_json()`: ids in lower case, `match` and `peg` as strings, `recorded_at`
    as `matches.times.time_write` writes it. What the server adds (`cseq`, author) is no part of it.
    """
    return canonical_digest(own)
