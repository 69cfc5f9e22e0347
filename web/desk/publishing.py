"""The secretary publishes: what stands now, its next bulletin, objections, and words to send."""

from __future__ import annotations

from collections.abc import Mapping

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from matches.models import Bulletin, Match
from matches.problems import Problem
from matches.reads import access, board
from matches.reads.moves import moves, standing_of_bulletin, standing_of_result
from matches.reads.results import match_result
from matches.writes.bulletins import bulletin_publish
from matches.writes.objections import objection_answer, objection_note
from web.board.downloads import bulletin_address
from web.board.message import result_message
from web.board.objection_time import objection_time
from web.methods import shown_and_sent
from web.people import person_of

from .form_act import refusal_say
from .strips import result_strips


@login_required
@shown_and_sent
def publish(request: HttpRequest, match_id: int) -> HttpResponse:
    """What stands now, and its next bulletin."""
    person = person_of(request)
    found = access.match_for_secretary(person, match_id=match_id)
    if request.method == "POST":
        try:
            made = bulletin_publish(
                person,
                match=found,
                confirmed=request.POST.get("confirmed") == "yes",
                reason=request.POST.get("reason", ""),
            )
        except Problem as problem:
            refusal_say(request, problem)
        else:
            messages.success(
                request, _("Bulletin %(n)s is out. Anyone can read it now.") % {"n": made.number}
            )
            return redirect("desk:publish", match_id)
    return _page(request, found)


@login_required
@require_POST
def note(request: HttpRequest, match_id: int) -> HttpResponse:
    """Note an objection; what was typed comes back where it is refused."""
    person = person_of(request)
    found = access.match_for_secretary(person, match_id=match_id)
    typed = {key: request.POST.get(key, "") for key in ("peg", "words")}
    try:
        objection_note(person, match=found, **typed)
    except Problem as problem:
        refusal_say(request, problem)
        return _page(request, found, typed=typed)
    messages.success(request, _("The objection is noted. Answer it before you confirm."))
    return redirect("desk:publish", match_id)


@login_required
@require_POST
def answer(request: HttpRequest, match_id: int, objection_id: int) -> HttpResponse:
    """Say what came of an objection."""
    person = person_of(request)
    found = access.match_for_secretary(person, match_id=match_id)
    typed = request.POST.get("answer", "")
    try:
        objection_answer(person, match=found, objection_id=objection_id, answer=typed)
    except Problem as problem:
        refusal_say(request, problem)
        return _page(request, found, typed={"answer": typed, "of": objection_id})
    messages.success(request, _("The objection is answered."))
    return redirect("desk:publish", match_id)


def _page(
    request: HttpRequest, match: Match, *, typed: Mapping[str, object] | None = None
) -> HttpResponse:
    """The whole page; `typed` is what a form on it was sent with and could not take."""
    result = match_result(match)
    bulletins = board.bulletins_of(match)
    latest = board.bulletin_public(match) if bulletins else None
    moved = latest and moves(standing_of_bulletin(latest.body), standing_of_result(result))
    objections = list(match.objections.all())
    return render(
        request,
        "desk/publish.html",
        {
            "match": match,
            "club": match.club,
            "result": result,
            "strips": result_strips(result),
            "bulletins": bulletins,
            "latest": latest,
            "time": objection_time(latest) if latest else None,
            "objections": objections,
            "unanswered": sum(1 for o in objections if not o.answer),
            "message": _message(request, match, latest),
            "moved": moved,
            "reason": request.POST.get("reason", ""),
            "typed": typed or {},
            "unit": match.weight_unit,
        },
    )


def _message(request: HttpRequest, match: Match, latest: Bulletin | None) -> str:
    if latest is None:
        return ""
    at = bulletin_address(request, match.club.slug, match.slug, latest.number)
    return result_message(latest, address=at)
