"""How far a worker is, in words."""

from __future__ import annotations

from django.utils.translation import gettext as _

from matches.models import WorkRequest, WorkState


def progress_words(work: WorkRequest) -> str:
    """One sentence for a page or a poll; empty once the work is over."""
    if work.state == WorkState.WAITING:
        return _("Waiting for its turn. This page goes on by itself.")
    if work.state != WorkState.RUNNING:
        return ""
    match work.progress:
        case "reading":
            return _("Reading what was noted and weighed.")
        case "weighing":
            return _("Weighing up what was fed against what was caught.")
        case "comparing":
            return _("Comparing with what each member would pay alone.")
        case "explaining":
            return _("Solving the order again, with one thing changed each time.")
        case "sharing" | "done":
            return _("Sharing the cost.")
        case _:
            return _("Looking for the cheapest order that covers everybody.")
