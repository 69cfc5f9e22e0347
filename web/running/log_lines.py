"""How a thing that is logged is written: a line of JSON for machines, or text for people."""

from __future__ import annotations

import copy
import datetime as dt
import json
import logging
import traceback
from typing import Any, Final

from web.log_secrets import SecretsHidden

from .doing import request_id

#: What a record may carry besides its words; nothing else is written, whoever put it there.
CARRIED: Final = ("route", "method", "status", "duration_s", "task", "result")
_HIDDEN = SecretsHidden()


class JsonLines(logging.Formatter):
    """One object a line: time (RFC 3339, UTC), level, logger, message, and what is known besides.

    Of an exception its kind and where it was raised are told, never its words or the values it
    met: those can be anybody's. Query strings and secret addresses are cut out.
    """

    def format(self, record: logging.LogRecord) -> str:
        record = _without_words(record)
        _HIDDEN.filter(record)  # whoever made the handler
        at = dt.datetime.fromtimestamp(record.created, dt.UTC)
        line: dict[str, Any] = {
            "time": at.isoformat(timespec="milliseconds").replace("+00:00", "Z"),
            "level": record.levelname,
            "logger": record.name,
            "message": record.getMessage(),
        }
        if known := request_id.get():
            line["request_id"] = known
        line |= {name: record.__dict__[name] for name in CARRIED if name in record.__dict__}
        if kind := _kind(record):
            line["exception"] = kind
            line["raised"] = _places(record)
        return json.dumps(line, ensure_ascii=False, default=str)


class TextLines(logging.Formatter):
    """As `written` has it, by itself the message alone; of an exception no more than in JSON."""

    def __init__(self, written: logging.Formatter | None = None) -> None:
        super().__init__()
        self._written = written or logging.Formatter()

    def format(self, record: logging.LogRecord) -> str:
        plain = _without_words(record)
        kind, places = _kind(record), _places(record)
        plain.exc_info = plain.exc_text = None
        said = self._written.format(plain)
        return "\n".join([said, *(f"  {place}" for place in places), kind]) if kind else said


def _kind(record: logging.LogRecord) -> str:
    """What was raised; "" for nothing."""
    return record.exc_info[0].__name__ if record.exc_info and record.exc_info[0] else ""


def _places(record: logging.LogRecord) -> list[str]:
    return [
        f"{frame.filename}:{frame.lineno} {frame.name}"
        for frame in traceback.extract_tb(record.exc_info[2] if record.exc_info else None)
    ]


def _without_words(record: logging.LogRecord) -> logging.LogRecord:
    """A copy for one line. Celery puts what an exception says into the message of a failed task,
    as `exc` (its `celery.app.trace`): only the kind is left there."""
    plain = copy.copy(record)
    if isinstance(record.args, dict) and "exc" in record.args:
        plain.args = {**record.args, "exc": _kind(record) or "…"}
    return plain
