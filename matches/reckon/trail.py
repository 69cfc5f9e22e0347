"""The trail of changes as a chain: each row carries the digest of the one before.

Whoever wrote down the digest of the newest row can tell later whether anything up to it was
changed, taken out, put in or moved: a linked record in the sense of Haber and Stornetta, "How to
time-stamp a digital document", Journal of Cryptology 3 (1991), section 5.1.

What a row says in words may name people, so the chain holds only a salted digest of it. The words
of a person who is erased are replaced and the salt is dropped: what stood there cannot be guessed
any more, and the chain stays whole. A later row of the trail lists every row shortened so, with the
digest of what it says since.
"""

from __future__ import annotations

import datetime as dt
import enum
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any, Final

from .canonical import canonical_digest

#: What the first row of a chain follows.
START: Final = ""
#: The verb of a row that lists shortened ones, under `SHORTENED` of its detail.
ERASING: Final = "person_erase"
SHORTENED: Final = "shortened"
#: The verb of a row that says whether a junior's name is shown, and lists what was published anew.
JUNIOR: Final = "junior_set"


@dataclass(frozen=True, slots=True)
class TrailRow:
    """One row as it is stored. `club` and `person` are their numbers, never names; `at` is aware.

    `said`: the digest of salt, subject and detail as they were written. `salt` is empty where the
    row was shortened.
    """

    number: int
    club: int | None
    person: int | None
    at: dt.datetime
    verb: str
    subject: str
    detail: Any
    salt: str
    said: str
    digest: str


class Misfit(enum.Enum):
    """Why a row does not fit."""

    MISSING = "missing"  # the next number is not there
    ALTERED = "altered"  # its digest is not that of the row after the one before
    WORDS = "words"  # its words are not those that were written
    SHORTENED = "shortened"  # no row says that it was shortened to these words
    HEAD = "head"  # the chain does not end where it was written last


@dataclass(frozen=True, slots=True)
class TrailWalked:
    """How far a chain holds: `length` rows, the last of digest `head`. `misfit` says why row
    `number` does not fit, the first that does not."""

    length: int
    head: str
    misfit: Misfit | None = None
    number: int | None = None


def said_digest(*, salt: str, subject: str, detail: Any) -> str:
    """The digest of a row's words. `salt`: 32 hex digits from a secure source."""
    return canonical_digest({"detail": detail, "salt": salt, "subject": subject})


def words_digest(*, subject: str, detail: Any) -> str:
    """The digest of what a shortened row says since."""
    return canonical_digest({"detail": detail, "subject": subject})


def row_digest(row: TrailRow, *, before: str) -> str:
    """The digest of a row after the row whose digest is `before` (`START` for the first)."""
    return canonical_digest(
        {
            "at": row.at.astimezone(dt.UTC).isoformat(timespec="microseconds"),
            "before": before,
            "club": row.club,
            "number": row.number,
            "said": row.said,
            "verb": row.verb,
            "who": row.person,
        }
    )


def trail_walk(rows: Iterable[TrailRow], *, head: tuple[int, str] | None = None) -> TrailWalked:
    """Walk one chain from its first row, by number, to the first that does not fit.

    `head`: a number of rows and the digest that the last of them has to have, where that is known.
    """
    walk = _Walk()
    for row in rows:
        misfit = walk.step(row)
        if not misfit and head and row.number == head[0] and row.digest != head[1]:
            misfit = Misfit.HEAD
        if misfit:
            missing = misfit is Misfit.MISSING
            number = walk.length + 1 if missing else row.number
            return TrailWalked(walk.length, walk.head, misfit, number)
    if head is not None and walk.length < head[0]:
        return TrailWalked(walk.length, walk.head, Misfit.HEAD, walk.length + 1)
    unlisted = [n for n, words in walk.shortened.items() if walk.listed.get(n) != words]
    if unlisted:
        return TrailWalked(walk.length, walk.head, Misfit.SHORTENED, min(unlisted))
    return TrailWalked(walk.length, walk.head)


@dataclass(slots=True)
class _Walk:
    """`shortened`: what such rows say now; `listed`: what later rows say that they were made."""

    length: int = 0
    head: str = START
    shortened: dict[int, str] = field(default_factory=dict)
    listed: dict[int, str] = field(default_factory=dict)

    def step(self, row: TrailRow) -> Misfit | None:
        if row.number != self.length + 1:
            return Misfit.MISSING
        if row_digest(row, before=self.head) != row.digest:
            return Misfit.ALTERED
        if row.salt:
            if said_digest(salt=row.salt, subject=row.subject, detail=row.detail) != row.said:
                return Misfit.WORDS
            if row.verb == ERASING:
                self.listed |= dict(row.detail.get(SHORTENED, []))
        else:
            self.shortened[row.number] = words_digest(subject=row.subject, detail=row.detail)
        self.length, self.head = row.number, row.digest
        return None
