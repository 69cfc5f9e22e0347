"""Where a feed is thrown: what the body of such a fact must hold, and keeping one at the desk."""

from __future__ import annotations

from collections.abc import Mapping

from django.db import transaction
from django.utils.translation import gettext as _

from bait.reads.feed_throws import FedKind, ThrowPlace, throws_of_entry
from matches.models import DrawnPeg, Entry, FactKind, Match, Person
from matches.problems import Code, Problem
from matches.writes.facts import fact_log_at_desk
from matches.writes.facts.shape import FactReading

from .club_baits import ClubBaits

#: From and to, in centimetres: upstream of where the rig goes in (below zero downstream), out from
#: the bank, and the length of a rod that distances are told in.
UPSTREAM_CM = (-10_000, 10_000)
OUT_CM = (0, 10_000)
ROD_CM = (50, 2_000)
BALL_MM = (20, 200)


class FeedThrowCheck:
    """Checks throws of one batch."""

    def __init__(self, baits: ClubBaits) -> None:
        self._baits = baits

    def __call__(self, reading: FactReading, body: object, *, match: Match) -> None:
        """`{"bait": key or "ball_mm": whole, "upstream_cm": whole}`, and where known `"out_cm"`
        and `"rod_cm"`, whole or null.
        """
        raw = reading.read_object(
            body,
            ("body",),
            needs=("upstream_cm",),
            may=("bait", "ball_mm", "out_cm", "rod_cm"),
        )
        given = [key for key in ("bait", "ball_mm") if raw.get(key) is not None]
        if isinstance(body, dict) and len(given) != 1:
            reading.fault(("body",), "Say what is thrown: a bait, or balls of so many mm.")
        elif given == ["bait"]:
            self._baits.check(reading, raw["bait"], ("body", "bait"), match=match)
        bounds = {
            "ball_mm": BALL_MM,
            "upstream_cm": UPSTREAM_CM,
            "out_cm": OUT_CM,
            "rod_cm": ROD_CM,
        }
        for key, (least, most) in bounds.items():
            if raw.get(key) is not None:
                reading.read_whole(raw[key], ("body", key), least=least, most=most)
        if "upstream_cm" in raw and raw["upstream_cm"] is None:
            reading.fault(("body", "upstream_cm"), "Say how far upstream it goes in.")


def feed_throws_keep(
    person: Person, *, entry: Entry, wanted: Mapping[FedKind, ThrowPlace | None]
) -> int:
    """Make these the entry's throws; None takes one out. How many were changed.

    One transaction, a fact each, as the person's phone would log it; what stays as it is is not
    logged anew. Raises Problem NOT_ALLOWED for anybody but the entry's own person, and what
    `fact_log_at_desk` raises.
    """
    if entry.angler.person_id != person.pk:
        raise Problem(Code.NOT_ALLOWED, _("Throws are planned by who throws them."))
    with transaction.atomic():
        kept = throws_of_entry(entry)
        peg = DrawnPeg.objects.filter(entry=entry).values_list(
            "section_peg__peg__number", flat=True
        )
        at = peg.first() or ""
        changed = 0
        for feed, place in wanted.items():
            before = kept.get(feed.key)
            if place == (before.place if before else None):
                continue
            changed += 1
            supersedes = before.fact if before else None
            body: dict[str, object] = {"why": "taken out at the desk"}
            if place is not None:
                of = {"bait": feed.bait} if feed.bait else {"ball_mm": feed.ball_mm}
                body = {
                    **of,
                    "upstream_cm": place.upstream_cm,
                    "out_cm": place.out_cm,
                    "rod_cm": place.rod_cm,
                }
            fact_log_at_desk(
                person,
                match=entry.match,
                kind=FactKind.SCRATCH if place is None else FactKind.FEED_THROW,
                peg=at,
                body=body,
                supersedes=supersedes,
                body_checks={FactKind.FEED_THROW: FeedThrowCheck(ClubBaits())},
            )
    return changed
