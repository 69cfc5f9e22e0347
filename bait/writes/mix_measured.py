"""What a squeeze test measured goes into the plan's mix, as a new version of the plan."""

from __future__ import annotations

from collections.abc import Mapping

from django.utils.translation import gettext as _

from bait.models import Plan
from bait.reads.phone import plan_json
from bait.reads.plans import plan_of_entry
from matches.models import Entry, Person
from matches.problems import Code, Problem

from .plan_content import plan_content_parse
from .plans import plan_save

MEASURED = frozenset({"film_mm", "squeeze"})


def mix_measured_keep(
    person: Person, *, entry: Entry, version: int, mix: str, figures: Mapping[str, str]
) -> Plan:
    """Save `figures` ("film_mm", "squeeze"; decimal strings) in the mix of that name.

    `version` is the plan's that was looked at. Raises Problem CONFLICT where another was saved
    meanwhile or the mix is gone, NOT_ALLOWED, and BadInput for figures out of range.
    """
    plan = plan_of_entry(entry)
    raw = None if plan is None else {**plan_json(plan), "version": version}
    found = [row for row in raw["mixes"] if row["name"] == mix] if raw else []
    if not found:
        raise Problem(
            Code.CONFLICT, _("The plan has no such mix any more: look at it, then measure again.")
        )
    found[0].update({key: figures[key] for key in MEASURED & set(figures)})
    return plan_save(person, entry=entry, content=plan_content_parse(raw))
