"""What is public: bulletins and draws that were published, for anybody. No person is asked."""

from __future__ import annotations

from django.db.models import Count, Max, QuerySet
from django.utils.translation import gettext as _

from matches.models import Bulletin, Club, Draw, Match
from matches.problems import Code, Problem

CLUBS_SHOWN = 500
MATCHES_SHOWN = 500


def clubs_published() -> QuerySet[Club]:
    """Clubs with a published result, by name."""
    return (
        Club.objects.filter(matches__bulletins__isnull=False)
        .annotate(published=Count("matches", distinct=True), latest=Max("matches__date"))
        .order_by("name")[:CLUBS_SHOWN]
    )


def club_public(slug: str) -> Club:
    """A club that has published something. Raises Problem NOT_FOUND."""
    club = Club.objects.filter(slug=slug, matches__bulletins__isnull=False).first()
    if club is None:
        raise Problem(Code.NOT_FOUND, _("No club has published results here."))
    return club


def matches_published(club: Club) -> QuerySet[Match]:
    """A club's matches with a bulletin, latest first."""
    return (
        Match.objects.filter(club=club, bulletins__isnull=False)
        .select_related("venue")
        .annotate(latest=Max("bulletins__number"))
        .order_by("-date", "name")[:MATCHES_SHOWN]
    )


def match_public(club_slug: str, match_slug: str) -> Match:
    """A match with a bulletin or a draw's commitment, or called off. Raises Problem NOT_FOUND."""
    match = (
        Match.objects.filter(club__slug=club_slug, slug=match_slug)
        .select_related("club", "venue")
        .first()
    )
    if match is None or not (match.called_off or match.bulletins.exists() or match.draws.exists()):
        raise Problem(Code.NOT_FOUND, _("Nothing has been published for a match of that name."))
    return match


def bulletins_of(match: Match) -> list[Bulletin]:
    """Every bulletin without its body, latest first."""
    return list(match.bulletins.defer("body").order_by("-number"))


def bulletin_public(match: Match, *, number: int | None = None) -> Bulletin:
    """One bulletin, or the latest. Raises Problem NOT_FOUND."""
    rows = match.bulletins.all() if number is None else match.bulletins.filter(number=number)
    found = rows.order_by("-number").first()
    if found is None:
        raise Problem(Code.NOT_FOUND, _("There is no such bulletin: look at the latest one."))
    return found


def draws_public(match: Match) -> list[Draw]:
    """Every draw of the match. Show a seed only where `drawn_at` is set."""
    return list(match.draws.order_by("number"))


def names_drawn(match: Match) -> dict[str, str]:
    """Public names of the entries by their number as text: who stands behind a draw's lists."""
    entries = match.entries.select_related("angler")
    return {str(e.pk): e.angler.public_name for e in entries}


def pegs_drawn(match: Match) -> dict[int, dict[str, tuple[str, str]]]:
    """By draw: the section and peg each entry (its number as text) sits at because of it."""
    of: dict[int, dict[str, tuple[str, str]]] = {}
    for draw, entry, section, peg in match.drawn_pegs.filter(draw__isnull=False).values_list(
        "draw_id", "entry_id", "section_peg__section__label", "section_peg__peg__number"
    ):
        of.setdefault(draw, {})[str(entry)] = (section, peg)
    return of
