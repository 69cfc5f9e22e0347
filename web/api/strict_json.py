"""Reading JSON that cannot be misread: no key twice, no NaN, no number beyond a double."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from typing import IO, Any

from django.conf import settings
from django.core.exceptions import RequestDataTooBig
from django.utils.translation import gettext as _
from rest_framework.exceptions import ParseError
from rest_framework.parsers import BaseParser


class StrictJSONParser(BaseParser):
    """JSON (RFC 8259) of at most 1 MiB, in UTF-8. What two readers could take differently is
    refused: a key that stands twice in one object, NaN and Infinity."""

    media_type = "application/json"

    def parse(
        self,
        stream: IO[Any],
        media_type: str | None = None,
        parser_context: Mapping[str, Any] | None = None,
    ) -> Any:
        most = settings.DATA_UPLOAD_MAX_MEMORY_SIZE
        raw = stream.read(most + 1)
        if len(raw) > most:
            raise RequestDataTooBig
        return json_read(raw)


def json_read(raw: bytes) -> Any:
    """The value in `raw`. Raises ParseError with a sentence that says what is wrong."""
    try:
        return json.loads(
            raw.decode("utf-8"),
            object_pairs_hook=_pairs_read,
            parse_constant=_constant_refuse,
            parse_float=_float_read,
        )
    except UnicodeDecodeError as error:
        raise ParseError(_("Send the JSON in UTF-8.")) from error
    except RecursionError as error:
        raise ParseError(_("The JSON is nested too deep.")) from error
    except json.JSONDecodeError as error:
        raise ParseError(
            _("This is not JSON: look at line %(line)d, column %(column)d.")
            % {"line": error.lineno, "column": error.colno}
        ) from error
    except ValueError as error:  # a whole number of thousands of digits
        raise ParseError(_("A number in the JSON is too long.")) from error


def _pairs_read(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) < len(pairs):
        seen: set[str] = set()
        twice = next(key for key, _value in pairs if key in seen or seen.add(key))  # type: ignore[func-returns-value]
        shown = twice[:60].encode("utf-8", "replace").decode()
        raise ParseError(_("The key “%(key)s” stands twice in one object.") % {"key": shown})
    return found


def _constant_refuse(word: str) -> Any:
    raise ParseError(_("%(word)s is not JSON: leave it out or give a number.") % {"word": word})


def _float_read(text: str) -> float:
    value = float(text)
    if not math.isfinite(value):
        raise ParseError(_("The number %(number)s is too large.") % {"number": text[:40]})
    return value
