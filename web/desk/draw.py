"""The secretary's page of the draw: its commitment, the draw at once or angler by angler."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _

from matches.models import Draw, Match, Person
from matches.problems import Problem
from matches.reads import access, board
from matches.reads.draws import draw_counts, telling_of
from matches.reckon.errors import BadInput
from matches.writes.draw_telling import draw_begin, draw_tell, draw_tell_rest
from matches.writes.draws import draw_commit, draw_hold
from web.board.draw_shown import draws_shown
from web.methods import shown_and_sent
from web.people import person_of

from .form_act import refusal_say
from .form_numbers import number_or_none


@login_required
@shown_and_sent
def draw(request: HttpRequest, match_id: int) -> HttpResponse:
    """Publish the commitment, hold the draw, see that it checks."""
    person = person_of(request)
    match = access.match_for_secretary(person, match_id=match_id)
    if request.method == "POST":
        try:
            _act(request, person, match)
        except (Problem, BadInput) as problem:
            refusal_say(request, problem)
        return redirect("desk:draw", match_id)
    draws = draws_shown(match)
    last = draws[-1] if draws else None
    return render(
        request,
        "desk/draw.html",
        {
            "match": match,
            "club": match.club,
            "draws": draws,
            "telling": last["telling"] if last is not None else None,
            "waits": last is not None and not last["held"],
            "names": board.names_drawn(match),
            **draw_counts(match),
        },
    )


def _act(request: HttpRequest, person: Person, match: Match) -> None:
    """Do what the form asks, and say what came of it."""
    given = request.POST
    do = given.get("do", "")
    if do == "hold":
        draw_hold(person, match=match)
        messages.success(request, _("The pegs are drawn, and the seed is public."))
    elif do == "begin":
        draw_begin(person, match=match)
    elif do == "tell":
        told = number_or_none(given.get("told", ""))
        _end_say(request, draw_tell(person, match=match, told=-1 if told is None else told))
    elif do == "rest":
        _end_say(request, draw_tell_rest(person, match=match))
    else:
        draw_commit(person, match=match, mode=given.get("mode", ""), reason=given.get("reason", ""))
        messages.success(
            request, _("The commitment is public. Hold the draw when everybody has met.")
        )


def _end_say(request: HttpRequest, draw: Draw) -> None:
    """After the last one is told the page shows the whole draw: say whose peg that was."""
    if draw.drawn_at is None:
        return
    last = telling_of(draw).told[-1]
    names = board.names_drawn(draw.match)
    said = _("%(angler)s: section %(section)s, peg %(peg)s. Everybody has a peg now.") % {
        "angler": names.get(last.angler, last.angler),
        "section": last.section,
        "peg": last.peg,
    }
    messages.success(request, said)
