"""JSON in the one form a digest is taken of, so that anybody can take it again."""

from __future__ import annotations

import hashlib
import json
from typing import Any


def canonical_json(body: Any) -> bytes:
    """UTF-8, keys sorted, no spaces, nothing escaped that need not be, no line end."""
    text = json.dumps(
        body, sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False
    )
    return text.encode()


def canonical_digest(body: Any) -> str:
    """SHA-256 (FIPS 180-4) of that, in 64 lower-case hex digits."""
    return hashlib.sha256(canonical_json(body)).hexdigest()
