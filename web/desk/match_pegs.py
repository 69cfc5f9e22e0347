"""A match's pegs and sections: what is left out on the day, and where each section begins."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _

from matches.models import Match
from matches.problems import Code, Problem
from matches.reads.access import match_for_secretary
from matches.reads.match_pegs import MatchPegs, match_pegs
from matches.reckon.errors import BadInput
from matches.reckon.peg_ranges import pegs_read, ranges_text, sections_read
from matches.reckon.sections import (
    LINES_WITHIN_M,
    SectionRun,
    boundary_move,
    boundary_to,
    runs_even,
)
from matches.writes.match_pegs import (
    peg_left_out_back,
    pegs_leave_out,
    sections_set,
    sections_typed,
)
from web.methods import shown_and_sent
from web.people import person_of

from .field_form import FieldForm, form_sent, mark_shown
from .section_rows import (
    SectionRow,
    label_free,
    rows_faulty,
    rows_of_runs,
    rows_sent,
    sections_notes,
)

DIGITS_MOST = 4
#: Pegs in a section that is suggested unasked (common practice, no source).
SECTION_USUAL = 10


@dataclass
class Editor:
    """The sections as the page shows them: saved, suggested, moved, or typed with faults. `told`:
    that somebody changed them since the page was opened."""

    rows: list[SectionRow]
    runs: Sequence[SectionRun] = ()
    faults: list[str] = field(default_factory=list)
    unsaved: bool = False
    told: bool = False


@login_required
@shown_and_sent
def pegs(request: HttpRequest, match_id: int) -> HttpResponse:
    """Leave pegs out, cut the others into sections, move a boundary, save."""
    match = match_for_secretary(person_of(request), match_id=match_id)
    act = request.POST.get("do", "")
    if act in ("leave-out", "back"):
        return _left_out_page(request, match, act)
    now = match_pegs(match)
    if request.method != "POST":
        return _page(request, now, _editor_asked(request, now))
    editor = _editor_sent(request, now, act)
    if act == "save" and not editor.faults and editor.runs:
        try:
            again = request.POST.get("again") == "yes"
            changed = sections_set(
                person_of(request),
                match=match,
                runs=editor.runs,
                again=again,
                mark=request.POST.get("mark", ""),
            )
        except (BadInput, Problem) as refused:
            editor.told = isinstance(refused, BadInput) and refused.faults[0].pointer == "/mark"
            editor.faults += _sentences(refused)
            editor.unsaved = True
        else:
            messages.success(request, _saved_words(now, changed))
            return redirect("desk:match-pegs", match_id)
    return _page(request, now, editor)


def _saved_words(now: MatchPegs, changed: bool) -> str:
    if not changed:
        return _("Nothing differed: nothing is changed.")
    if now.drawn:
        return _("The sections are saved, and nobody has a peg: hold another draw, with a reason.")
    return _("The sections are saved.")


def _editor_asked(request: HttpRequest, now: MatchPegs) -> Editor:
    """As saved; where nothing is, or with `?sections=3`, a suggestion of so many even ones."""
    asked = request.GET.get("sections", "").strip()
    if not asked and not now.runs and now.fished and not now.weighed:
        sitting = min(len(now.fished), now.entered or len(now.fished))
        asked = str(max(1, round(sitting / SECTION_USUAL)))
    if not asked:
        return Editor(rows_of_runs(now, now.runs), now.runs)
    try:
        runs = runs_even(now.fished, sections=int(asked) if _is_place(asked) else 0)
    except BadInput as bad:
        return Editor(rows_of_runs(now, now.runs), now.runs, _sentences(bad))
    return Editor(rows_of_runs(now, runs), runs, unsaved=runs != now.runs)


def _editor_sent(request: HttpRequest, now: MatchPegs, act: str) -> Editor:
    """What was typed, with a boundary moved where that was pressed."""
    typed = rows_sent(request.POST.dict())
    try:
        runs = sections_read(typed, walk=now.walk, left_out=now.left_out)
    except BadInput as bad:
        rows, others = rows_faulty(typed, bad.faults)
        return Editor(rows, (), others or [_("Nothing is saved: mend what is marked.")], True)
    faults: list[str] = []
    try:
        runs = _moved(runs, act, to=request.POST.get("to", "").strip())
    except BadInput as bad:
        faults = _sentences(bad)
    rows = rows_of_runs(now, runs)
    way, _colon, after = act.partition(":")
    for row in rows[int(after) : int(after) + 1] if _is_place(after) else ():
        row.pressed = way
    return Editor(rows, runs, faults, unsaved=runs != now.runs)


def _is_place(text: str) -> bool:
    return text.isascii() and text.isdigit() and len(text) <= DIGITS_MOST


def _moved(runs: tuple[SectionRun, ...], act: str, *, to: str) -> tuple[SectionRun, ...]:
    way, _colon, after = act.partition(":")
    if way in ("up", "down"):
        at = int(after) if _is_place(after) else -1
        return boundary_move(runs, after=at, downstream=way == "down")
    return boundary_to(runs, peg=to) if way == "to" else runs


def _left_out_page(request: HttpRequest, match: Match, act: str) -> HttpResponse:
    """Leave pegs out, or fish one after all; with its faults where it is refused."""
    person = person_of(request)
    if act == "back":
        peg = request.POST.get("peg", "")
        try:
            peg_left_out_back(person, match=match, peg=peg)
        except Problem as refused:
            _door(refused)
            messages.error(request, refused.detail)
        else:
            words = _("Peg %(peg)s is fished after all: put it into a section.")
            messages.success(request, words % {"peg": peg})
        return redirect("desk:match-pegs", match.pk)
    now = match_pegs(match)
    form = form_sent(request.POST, names=("pegs", "reason"))
    try:
        chosen = pegs_read(form.values["pegs"], walk=now.walk, left_out=now.left_out)
        pegs_leave_out(
            person,
            match=match,
            pegs=chosen,
            reason=form.values["reason"],
            again=request.POST.get("again") == "yes",
        )
    except BadInput as bad:
        form.faults_place(bad.faults)
    except Problem as refused:
        _door(refused)
        form.others.append(refused.detail)
    else:
        messages.success(request, _("Left out: %(pegs)s.") % {"pegs": ", ".join(chosen)})
        return redirect("desk:match-pegs", match.pk)
    return _page(request, now, Editor(rows_of_runs(now, now.runs), now.runs), out=form)


def _sentences(refused: BadInput | Problem) -> list[str]:
    if isinstance(refused, BadInput):
        return [fault.message for fault in refused.faults]
    _door(refused)
    return [refused.detail]


def _door(refused: Problem) -> None:
    """A door that is shut stays a page."""
    if refused.code is not Code.CONFLICT:
        raise refused


def _page(
    request: HttpRequest, now: MatchPegs, editor: Editor, *, out: FieldForm | None = None
) -> HttpResponse:
    return render(
        request,
        "desk/match_pegs.html",
        {
            "match": now.match,
            "club": now.match.club,
            "now": now,
            "editor": editor,
            "mark": mark_shown(request.POST, stands=sections_typed(now), told=editor.told),
            "notes": [] if now.weighed else sections_notes(now, editor.runs),
            "further": label_free(editor.rows),
            "strips": [strip for row in editor.rows for strip in row.strips],
            "sections": request.GET.get("sections") or len(editor.runs) or 3,
            "near": ranges_text(set(now.near_lines), walk=now.walk, left_out=now.left_out),
            "within_m": LINES_WITHIN_M,
            "out": out or FieldForm({"pegs": "", "reason": ""}),
            "undone": request.POST.get("again") == "yes",
        },
    )
