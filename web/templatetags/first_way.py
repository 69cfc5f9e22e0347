"""A new club's next step, beside the words that the one before is done."""

from __future__ import annotations

from typing import Any

from django import template

from matches.models import Club
from matches.reads.access import is_secretary
from matches.reads.first_steps import first_steps
from web.first_words import club_way
from web.people import person_of

register = template.Library()


@register.inclusion_tag("desk/_next_step.html", takes_context=True)
def next_step(context: template.Context) -> dict[str, Any]:
    """What comes next on the way to the first result of the page's club: for who runs it, until one
    is published, on every page but that of the step itself."""
    request, club = context.get("request"), _club_of(context)
    if request is None or club is None or not request.user.is_authenticated:
        return {}
    if not is_secretary(person_of(request), club=club):
        return {}
    steps = first_steps([club]).get(club.pk)
    way = club_way(steps) if steps else None
    return {"way": way if way and way.href != request.path else None}


def _club_of(context: template.Context) -> Club | None:
    shown = context.get("club")
    if shown is None:
        of = context.get("match") or context.get("venue")
        shown = getattr(of, "club", None)
    return shown if isinstance(shown, Club) else None
