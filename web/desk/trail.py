"""The trail of a club: who changed what, and the head that proves it."""

from __future__ import annotations

import json
import re
from dataclasses import dataclass
from typing import Any, Final

from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from matches.models import AuditEntry, Club
from matches.reads.access import club_for_secretary
from matches.reads.trail import PAGE, chain_head, head_look, trail_people, trail_seen
from web.people import person_of
from web.trail_verbs import KINDS, kind_is, verb_said
from web.trail_words import misfit_said

from .form_numbers import number_or_none

HEAD: Final = re.compile("[0-9a-f]{64}")


@dataclass(frozen=True, slots=True)
class RowShown:
    """One row as the page says it. `detail`: pairs of a word and what was noted under it."""

    row: AuditEntry
    what: str
    who: str
    detail: list[tuple[str, str]]


@login_required
@require_safe
def trail(request: HttpRequest, slug: str) -> HttpResponse:
    """Who changed what, the newest first, and whether an earlier head is still in the chain."""
    person = person_of(request)
    club = club_for_secretary(person, slug=slug)
    kind = request.GET.get("kind", "")
    who = number_or_none(request.GET.get("who", ""))
    rows = trail_seen(
        person,
        club=club,
        kind=kind_is(kind),
        who=who,
        before=number_or_none(request.GET.get("before", "")),
    )
    length, head = chain_head(club.pk)
    asked = request.GET.get("head", "").strip().lower()
    return render(
        request,
        "desk/trail.html",
        {
            "club": club,
            "length": length,
            "head": head,
            "asked": asked,
            "found": _found(club, digest=asked) if asked else None,
            "rows": [_shown(row) for row in rows[:PAGE]],
            "older": rows[PAGE - 1].number if len(rows) > PAGE else None,
            "kind": kind,
            "who": str(who or ""),
            "kinds": [("", _("Everything")), *((key, words) for key, (words, _s) in KINDS.items())],
            "people": [
                ("", _("Everybody")),
                *((str(one.pk), one.name) for one in trail_people(club)),
            ],
        },
    )


def _shown(row: AuditEntry) -> RowShown:
    who = row.person.name if row.person else _("The program")
    detail = row.detail if isinstance(row.detail, dict) else {}
    told = [(key.replace("_", " "), _plain(value)) for key, value in detail.items()]
    return RowShown(row, verb_said(row.verb), who, told)


def _plain(value: Any) -> str:
    return value if isinstance(value, str) else json.dumps(value, ensure_ascii=False)


def _found(club: Club, *, digest: str) -> tuple[bool, str]:
    """Whether all is well with a head that was noted earlier, and what is to be said of it."""
    look = head_look(club, digest=digest if HEAD.fullmatch(digest) else "")
    if look.row is None or look.walked is None:
        return False, _(
            "No row has this head. Compare it figure by figure with what you noted; if it is "
            "right, rows up to it were changed since, or an earlier copy was put back."
        )
    row = look.row
    if look.walked.misfit and (look.walked.number or 0) <= row.number:
        return False, misfit_said(club, walked=look.walked)
    said = _(
        "Row %(n)s, written %(at)s UTC, has this head: all rows up to it are as they were."
    ) % {
        "n": row.number,
        "at": f"{row.at:%Y-%m-%d %H:%M}",
    }
    if look.walked.misfit:
        return False, f"{said} {misfit_said(club, walked=look.walked)}"
    return True, said
