"""Reading one fact as a phone wrote it: every fault gathered, with where it stands."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from matches.models import FactKind
from matches.reckon.peg_fields import NUMBER_LONGEST
from matches.reckon.reading import Reading, Where, is_storable
from matches.times import time_write

PROTOCOL = 1
KINDS = tuple(FactKind.values)  # read once: Django works the list out anew each time
# How far a phone can have counted. A person who logs five hundred facts on a hundred days a year
# comes to a million in twenty years; ten times that is refused only to forged or broken numbers,
# never to a phone for having been away long.
SEQ_MOST = 10_000_000
OFFSET_MOST_MS = 10**13
NEEDED = ("id", "device", "seq", "kind", "match", "recorded_at", "body")
OPTIONAL = ("peg", "clock_offset_ms", "supersedes")
# What the server added to a fact it gave out: a phone may hand it in again as it is.
ADDED = ("cseq", "received_at", "author")
# What the phone it is from signed it with, where another's session hands it in.
CARRIED = "carried"
SIGNED_LONGEST = 100

_UUID = re.compile(r"[0-9a-f]{8}-(?:[0-9a-f]{4}-){3}[0-9a-f]{12}", re.IGNORECASE)
_TIME = re.compile(
    r"(\d{4})-(\d\d)-(\d\d)T(\d\d):(\d\d):(\d\d)(\.\d{1,6})?(Z|[+-]\d\d:\d\d)", re.ASCII
)
_NIL = UUID(int=0)
_LONG_AGO = dt.datetime(2000, 1, 1, tzinfo=dt.UTC)


class RepeatedKeys(dict[str, Any]):
    """A JSON object in which a key stood twice, so that nobody knows which value was meant."""


class FactReading(Reading):
    """A reading that knows ids, times and words; see `Reading` for how faults are gathered."""

    def read_object(self, raw: object, where: Where, **keys: Any) -> dict[str, object]:
        if isinstance(raw, RepeatedKeys):
            self.fault(where, "A key stands here twice: send it once.")
        return super().read_object(raw, where, **keys)

    def read_uuid(self, raw: object, where: Where) -> UUID:
        """A UUID of any version in its 36 characters (RFC 9562, section 4)."""
        if isinstance(raw, str) and _UUID.fullmatch(raw):
            return UUID(raw)
        self.fault(where, "Write a UUID: 32 hexadecimal digits with four hyphens.")
        return _NIL

    def read_text(self, raw: object, where: Where, *, most: int, empty: bool = True) -> str:
        """Words that every database, file and page can carry (see `is_storable`)."""
        if not isinstance(raw, str):
            self.fault(where, "Write this as a string.")
        elif len(raw) > most:
            self.fault(where, f"Write at most {most} characters.")
        elif not is_storable(raw):
            self.fault(where, "A character here cannot be stored: write it anew.")
        elif not raw and not empty:
            self.fault(where, "Write something here.")
        else:
            return raw
        return ""

    def read_text_or_null(self, raw: object, where: Where, *, most: int) -> str | None:
        return None if raw is None else self.read_text(raw, where, most=most)

    def read_time(self, raw: object, where: Where) -> dt.datetime:
        """A date and time with its zone (RFC 3339), to the microsecond at most."""
        if isinstance(raw, str) and _TIME.fullmatch(raw):
            try:
                when = dt.datetime.fromisoformat(raw)
                if 1900 < when.year < 3000:
                    return when.astimezone(dt.UTC)
            except ValueError:
                pass
        self.fault(where, 'Write date, time and zone such as "2026-05-02T14:05:11.250Z".')
        return _LONG_AGO

    def read_seq(self, raw: object, where: Where) -> int:
        """The phone's own number of the fact, from 1 (see `SEQ_MOST`)."""
        if type(raw) is int and raw > SEQ_MOST:
            self.fault(where, f"No phone counts that far: write a number from 1 to {SEQ_MOST}.")
            return 1
        return self.read_whole(raw, where, least=1, most=SEQ_MOST)

    def read_match(self, raw: object, where: Where) -> int:
        """A match's number, as a string of digits or a whole number."""
        if isinstance(raw, str) and raw.isascii() and raw.isdigit() and len(raw) <= 18:
            raw = int(raw)
        if isinstance(raw, int) and not isinstance(raw, bool) and 0 < raw < 10**18:
            return raw
        self.fault(where, 'Write the number of the match, such as "12".')
        return 0


@dataclass(frozen=True, slots=True)
class Signed:
    """A phone's key and signature as they were written; neither is looked into yet."""

    key: str
    signature: str


@dataclass(frozen=True, slots=True)
class FactIn:
    """One fact of the right shape. Its body is not looked into yet."""

    id: UUID
    device: UUID
    seq: int
    kind: str
    match: int
    peg: str
    recorded_at: dt.datetime
    clock_offset_ms: int
    supersedes: UUID | None
    body: Any
    carried: Signed | None = None

    def as_json(self) -> dict[str, Any]:
        """The fact's own fields as they are written down (see `fact_digest`)."""
        return {
            "id": str(self.id),
            "device": str(self.device),
            "seq": self.seq,
            "kind": self.kind,
            "match": str(self.match),
            "peg": self.peg,
            "recorded_at": time_write(self.recorded_at),
            "clock_offset_ms": self.clock_offset_ms,
            "supersedes": str(self.supersedes) if self.supersedes else None,
            "body": self.body,
        }


def fact_read(raw: object, *, reading: FactReading) -> FactIn:
    """The fact in `raw`; what is wrong with it is noted in `reading`."""
    got = reading.read_object(raw, (), needs=NEEDED, may=(*OPTIONAL, *ADDED, CARRIED))
    fact = FactIn(
        id=reading.read_uuid(got["id"], ("id",)) if "id" in got else _NIL,
        device=reading.read_uuid(got["device"], ("device",)) if "device" in got else _NIL,
        seq=reading.read_seq(got.get("seq", 1), ("seq",)),
        kind=reading.read_word(got["kind"], ("kind",), words=KINDS) if "kind" in got else "",
        match=reading.read_match(got["match"], ("match",)) if "match" in got else 0,
        peg=reading.read_text_or_null(got.get("peg"), ("peg",), most=NUMBER_LONGEST) or "",
        recorded_at=reading.read_time(got["recorded_at"], ("recorded_at",))
        if "recorded_at" in got
        else _LONG_AGO,
        clock_offset_ms=reading.read_whole(
            got.get("clock_offset_ms", 0),
            ("clock_offset_ms",),
            least=-OFFSET_MOST_MS,
            most=OFFSET_MOST_MS,
        ),
        supersedes=reading.read_uuid(got["supersedes"], ("supersedes",))
        if got.get("supersedes") is not None
        else None,
        body=got.get("body"),
        carried=_signed_read(got[CARRIED], reading) if got.get(CARRIED) is not None else None,
    )
    _links_check(fact, reading)
    return fact


def _signed_read(raw: object, reading: FactReading) -> Signed:
    got = reading.read_object(raw, (CARRIED,), needs=("key", "signature"))
    key, signature = (
        reading.read_text(got.get(name, ""), (CARRIED, name), most=SIGNED_LONGEST)
        for name in ("key", "signature")
    )
    return Signed(key, signature)


def _links_check(fact: FactIn, reading: FactReading) -> None:
    """What the kind asks of the fields outside the body."""
    if fact.supersedes is not None and fact.supersedes == fact.id:
        reading.fault(("supersedes",), "A fact cannot supersede itself.")
    if fact.kind == FactKind.SCRATCH and fact.supersedes is None:
        reading.fault(("supersedes",), "Name the fact that this one withdraws.")
    if fact.kind == FactKind.WEIGH_IN and not fact.peg and not reading.faults:
        reading.fault(("peg",), "Name the peg that was weighed.")
