"""A held draw as a file: what it was worked out from, and what was published of it."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from matches.problems import Code, Problem
from matches.reads import board
from matches.reckon.errors import BadInput

from .draw_shown import draw_published


@require_safe
def held(request: HttpRequest, club: str, match: str, number: int) -> HttpResponse:
    """Request, commitment and who sits where, for `manage.py draw_check`."""
    found = board.match_public(club, match)
    for draw in board.draws_public(found):
        if draw.number == number and draw.drawn_at is not None:
            break
    else:
        raise Problem(Code.NOT_FOUND, _("That draw has not been held: its seed is still secret."))
    try:
        published = draw_published(draw, sits=board.pegs_held(found).get(draw.pk))
    except BadInput:
        raise Problem(
            Code.NOT_FOUND, _("That draw was kept without its lists: it cannot be checked.")
        ) from None
    response = JsonResponse(published, json_dumps_params={"ensure_ascii": False})
    response["Content-Disposition"] = f'attachment; filename="{match}-draw-{number}.json"'
    return response
