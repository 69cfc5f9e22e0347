"""The parts of the weigh board that fill by themselves, and which of them a page lacks."""

from __future__ import annotations

import hashlib
import re
from dataclasses import dataclass
from typing import Any

from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import redirect
from django.template.loader import render_to_string
from django.utils import timezone
from django.utils.dateparse import parse_datetime
from django.views.decorators.http import require_POST, require_safe

from matches.models import Match
from matches.reads.board_match import BoardMatch, board_match
from matches.reads.moves import moves, standing_of_result
from matches.reads.weigh_board import WeighBoard, weigh_board
from web.people import person_of

from .strips import result_strips

_TOKEN = re.compile(r'name="csrfmiddlewaretoken" value="[^"]*"')


@dataclass(frozen=True, slots=True)
class Part:
    """One piece of the page by its name; `digest` differs when it says something else."""

    name: str
    html: str

    @property
    def digest(self) -> str:
        # The token of a form is another in every page and says nothing.
        return hashlib.sha256(_TOKEN.sub("", self.html).encode()).hexdigest()[:12]


def board_parts(request: HttpRequest, board: WeighBoard) -> list[Part]:
    """Every live part of the page, in its order."""
    look = _look(request, board)
    context: dict[str, Any] = {
        "match": board.match,
        "unit": board.match.weight_unit,
        "board": board,
        "result": board.result,
        "rules": board.rules,
    }

    def part(name: str, template: str, **more: Any) -> Part:
        return Part(name, render_to_string(f"desk/{template}.html", context | more, request))

    moved = moves(look["standing"], standing_of_result(board.result))
    return [
        part("progress", "_weigh_progress"),
        part("settle", "_weigh_settle"),
        part("moved", "_weigh_moved", moved=moved, since=parse_datetime(look["at"])),
        part("biggest", "_weigh_biggest", strips=result_strips(board.result)),
        *(
            part(f"section-{n}", "_weigh_section", section=section, number=n)
            for n, section in enumerate(board.sections, 1)
        ),
        part("totals", "_weigh_totals"),
    ]


@login_required
@require_safe
def changes(request: HttpRequest, match_id: int) -> HttpResponse:
    """The parts whose digest is not the one the page has (`have=name.digest~…`); 304 when nothing
    of the club changed since the answer before."""
    of = board_match(person_of(request), match_id=match_id)
    tag = f'"{of.stamp}.{_looked_at(request, of)}"'
    if request.headers.get("If-None-Match") == tag:
        answer = HttpResponse(status=304)
    else:
        have = dict(
            one.split(".", 1) for one in request.GET.get("have", "").split("~") if "." in one
        )
        parts = board_parts(request, weigh_board(of))
        answer = JsonResponse(
            {
                "names": [p.name for p in parts],
                "parts": [
                    {"name": p.name, "digest": p.digest, "html": p.html}
                    for p in parts
                    if have.get(p.name) != p.digest
                ],
            }
        )
    answer["ETag"] = tag
    answer["Cache-Control"] = "private, no-cache"
    return answer


@login_required
@require_POST
def seen(request: HttpRequest, match_id: int) -> HttpResponse:
    """What stands now was looked at: from here on the board says what moved since."""
    of = board_match(person_of(request), match_id=match_id)
    request.session.pop(_key(of.match), None)
    _look(request, weigh_board(of))
    return redirect("desk:weigh", match_id)


def _look(request: HttpRequest, board: WeighBoard) -> dict[str, Any]:
    """What was last looked at in this session; the first look is now."""
    key = _key(board.match)
    if key not in request.session:
        now = timezone.now().isoformat()
        request.session[key] = {"at": now, "standing": standing_of_result(board.result)}
    look: dict[str, Any] = request.session[key]
    return look


def _key(match: Match) -> str:
    return f"weigh-look-{match.pk}"


def _looked_at(request: HttpRequest, of: BoardMatch) -> str:
    return str(request.session.get(_key(of.match), {}).get("at", ""))
