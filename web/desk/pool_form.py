"""The fields of a pool, for the page that sets one up and the one that changes it."""

from __future__ import annotations

from typing import Any

from django.utils.translation import gettext as _

from matches.models import Match, WonBy
from matches.writes.pool_terms import PLACE_FIELDS
from web.place_words import ordinal

from .field_form import FieldForm


def form_context(match: Match, form: FieldForm) -> dict[str, Any]:
    """What the fields' template takes."""
    return {
        "club": match.club,
        "currency": match.club.currency,
        "match": match,
        "runs": True,
        "form": form,
        "who": [("all", _("everybody with a place")), ("opt_in", _("only who chooses it"))],
        "won_by": WonBy.choices,
        "places": [
            (key, ordinal(n), form.values.get(key, ""), form.faults.get(key, ""))
            for n, key in enumerate(PLACE_FIELDS, 1)
        ],
    }
