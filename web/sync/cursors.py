"""Where a pull goes on: a word that only this server reads."""

from __future__ import annotations

import base64
import binascii
import json
from dataclasses import dataclass

from django.utils.translation import gettext as _

from matches.problems import Problem, bad_field


@dataclass(frozen=True, slots=True)
class Cursor:
    """The last `cseq` given out, of what (`scope`), and in which epoch of the club."""

    epoch: str
    scope: str
    cseq: int


def cursor_write(cursor: Cursor) -> str:
    plain = json.dumps([cursor.epoch, cursor.scope, cursor.cseq], separators=(",", ":"))
    return base64.urlsafe_b64encode(plain.encode()).decode().rstrip("=")


def cursor_read(text: str) -> Cursor:
    """Raises Problem BAD_INPUT for a word this server did not give."""
    try:
        plain = base64.b64decode(text + "=" * (-len(text) % 4), altchars=b"-_", validate=True)
        epoch, scope, cseq = json.loads(plain)
    except (binascii.Error, ValueError, TypeError, RecursionError) as error:
        raise _unknown() from error
    if not (isinstance(epoch, str) and isinstance(scope, str) and type(cseq) is int):
        raise _unknown()
    if not 0 <= cseq < 2**63:
        raise _unknown()
    return Cursor(epoch, scope, cseq)


def cursor_start(text: str, *, epoch: str, scope: str) -> int:
    """The `cseq` to go on after: 0 at the beginning and after the epoch changed."""
    if not text:
        return 0
    cursor = cursor_read(text)
    if cursor.scope != scope:
        raise _unknown()
    return cursor.cseq if cursor.epoch == epoch else 0


def _unknown() -> Problem:
    words = _("This is not where a pull of these facts ended. Leave it out to begin again.")
    return bad_field("/after", words)
