"""Reading what a phone pushes: bounded before and after unpacking, and JSON to the letter."""

from __future__ import annotations

import json
import zlib
from collections.abc import Mapping
from dataclasses import dataclass
from typing import IO, Any, NoReturn
from uuid import UUID

from django.http import UnreadablePostError
from django.utils.translation import gettext as _
from rest_framework.parsers import BaseParser

from matches.problems import Code, Problem
from matches.reckon.errors import Fault
from matches.writes.facts.shape import PROTOCOL, FactReading, RepeatedKeys

UNPACKED_MOST = 256 * 1024
FACTS_MOST = 500
BUILD_LONGEST = 40


class FactsParser(BaseParser):
    """JSON, plain or gzipped, of at most 256 KiB unpacked. Raises Problem."""

    media_type = "application/json"

    def parse(
        self,
        stream: IO[Any],
        media_type: str | None = None,
        parser_context: Mapping[str, Any] | None = None,
    ) -> Any:
        request = (parser_context or {})["request"]
        try:
            packed = stream.read(UNPACKED_MOST + 1)
        except UnreadablePostError as error:
            raise _malformed(_("The body ended early. Send it again.")) from error
        encoding = request.META.get("HTTP_CONTENT_ENCODING", "").strip().lower()
        return json_read(unpack(packed, encoding=encoding))


def unpack(packed: bytes, *, encoding: str) -> bytes:
    """The plain bytes of a body. Raises Problem TOO_LARGE, MALFORMED or MEDIA_TYPE."""
    if len(packed) > UNPACKED_MOST:
        raise _too_large()
    if encoding in ("", "identity"):
        return packed
    if encoding not in ("gzip", "x-gzip"):
        raise Problem(Code.MEDIA_TYPE, _("Send the body plain or as gzip."))
    unzip = zlib.decompressobj(wbits=31)
    try:
        plain = unzip.decompress(packed, UNPACKED_MOST + 1)
    except zlib.error as error:
        raise _malformed(_("The gzip cannot be unpacked. Send it again.")) from error
    if len(plain) > UNPACKED_MOST:
        raise _too_large()
    if not unzip.eof or unzip.unused_data:
        raise _malformed(_("The gzip is cut short or has something after it. Send it again."))
    return plain


def json_read(body: bytes) -> Any:
    """The JSON value in `body` (RFC 8259: UTF-8, no NaN). Raises Problem MALFORMED.

    An object with a key twice comes as RepeatedKeys: who reads it refuses that object alone.
    """
    try:
        return json.loads(
            body.decode("utf-8"), object_pairs_hook=_object, parse_constant=_constant_refuse
        )
    except RecursionError as error:
        raise _malformed(_("This is nested too deeply.")) from error
    except ValueError as error:
        raise _malformed(_("This is not JSON in UTF-8. Send it again.")) from error


def _object(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    made = dict(pairs)
    return made if len(made) == len(pairs) else RepeatedKeys(made)


def _constant_refuse(word: str) -> NoReturn:
    raise ValueError(f"{word} is not JSON")


@dataclass(frozen=True, slots=True)
class Push:
    """One push: the device that calls, the build of its app, and facts not looked into yet."""

    device: UUID
    app: str
    facts: list[object]


def push_read(raw: object) -> Push:
    """The envelope of a push. Raises Problem TOO_LARGE, or BadInput with pointers into it."""
    reading = FactReading()
    got = reading.read_object(raw, (), needs=("protocol", "device", "facts"), may=("app",))
    facts = reading.read_list(got["facts"], ("facts",)) if "facts" in got else []
    if len(facts) > FACTS_MOST:
        words = _("Send at most %(most)s facts at once.") % {"most": FACTS_MOST}
        raise Problem(Code.TOO_LARGE, words, Fault("/facts", words))
    if "protocol" in got and (type(got["protocol"]) is not int or got["protocol"] != PROTOCOL):
        reading.fault(("protocol",), _("This server speaks protocol 1: update the app."))
    push = Push(
        device=reading.read_uuid(got.get("device"), ("device",)),
        app=reading.read_text(got.get("app", ""), ("app",), most=BUILD_LONGEST),
        facts=facts,
    )
    reading.finish()
    return push


def _malformed(words: str) -> Problem:
    return Problem(Code.MALFORMED, words, Fault("", words))


def _too_large() -> Problem:
    return Problem(Code.TOO_LARGE, _("Send at most 256 KiB at once: halve the batch."))
