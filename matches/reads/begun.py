"""Whether anybody has begun with this site."""

from __future__ import annotations

from typing import Final

from django.core.cache import cache

from matches.models import Club, Person

KEY: Final = "site.begun"


def site_waits_for() -> str:
    """What an empty site needs first: "account" or "club"; "" once there is a club.

    Asked of the database only until there is one, and remembered from then on.
    """
    if cache.get(KEY):
        return ""
    if Club.objects.exists():
        cache.set(KEY, True, None)
        return ""
    return "club" if Person.objects.exists() else "account"
