"""Pools for the tests of what a match pays."""

from __future__ import annotations

import datetime as dt
from typing import Any

from django.utils import timezone

from matches.models import Match, Pool
from matches.writes.bulletins import bulletin_publish
from matches.writes.pool_terms import FIELDS, PoolTerms, pool_terms_parse
from matches.writes.pools import pool_add


def terms(**typed: str) -> PoolTerms:
    """A pool of 5.00 each for everybody, all to the first, but for what is typed."""
    first = {"name": "Frame", "stake": "5", "who": "all", "won_by": "weight", "place-1": "100 %"}
    return pool_terms_parse({**dict.fromkeys(FIELDS, ""), **first, **typed})


def coming(match: Match) -> Match:
    """The match starts tomorrow: nothing needs a reason yet."""
    match.start_at = timezone.now() + dt.timedelta(days=1)
    match.end_at = match.start_at + dt.timedelta(hours=5)
    match.save()
    return match


def pool(world: Any, **typed: str) -> Pool:
    match = Match.objects.get(pk=world.match.pk)
    return pool_add(world.secretary, match=match, terms=terms(**typed), reason="As agreed.")


def confirm(world: Any, reason: str = "") -> None:
    match = Match.objects.get(pk=world.match.pk)
    bulletin_publish(world.secretary, match=match, confirmed=True, reason=reason)
