"""What is public: bulletins and draws that were published, for anybody. No person is asked."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.db.models import Count, Max, QuerySet
from django.utils.translation import gettext as _

from matches.models import Bulletin, Club, Draw, EntryStatus, Match
from matches.problems import Code, Problem

from .bulletin_bodies import bulletin_changes

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


def body_since(bulletin: Bulletin, *, match: Match, number: int) -> dict[str, Any]:
    """The bulletin's body with what changed since an earlier one, in the place of what changed
    since the one before. Raises Problem NOT_FOUND."""
    earlier = bulletin_public(match, number=number)
    return {**bulletin.body, "changes": bulletin_changes(earlier.body, bulletin.body)}


def draws_public(match: Match) -> list[Draw]:
    """Every draw of the match. Show a seed only where `drawn_at` is set."""
    return list(match.draws.order_by("number"))


def names_drawn(match: Match) -> dict[str, str]:
    """Public names of the entries by their number as text: who stands behind a draw's lists."""
    entries = match.entries.select_related("angler")
    return {str(e.pk): e.angler.public_name for e in entries}


@dataclass(frozen=True, slots=True)
class PegHeld:
    """Who sits at a drawn peg, by the entry's number as text, and whose place that was before."""

    entry: str
    before: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PegsHeld:
    """By section and peg who sits there because of one draw; `given_up`: who withdrew."""

    pegs: Mapping[tuple[str, str], PegHeld]
    given_up: frozenset[str]

    def follows(self, drawn: Mapping[str, tuple[str, str]]) -> bool:
        """Whether everybody sits where the draw says, or who took their place does, or nobody does
        since they withdrew. `drawn`: section and peg of each entry."""
        at = {place: entry for entry, place in drawn.items()}
        if any(at.get(place) not in (h.entry, *h.before) for place, h in self.pegs.items()):
            return False
        empty = {entry for entry, place in drawn.items() if place not in self.pegs}
        return empty <= self.given_up


def pegs_held(match: Match) -> dict[int, PegsHeld]:
    """By draw who sits where because of it. Two queries."""
    entries = list(match.entries.values_list("pk", "replaces_id", "status"))
    replaced = {pk: before for pk, before, _status in entries if before}
    given_up = frozenset(str(pk) for pk, _b, status in entries if status == EntryStatus.WITHDRAWN)
    of: dict[int, dict[tuple[str, str], PegHeld]] = {}
    for draw, entry, section, peg in match.drawn_pegs.filter(draw__isnull=False).values_list(
        "draw_id", "entry_id", "section_peg__section__label", "section_peg__peg__number"
    ):
        held = PegHeld(str(entry), _places_before(entry, replaced))
        of.setdefault(draw, {})[section, peg] = held
    return {draw: PegsHeld(pegs, given_up) for draw, pegs in of.items()}


def _places_before(entry: int, replaced: Mapping[int, int]) -> tuple[str, ...]:
    """Whose place the entry took, and whose that one had taken; each once."""
    before: list[int] = []
    while (entry := replaced.get(entry, 0)) and entry not in before:
        before.append(entry)
    return tuple(str(pk) for pk in before)
