"""The one way to write a fact down, so that two copies can be compared by their digest."""

from __future__ import annotations

import hashlib
import json
from typing import Any

_write = json.JSONEncoder(
    ensure_ascii=False, allow_nan=False, sort_keys=True, separators=(",", ":")
).encode


def canonical_digest(own: dict[str, Any]) -> str:
    """SHA-256 (hex) of a fact's own fields: keys sorted, no spaces, UTF-8.

    `own` is `FactIn.as_json()`: ids in lower case, `match` and `peg` as strings, `recorded_at`
    as `matches.times.time_write` writes it. What the server adds (`cseq`, author) is no part of it.
    """
    return hashlib.sha256(_write(own).encode()).hexdigest()
