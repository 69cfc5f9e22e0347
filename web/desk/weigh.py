"""The weigh board: weights as they come in, what disagrees, and a scale at the desk."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from matches.models import Disagreement, DisagreementKind, Fact, Match, Person, ScoredBy
from matches.problems import Code, Problem
from matches.reads import access
from matches.reads.board_match import BoardMatch, board_match
from matches.reads.weigh_board import next_to_weigh, weigh_board, weighers_of
from matches.reckon.decimals import digits_read
from matches.reckon.errors import BadInput, Fault
from matches.writes.facts import fact_log_at_desk
from web.methods import shown_and_sent
from web.people import person_of
from web.templatetags.shown import caught

from .weigh_form import PARTS, WeightUnsure, weigh_in_log
from .weigh_parts import board_parts


@login_required
@shown_and_sent
def board(request: HttpRequest, match_id: int) -> HttpResponse:
    """The board for weighers and the secretary; a weight may be logged on it."""
    person = person_of(request)
    of = board_match(person, match_id=match_id)
    faults: tuple[Fault, ...] = ()
    unsure = None
    if request.method == "POST":
        try:
            fact = weigh_in_log(person, of.match, request.POST)
        except WeightUnsure as asked:
            unsure = asked.weight
        except BadInput as refused:
            faults = refused.faults
        except Problem as problem:
            if problem.code in (Code.NOT_FOUND, Code.NOT_ALLOWED):
                raise
            faults = problem.faults or (Fault("", problem.detail),)
        else:
            _logged_say(request, of.match, fact)
            return redirect("desk:weigh", match_id)
    return _board_page(request, of, faults, unsure)


def _logged_say(request: HttpRequest, match: Match, fact: Fact) -> None:
    """Whether it counts now, or is kept beside something else until that is settled."""
    said = {
        "peg": fact.peg,
        "net": fact.body["net"],
        "weight": caught(fact.body["weight"], match.unit),
    }
    dispute = Disagreement.objects.filter(facts=fact, ruling__isnull=True).first()
    if dispute is None:
        messages.success(request, _("Peg %(peg)s: %(weight)s logged.") % said)
        return
    sentences: dict[str, str] = {
        DisagreementKind.LATE: _(
            "Peg %(peg)s: %(weight)s is kept but does not count: the result was confirmed. "
            "The secretary settles it below."
        ),
        DisagreementKind.UNDRAWN_PEG: _(
            "Peg %(peg)s: %(weight)s is kept but does not count: nobody drew that peg. "
            "The secretary settles it below."
        ),
    }
    usual = _(
        "Peg %(peg)s: %(weight)s is kept beside another weight for net %(net)s. "
        "The first to arrive counts until they are settled below."
    )
    messages.warning(request, sentences.get(dispute.kind, usual) % said)


def _board_page(
    request: HttpRequest, of: BoardMatch, faults: tuple[Fault, ...], unsure: int | None
) -> HttpResponse:
    board = weigh_board(of)
    parts = board_parts(request, board)
    typed = request.POST
    return render(
        request,
        "desk/weigh.html",
        {
            "match": of.match,
            "club": of.match.club,
            "unit": of.match.weight_unit,
            "result": board.result,
            "top": [p for p in parts if not p.name.startswith(("section-", "totals"))],
            "by_section": [p for p in parts if p.name.startswith("section-")],
            "bottom": [p for p in parts if p.name == "totals"],
            "rules": of.rules,
            "peg_chosen": typed.get("peg") or request.GET.get("peg") or next_to_weigh(board),
            "net_chosen": typed.get("net") or request.GET.get("net") or "1",
            "parts": [(name, typed.get(name, "")) for name in PARTS[of.match.weight_unit]],
            "species": _species_typed(of.match, request),
            "witness": typed.get("witness", ""),
            "witness_of": typed.get("witness_of", ""),
            "weighers": weighers_of(of.match),
            "corrects": typed.get("corrects", ""),
            "faults": faults,
            "unsure": unsure,
        },
        status=400 if faults or unsure is not None else 200,
    )


def _species_typed(match: Match, request: HttpRequest) -> list[dict[str, Any]]:
    """The species that are scored, with what was typed for each."""
    if match.scored_by != ScoredBy.FISH:
        return []
    return [
        {**row, "typed": request.POST.get(f"fish-{n}", "")}
        for n, row in enumerate(match.species, 1)
    ]


@login_required
@require_POST
def settle(request: HttpRequest, match_id: int) -> HttpResponse:
    """One tap: the fact that stands, or nothing where a late one had nothing before it. The ruling
    is a fact itself."""
    person = person_of(request)
    match = access.match_for_secretary(person, match_id=match_id)
    row = _disagreement(match, request.POST.get("disagreement", ""))
    try:
        if row is None or row.ruling_id is not None:
            raise Problem(Code.CONFLICT, _("That was settled already: look at the board again."))
        fact_log_at_desk(
            person,
            match=match,
            kind="ruling",
            peg=row.peg,
            body={"disagreement": row.pk, "stands": request.POST.get("stands", "") or None},
        )
    except Problem as problem:
        if problem.code != Code.CONFLICT:
            raise
        messages.info(request, _("That was settled already: look at the board again."))
    else:
        messages.success(request, _("Settled. Both facts stay on record."))
    return redirect("desk:weigh", match_id)


def _disagreement(match: Match, number: str) -> Disagreement | None:
    return Disagreement.objects.filter(match=match, pk=digits_read(number) or 0).first()


def match_for_weigher(person: Person, *, match_id: int) -> Match:
    """One match whose weights the person may see come in. Raises Problem."""
    return board_match(person, match_id=match_id).match
