"""Tries at a door: counted by name and by address, with a wait that grows.

Each try is counted before it is made, and given back when it fitted: so no number of tries at once
gets past the count. During a wait nothing is tried and nothing is counted, so the wait ends when it
was said to, whoever else knocks. Counts are in the database: every process sees the same ones.
"""

from __future__ import annotations

import datetime as dt
import unicodedata
from dataclasses import dataclass
from enum import Enum

from django.db import transaction
from django.db.models import F
from django.utils import timezone
from django.utils.crypto import salted_hmac
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from matches.door_log import door_told
from matches.models import Attempts
from matches.problems import MustWait

LONGEST_WAIT = 15 * 60
FORGOTTEN_AFTER = dt.timedelta(days=1)


class Door(Enum):
    """What is tried, and how many tries that did not fit come before the first wait.

    Many sign in from one address (a clubhouse, a phone network), so an address has more.
    """

    ACCOUNT = ("account", 5)
    ADDRESS = ("address", 30)
    AGAIN = ("again", 5)  # the password asked once more of who is signed in
    LETTER = ("letter", 3)  # letters asked for, by where they go
    ASKER = ("asker", 10)  # and by the address they are asked from
    CODE = ("code", 10)  # recovery codes, by address: nobody shuts another's way in
    SECOND = ("second", 5)  # codes besides the password, by account

    def __init__(self, slug: str, free: int) -> None:
        self.slug = slug
        self.free = free

    def wait(self, failures: int) -> int:
        """Seconds to wait after so many failures: none, then 5, 10, 20 … up to a quarter hour."""
        over = failures - self.free
        return min(LONGEST_WAIT, 5 * 2 ** min(over, 10)) if over >= 0 else 0


@dataclass(frozen=True, slots=True)
class Tally:
    """One count: of a door, under one name or address."""

    door: Door
    of: str

    @property
    def key(self) -> str:
        return salted_hmac(
            "matches.attempts", f"{self.door.slug}:{self.of}", algorithm="sha256"
        ).hexdigest()


def name_folded(typed: str) -> str:
    """A name as it is counted: capitals, blanks round it and ways to write a letter are one."""
    return unicodedata.normalize("NFKC", typed).strip().casefold()


def attempt_begin(*tallies: Tally) -> None:
    """Count one try under every tally, before it is made. Raises MustWait, with nothing counted."""
    now = timezone.now()
    with transaction.atomic():
        # In one order, so that no two tries hold what the other waits for.
        rows = [(tally, _row_locked(tally, now)) for tally in sorted(tallies, key=lambda t: t.key)]
        ends = {
            row.wait_until: tally.door
            for tally, row in rows
            if row.wait_until and row.wait_until > now
        }
        if ends:
            raise _must_wait(max(ends) - now, ends[max(ends)])
        for tally, row in rows:
            row.failures = 1 + (row.failures if row.last_at > now - FORGOTTEN_AFTER else 0)
            row.last_at = now
            wait = tally.door.wait(row.failures)
            row.wait_until = now + dt.timedelta(seconds=wait) if wait else None
            row.save(update_fields=["failures", "last_at", "wait_until"])


def attempt_fitted(*, forget: Tally | None = None, give_back: Tally | None = None) -> None:
    """The try that was begun fitted: `forget` begins anew, of `give_back` this one is taken off.

    An address is never begun anew by a password that fits: it could be the guesser's own.
    """
    with transaction.atomic():
        if forget:
            Attempts.objects.filter(key=forget.key).delete()
        if give_back:
            Attempts.objects.filter(key=give_back.key, failures__gt=0).update(
                failures=F("failures") - 1, wait_until=None
            )


def attempts_sweep() -> int:
    """Drop the counts of whoever has not tried for a day. Gives how many."""
    return Attempts.objects.filter(last_at__lte=timezone.now() - FORGOTTEN_AFTER).delete()[0]


def _row_locked(tally: Tally, now: dt.datetime) -> Attempts:
    row, _made = Attempts.objects.select_for_update().get_or_create(
        key=tally.key, defaults={"last_at": now}
    )
    return row


def _must_wait(left: dt.timedelta, door: Door) -> MustWait:
    seconds = -int(-left.total_seconds() // 1)
    door_told(f"told to wait {seconds} s ({door.slug})")
    words = _(
        "This was tried too often. Wait %(time)s, then try again: until then nothing is tried."
    )
    return MustWait(words % {"time": _time_said(seconds)}, wait=seconds)


def _time_said(seconds: int) -> str:
    """Seconds up to a minute and a half, else whole minutes, rounded up."""
    if seconds <= 90:
        return ngettext("%(n)d second", "%(n)d seconds", seconds) % {"n": seconds}
    minutes = -(-seconds // 60)
    return ngettext("%(n)d minute", "%(n)d minutes", minutes) % {"n": minutes}
