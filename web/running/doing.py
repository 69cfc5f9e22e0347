"""What this process is at just now: the id that ties together all that one request brings about."""

from __future__ import annotations

import re
import uuid
from contextvars import ContextVar
from typing import Final

HEADER: Final = "X-Request-ID"
_GIVEN = re.compile(r"[A-Za-z0-9._-]{8,64}")
#: Empty outside a request or a task.
request_id: ContextVar[str] = ContextVar("request_id", default="")


def request_id_take(given: str) -> str:
    """The id a proxy gave if it is a plain word, else a new one: it goes into logs and headers."""
    return given if _GIVEN.fullmatch(given) else uuid.uuid4().hex
