"""Sentences about the trail of changes: whether its chain holds, and what its rows are about."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from matches.models import AuditEntry, Club
from matches.reads.trail import chain_rows, chain_walked, chains
from matches.reckon.trail import Misfit, TrailWalked

WHY: Final = {
    Misfit.MISSING: gettext_lazy("is not there, or its number was changed"),
    Misfit.ALTERED: gettext_lazy("was changed, or does not follow from the row before it"),
    Misfit.WORDS: gettext_lazy("does not say what was written"),
    Misfit.SHORTENED: gettext_lazy("was shortened, and no row says that it was"),
    Misfit.HEAD: gettext_lazy("is not where the trail was last written to"),
}


def chain_name(club: Club | None) -> str:
    return club.name if club else _("Of no club")


def trail_faults() -> Iterator[str]:
    """Of each chain the first row that does not fit."""
    for club in chains():
        walked = chain_walked(club.pk if club else None)
        if walked.misfit:
            yield misfit_said(club, walked=walked)


def misfit_said(club: Club | None, *, walked: TrailWalked) -> str:
    """`walked`: a chain that does not hold."""
    assert walked.misfit is not None
    row = chain_rows(club.pk if club else None).filter(number=walked.number or 0).first()
    return _("Trail of %(club)s: row %(n)s %(what)s%(why)s.") % {
        "club": chain_name(club),
        "n": walked.number,
        "what": _row_said(row),
        "why": WHY[walked.misfit],
    }


def _row_said(row: AuditEntry | None) -> str:
    return f"({row.verb}, {row.at:%Y-%m-%d %H:%M} UTC) " if row else ""
