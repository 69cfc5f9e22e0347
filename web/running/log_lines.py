"""A line of JSON for each thing logged, for machines that gather logs of many processes."""

from __future__ import annotations

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
        if record.exc_info and record.exc_info[0] is not None:
            line["exception"] = record.exc_info[0].__name__
            line["raised"] = [
                f"{frame.filename}:{frame.lineno} {frame.name}"
                for frame in traceback.extract_tb(record.exc_info[2])
            ]
        return json.dumps(line, ensure_ascii=False, default=str)
