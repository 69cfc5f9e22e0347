"""Whether a match's sections are even by how their pegs fish, and the cut that is the most even."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from matches.reads.access import match_for_secretary
from matches.reads.fair_sections import Cut, SectionsChecked, sections_checked
from matches.reads.match_pegs import MatchPegs
from matches.reckon.fair_sections import Evenness
from matches.reckon.peg_form import LEAST_MATCHES
from matches.reckon.peg_ranges import ranges_text
from matches.writes.match_pegs import sections_typed
from matches.writes.page_marks import page_mark
from web.people import person_of
from web.river_strip import Strip

from .strips import section_strips


@dataclass(frozen=True, slots=True)
class CutRow:
    """One section of a cut: its strips, its pegs as they are typed, and its share in percent."""

    label: str
    pegs: str
    strips: Sequence[Strip]
    share: int
    low: int
    high: int


@login_required
@require_safe
def sections_even(request: HttpRequest, match_id: int) -> HttpResponse:
    """The sections as they stand beside the most even ones."""
    match = match_for_secretary(person_of(request), match_id=match_id)
    checked = sections_checked(match)
    now = checked.now
    return render(
        request,
        "desk/match_even.html",
        {
            "match": match,
            "club": match.club,
            "checked": checked,
            "said": _said(checked),
            "stands": _rows(now, checked.stands),
            "evenest": _rows(now, checked.evenest),
            "evenest_said": _evenest_said(checked),
            "may_cut": not (now.weighed or now.drawn),
            "mark": page_mark(sections_typed(now)),
        },
    )


def _rows(now: MatchPegs, cut: Cut | None) -> list[CutRow]:
    if cut is None:
        return []
    return [
        CutRow(
            label=run.label,
            pegs=ranges_text({*run.pegs}, walk=now.walk, left_out=now.left_out),
            strips=strips,
            share=_percent(worth.share),
            low=_percent(worth.low),
            high=_percent(worth.high),
        )
        for run, strips, worth in zip(
            cut.runs, section_strips(now, cut.runs), cut.even.sections, strict=True
        )
    ]


def _said(checked: SectionsChecked) -> str:
    """The verdict on the sections as they stand."""
    if not checked.now.runs:
        return _("There are no sections yet: cut them first.")
    if checked.lacking:
        now = checked.now
        pegs = ranges_text({*checked.lacking}, walk=now.walk, left_out=now.left_out)
        words = _(
            "Nothing can be said of these sections yet: of their pegs %(pegs)s were fished in "
            "fewer than %(least)d matches here that are published or have weights of before."
        )
        return words % {"pegs": pegs, "least": LEAST_MATCHES}
    if checked.stands is None:
        return _("There is one section only: nothing to compare.")
    even = checked.stands.even
    if even.even:
        words = _(
            "Even as far as %(n)d matches can tell. Section %(better)s beat %(difference)d in 100 "
            "of the match more than section %(worse)s; that can be luck."
        )
    else:
        words = _(
            "Uneven, as far as %(n)d matches can tell: section %(better)s beat %(difference)d in "
            "100 of the match more than section %(worse)s (nine times in ten %(low)d to %(high)d)."
        )
    return words % {"n": checked.matches, **_difference(even)}


def _evenest_said(checked: SectionsChecked) -> str:
    if checked.evenest is None:
        return ""
    even = checked.evenest.even
    if checked.is_fairer:
        words = _(
            "The fairer cut by these matches: there the sections come to %(difference)d in 100 "
            "apart (nine times in ten %(low)d to %(high)d)."
        )
    else:
        words = _(
            "By these matches its sections come to %(difference)d in 100 apart (nine times in ten "
            "%(low)d to %(high)d). It is not called fairer than what stands: luck could make that."
        )
    return words % _difference(even)


def _difference(even: Evenness) -> dict[str, object]:
    """Nobody is apart by less than nothing."""
    return {
        "better": even.better,
        "worse": even.worse,
        "difference": _percent(even.difference),
        "low": max(0, _percent(even.low)),
        "high": _percent(even.high),
    }


def _percent(share: float) -> int:
    return round(100 * share)
