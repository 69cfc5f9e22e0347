"""What a bulletin says of its pools, in words. Nothing is worked out here."""

from __future__ import annotations

from typing import Any

from django.utils.translation import gettext as _

from web.place_words import ordinal
from web.templatetags.money import money


def pools_said(body: dict[str, Any]) -> list[dict[str, Any]]:
    """A pool a row: what it holds, who won how much of it and for what, and where the rest goes."""
    currency = body.get("currency", "")
    return [
        {
            "name": pool["name"],
            "holds": money(pool["holds"], currency),
            "open": pool["open"],
            "rows": [
                {
                    "who": paid["angler"],
                    "sum": money(paid["pence"], currency),
                    "why": _why(paid),
                }
                for paid in pool["payments"]
            ],
            "rest": money(pool["unallocated"], currency) if pool["unallocated"] else "",
            "rest_to": pool["rest_to"],
        }
        for pool in body.get("pools", [])
    ]


def _why(paid: dict[str, Any]) -> str:
    if paid["for"] == "section":
        return _("best of section %(section)s") % {"section": paid["section"]}
    places = ", ".join(ordinal(place) for place, _pence in paid["prizes"])
    if paid["equals"] == 1:
        return places
    return _("%(places)s, shared by %(n)s") % {"places": places, "n": paid["equals"]}
