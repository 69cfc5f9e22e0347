"""Every kind of fact and the check of its body, each from the room of its subject."""

from __future__ import annotations

from collections.abc import Mapping

from bait.writes.feed_notes import FeedNoteCheck
from matches.models import FactKind
from matches.writes.facts import BodyCheck, match_body_checks


def body_checks() -> Mapping[str, BodyCheck]:
    """Made anew for each batch: a check may keep what it looked up."""
    return {**match_body_checks(), FactKind.FEED_NOTE: FeedNoteCheck()}
