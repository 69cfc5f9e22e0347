"""Where a pull goes on: a word that only this server reads.

It is signed, so that nobody makes one up that leads beyond the club's counter: what does was given
before a copy was put back, and has the whole club read anew. One of before words were signed, or
signed with another SECRET_KEY, leads on as ever, but never beyond.
"""

from __future__ import annotations

import base64
import binascii
import json
from dataclasses import dataclass

from django.utils.crypto import constant_time_compare, salted_hmac
from django.utils.translation import gettext as _

from matches.problems import Problem, bad_field


@dataclass(frozen=True, slots=True)
class Cursor:
    """The last `cseq` given out, of what (`scope`), in which epoch of the club; `ours`: signed."""

    epoch: str
    scope: str
    cseq: int
    ours: bool = False


def cursor_write(cursor: Cursor) -> str:
    signature = _signature(cursor.epoch, cursor.scope, cursor.cseq)
    parts = [cursor.epoch, cursor.scope, cursor.cseq, signature]
    plain = json.dumps(parts, separators=(",", ":"))
    return base64.urlsafe_b64encode(plain.encode()).decode().rstrip("=")


def cursor_read(text: str) -> Cursor:
    """Raises Problem BAD_INPUT for a word this server did not give."""
    try:
        plain = base64.b64decode(text + "=" * (-len(text) % 4), altchars=b"-_", validate=True)
        epoch, scope, cseq, *signed = json.loads(plain)
    except (binascii.Error, ValueError, TypeError, RecursionError) as error:
        raise _unknown() from error
    if not (isinstance(epoch, str) and isinstance(scope, str) and type(cseq) is int):
        raise _unknown()
    if not 0 <= cseq < 2**63:
        raise _unknown()
    return Cursor(epoch, scope, cseq, ours=_is_signed(signed, _signature(epoch, scope, cseq)))


def cursor_start(text: str, *, epoch: str, scope: str, counted: int) -> int:
    """The `cseq` to go on after: 0 at the beginning and after the epoch changed.

    More than the club has `counted` only where this server said so.
    """
    if not text:
        return 0
    cursor = cursor_read(text)
    if cursor.scope != scope:
        raise _unknown()
    known = cursor.epoch == epoch and (cursor.ours or cursor.cseq <= counted)
    return cursor.cseq if known else 0


def _is_signed(by: list[object], signature: str) -> bool:
    match by:
        case [str(given)] if given.isascii():
            return constant_time_compare(given, signature)
    return False


def _signature(epoch: str, scope: str, cseq: int) -> str:
    said = f"{epoch} {scope} {cseq}".encode("utf-8", "replace")
    return salted_hmac("web.sync.cursors", said, algorithm="sha256").hexdigest()[:24]


def _unknown() -> Problem:
    words = _("This is not where a pull of these facts ended. Leave it out to begin again.")
    return bad_field("/after", words)
