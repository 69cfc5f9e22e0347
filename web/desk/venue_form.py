"""How a venue's pegs have fished, for the secretary who cuts the sections."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from matches.models import Peg, RiverLevel
from matches.reads.access import club_for_secretary
from matches.reads.peg_form import Conditions, venue_form
from matches.reads.venues import venue_of
from matches.reckon.peg_form import LEAST_MATCHES, PegForm
from web.people import person_of

WIDE = 160


@dataclass(frozen=True, slots=True)
class FormRow:
    """One peg: shares in whole percent, and where its interval lies on a line WIDE long."""

    peg: Peg
    form: PegForm
    beaten: int
    value: int
    low: int
    high: int
    x: int
    left: int
    wide: int


@dataclass(frozen=True, slots=True)
class WhenCell:
    """A peg under one condition: shares in whole percent, or only how often it was fished."""

    matches: int
    verdict: str = "few"
    value: int = 0
    low: int = 0
    high: int = 0


@dataclass(frozen=True, slots=True)
class WhenTable:
    """Pegs by condition: the conditions' names with their matches, and a row of cells a peg.

    A peg without a condition it was fished under often enough has no row.
    """

    heads: Sequence[tuple[str, int]]
    rows: Sequence[tuple[Peg, Sequence[WhenCell]]]


@login_required
@require_safe
def venue_pegs_form(request: HttpRequest, slug: str, venue_id: int) -> HttpResponse:
    """Each peg against the others of its sections, over all published matches there and those of
    before."""
    club = club_for_secretary(person_of(request), slug=slug)
    venue = venue_of(club, venue_id=venue_id)
    found = venue_form(venue)
    pegs = [peg for peg, _form in found.pegs]
    return render(
        request,
        "desk/venue_form.html",
        {
            "club": club,
            "venue": venue,
            "matches": found.matches,
            "past": found.past,
            "least": LEAST_MATCHES,
            "rows": [_row(peg, form) for peg, form in found.pegs if form is not None],
            "seasons": _table(pegs, found.seasons, names=season_names()),
            "levels": _table(pegs, found.levels, names=_level_names(found.boards)),
            "wide": WIDE,
            "half": WIDE // 2,
        },
    )


def season_names() -> dict[str, str]:
    """The seasons with their days, as `matches.reckon.seasons` parts them."""
    return {
        "spring": _("15 March to 15 June"),
        "summer": _("16 June to August"),
        "autumn": _("September to November"),
        "winter": _("December to 14 March"),
    }


def _level_names(boards: Mapping[str, tuple[int, int]]) -> dict[str, str]:
    """Each level, and what the gauge board read then where that is known."""
    names = {str(level): str(level.label) for level in RiverLevel}
    for level, (least, most) in boards.items():
        said = {"level": names[level], "least": least, "most": most}
        names[level] = (
            _("%(level)s, %(least)d cm") % said
            if least == most
            else _("%(level)s, %(least)d to %(most)d cm") % said
        )
    return names


def _table(pegs: Sequence[Peg], when: Conditions, *, names: dict[str, str]) -> WhenTable:
    cells = [
        (peg, [_cell(when.forms.get((peg.number, condition))) for condition in when.matches])
        for peg in pegs
    ]
    return WhenTable(
        heads=[(names[condition], many) for condition, many in when.matches.items()],
        rows=[row for row in cells if any(cell.verdict != "few" for cell in row[1])],
    )


def _cell(form: PegForm | None) -> WhenCell:
    if form is None or form.verdict == "few":
        return WhenCell(form.matches if form else 0)
    low, value, high = _percents(form)
    return WhenCell(form.matches, form.verdict, value, low, high)


def _percents(form: PegForm) -> tuple[int, int, int]:
    believed = form.believed
    low, value, high = (
        round(100 * min(1.0, max(0.0, share)))
        for share in (believed.low, believed.value, believed.high)
    )
    return low, value, high


def _row(peg: Peg, form: PegForm) -> FormRow:
    low, value, high = _percents(form)
    left = WIDE * low // 100
    return FormRow(
        peg=peg,
        form=form,
        beaten=round(100 * form.beaten),
        value=value,
        low=low,
        high=high,
        x=WIDE * value // 100,
        left=left,
        wide=max(1, WIDE * high // 100 - left),
    )
