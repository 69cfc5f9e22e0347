"""Every kind of fact and the check of its body, each from the room of its subject."""

from __future__ import annotations

from collections.abc import Mapping

from bait.writes.club_baits import ClubBaits
from bait.writes.feed_notes import FeedNoteCheck
from bait.writes.feed_tests import FeedTestCheck
from bait.writes.feed_throws import FeedThrowCheck
from matches.models import FactKind
from matches.writes.facts import BodyCheck, match_body_checks


def body_checks() -> Mapping[str, BodyCheck]:
    """Made anew for each batch: a check may keep what it looked up."""
    baits = ClubBaits()
    return {
        **match_body_checks(),
        FactKind.FEED_NOTE: FeedNoteCheck(baits),
        FactKind.FEED_TEST: FeedTestCheck(baits),
        FactKind.FEED_THROW: FeedThrowCheck(baits),
    }
