"""The weigh board: weights as they come in, what disagrees, and a scale at the desk."""

from __future__ import annotations

import uuid

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from matches.models import DisagreementKind, Match, Person
from matches.problems import Code, Problem
from matches.reads import access
from matches.reads.facts import OpenDisagreement, disagreements_open, facts_to_come
from matches.reads.results import MatchResult, NetWeight, match_result
from matches.reckon.errors import BadInput, Fault
from matches.reckon.weights import weight_from_parts, weight_text
from matches.writes.facts import fact_log_at_desk
from web.people import person_of

from .strips import result_strips

PARTS = {"g": ("kg", "g"), "dr": ("lb", "oz", "dr")}


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def board(request: HttpRequest, match_id: int) -> HttpResponse:
    """The board for weighers and the secretary; a weight may be logged on it."""
    person = person_of(request)
    match = match_for_weigher(person, match_id=match_id)
    faults: tuple[Fault, ...] = ()
    if request.method == "POST":
        try:
            peg, weight = _weigh_in_log(person, match, request)
        except BadInput as refused:
            faults = refused.faults
        except Problem as problem:
            if problem.code in (Code.NOT_FOUND, Code.NOT_ALLOWED):
                raise
            faults = problem.faults or (Fault("", problem.detail),)
        else:
            messages.success(
                request,
                _("Peg %(peg)s: %(weight)s logged.")
                % {"peg": peg, "weight": weight_text(weight, unit=match.weight_unit)},  # type: ignore[arg-type]
            )
            return redirect("desk:weigh", match_id)
    return _board_page(request, match, faults)


def _board_page(request: HttpRequest, match: Match, faults: tuple[Fault, ...]) -> HttpResponse:
    person = person_of(request)
    result = match_result(match)
    typed = request.POST
    return render(
        request,
        "desk/weigh.html",
        {
            "room": "desk",
            "match": match,
            "club": match.club,
            "unit": match.weight_unit,
            "result": result,
            "strips": result_strips(result),
            "to_settle": [
                {"row": d.row, "sides": d.sides, "standing": _stood_before(result, d)}
                for d in disagreements_open(person, match_id=match.pk)
            ],
            "to_come": facts_to_come(person, match_id=match.pk),
            "rules": access.is_secretary(person, club=match.club),
            "peg_chosen": typed.get("peg") or request.GET.get("peg") or _first_to_weigh(result),
            "net_chosen": typed.get("net") or request.GET.get("net") or "1",
            "parts": [(name, typed.get(name, "")) for name in PARTS[match.weight_unit]],
            "witness": typed.get("witness", ""),
            "corrects": typed.get("corrects") == "yes",
            "faults": faults,
        },
        status=400 if faults else 200,
    )


def _stood_before(result: MatchResult, late: OpenDisagreement) -> NetWeight | None:
    """For a fact that came after confirmation: what stands for its net, which may stay."""
    if late.row.kind != DisagreementKind.LATE:
        return None
    sides = {str(side.fact.pk) for side in late.sides}
    nets = (n for e in result.entries() if e.peg == late.row.peg for n in e.nets)
    return next((n for n in nets if n.net == late.row.net and n.fact not in sides), None)


def _first_to_weigh(result: MatchResult) -> str:
    return result.to_weigh[0].peg if result.to_weigh else ""


def _weigh_in_log(person: Person, match: Match, request: HttpRequest) -> tuple[str, int]:
    """Log what was typed. Said to correct, it supersedes what stands for that net; otherwise a
    different weight there is a disagreement to settle."""
    typed = request.POST
    unit = match.weight_unit
    weight = weight_from_parts(
        {name: typed.get(name, "").strip() for name in PARTS[unit]},
        unit=unit,  # type: ignore[arg-type]
    )
    net_text = typed.get("net", "")
    if net_text not in tuple("123456789"):
        raise BadInput(Fault("/net", _("Choose net 1 to 9.")))
    peg, net = typed.get("peg", ""), int(net_text)
    fact_log_at_desk(
        person,
        match=match,
        kind="weigh_in",
        peg=peg,
        body={
            "net": net,
            "weight": weight,
            "unit": unit,
            "witness": typed.get("witness", "").strip() or None,
        },
        supersedes=_standing_fact(match, peg, net) if typed.get("corrects") == "yes" else None,
    )
    return peg, weight


def _standing_fact(match: Match, peg: str, net: int) -> uuid.UUID | None:
    for entry in match_result(match).entries():
        if entry.peg == peg:
            for standing in entry.nets:
                if standing.net == net:
                    return uuid.UUID(standing.fact)
    return None


@login_required
@require_POST
def settle(request: HttpRequest, match_id: int) -> HttpResponse:
    """One tap: the fact that stands. The ruling is a fact itself."""
    person = person_of(request)
    match = access.match_for_secretary(person, match_id=match_id)
    chosen = request.POST.get("disagreement", "")
    for open_one in disagreements_open(person, match_id=match.pk):
        if str(open_one.row.pk) == chosen:
            fact_log_at_desk(
                person,
                match=match,
                kind="ruling",
                peg=open_one.row.peg,
                body={"disagreement": open_one.row.pk, "stands": request.POST.get("stands", "")},
            )
            messages.success(request, _("Settled. Both facts stay on record."))
            break
    else:
        messages.info(request, _("That was settled already: look at the board again."))
    return redirect("desk:weigh", match_id)


def match_for_weigher(person: Person, *, match_id: int) -> Match:
    """One match whose weights the person may see come in. Raises Problem."""
    match = access.match_seen(person, match_id=match_id)
    if not access.is_weigher(person, match=match):
        raise Problem(Code.NOT_ALLOWED, _("Only this match’s weighers and the secretary may look."))
    return match
