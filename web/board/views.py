"""Public results: no account, nothing but what was published."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from matches.reads import board, league_board

from .shown import bulletin_shown, draws_shown


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
) -> HttpResponse:
    """One bulletin, the latest where none is named; before the first, where the draw is."""
    found = board.match_public(club, match)
    all_of = board.bulletins_of(found)
    if not all_of and number is None:
        return _page(request, "waiting", match=found)
    shown = board.bulletin_public(found, number=number)
    return _page(
        request,
        "bulletin",
        match=found,
        bulletin=shown,
        bulletins=all_of,
        latest=all_of[0].number,
        **bulletin_shown(shown.body),
    )


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
    return render(request, f"board/{name}.html", {"room": "board", **context})
