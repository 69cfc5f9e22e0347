"""Public results: no account, nothing but what was published."""

from __future__ import annotations

from hashlib import sha256
from typing import Final

from django.http import HttpRequest, HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import render
from django.views.decorators.http import require_safe

from matches.models import Bulletin
from matches.reads import board, league_board

from .caching import told_as
from .downloads import bulletin_address
from .draw_shown import draws_shown
from .message import place_line, status_line
from .objection_time import objection_time
from .shown import bulletin_shown

BRIEFLY: Final = 15


@require_safe
def clubs(request: HttpRequest) -> HttpResponse:
    """Clubs that have published."""
    return _page(request, "clubs", clubs=board.clubs_published())


@require_safe
def club(request: HttpRequest, club: str) -> HttpResponse:
    """A club's published matches."""
    found = board.club_public(club)
    return _page(
        request,
        "club",
        of=found,
        matches=board.matches_published(found),
        leagues=league_board.leagues_published(found),
    )


@require_safe
def bulletin(
    request: HttpRequest, club: str, match: str, number: int | None = None
) -> HttpResponseBase:
    """One bulletin, the latest where none is named; before the first, where the draw is. With
    `since` in the query it says what changed since that earlier one."""
    found = board.match_public(club, match)
    all_of = board.bulletins_of(found)
    if not all_of and number is None:
        return _page(request, "waiting", match=found)
    shown = board.bulletin_public(found, number=number)
    since = _since(request, shown, of=all_of)
    body = shown.body if since is None else board.body_since(shown, match=found, number=since)
    response = _page(
        request,
        "bulletin",
        match=found,
        bulletin=shown,
        bulletins=all_of,
        latest=all_of[0].number,
        since=since or shown.number - 1,
        time=objection_time(shown) if shown.number == all_of[0].number else None,
        address=bulletin_address(request, club, match, shown.number),
        about=", ".join([place_line(shown.body), status_line(shown)]),
        **bulletin_shown(body),
    )
    return response if request.user.is_authenticated else _told_briefly(request, response)


def _since(request: HttpRequest, shown: Bulletin, *, of: list[Bulletin]) -> int | None:
    """The earlier bulletin asked for; None where none is, or none of that number was before."""
    asked = request.GET.get("since", "")
    earlier = {str(b.number) for b in of if b.number < shown.number}
    return int(asked) if asked in earlier else None


def _told_briefly(request: HttpRequest, response: HttpResponse) -> HttpResponseBase:
    """Also the page of a numbered bulletin tells of later ones, and of the time that is left: it is
    kept for seconds, known again by all it says."""
    return told_as(request, response, digest=sha256(response.content).hexdigest(), seconds=BRIEFLY)


@require_safe
def draw(request: HttpRequest, club: str, match: str) -> HttpResponse:
    """Every draw of a match: commitment, and after it seed, lists, and whether it checks."""
    found = board.match_public(club, match)
    return _page(
        request,
        "draw",
        match=found,
        draws=draws_shown(found),
        names=board.names_drawn(found),
    )


def _page(request: HttpRequest, name: str, **context: object) -> HttpResponse:
    return render(request, f"board/{name}.html", context)
