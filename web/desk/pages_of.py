"""Pages of the desk that a person may open, by name: what "Go to…" lists."""

from __future__ import annotations

import datetime as dt
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass

from django.db.models import Q
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from bait.reads.shops import clubs_kept
from matches.models import Match, MatchState, Person, Team
from matches.reads.access import captained_teams, clubs_of
from matches.reads.desk import DeskClub, DeskMatch, desk_clubs
from matches.times import zone_named
from web.day_words import day_words

#: Of this many matches gone by, the latest of a club, each page is listed; of older ones the first.
PAST_WHOLE = 2


@dataclass(frozen=True, slots=True)
class Page:
    """A page's name, as it is looked for, and its address. Each name stands once in a list."""

    name: str
    address: str


def pages_of(person: Person, *, today: dt.date) -> list[Page]:
    """What the person may open: the desk, matches soonest first, teams, clubs, their own things.

    Nothing for who is not signed in. Seven queries, however many matches. `today` is the server's.
    """
    if not person.is_authenticated:
        return []
    clubs = desk_clubs(person, today=today)
    kept = set(clubs_kept(person).values_list("pk", flat=True))
    return [
        Page(_("Desk"), reverse("desk:home")),
        *(page for one in clubs for page in _match_pages(one)),
        *(page for team in _larder_teams(person) for page in _team_pages(team)),
        *(page for one in clubs for page in _club_pages(one, kept=one.club.pk in kept)),
        *_own_pages(),
    ]


def pages_narrowed(pages: list[Page], *, typed: str) -> list[Page]:
    """Those whose name has each word that was typed, in any order; capitals and accents are one."""
    words = _plain(typed).split()
    return [page for page in pages if all(word in _plain(page.name) for word in words)]


def _plain(text: str) -> str:
    apart = unicodedata.normalize("NFD", text.casefold())
    return "".join(letter for letter in apart if not unicodedata.combining(letter))


def _match_pages(one: DeskClub) -> Iterator[Page]:
    for shown in (*one.coming, *one.past[:PAST_WHOLE]):
        for name, address in _of_match(shown):
            yield Page(f"{name} · {_match_said(shown.match)}", address)
    for shown in one.past[PAST_WHOLE:]:
        name = f"{_('Match')} · {_match_said(shown.match)}"
        yield Page(name, reverse("desk:match", args=[shown.match.pk]))


def _match_said(match: Match) -> str:
    today = timezone.localdate(timezone=zone_named(match.venue.timezone))
    return f"{match.name}, {day_words(match.date, today=today)}"


def _of_match(shown: DeskMatch) -> Iterator[tuple[str, str]]:
    at, planned = shown.match.pk, shown.match.state == MatchState.PLANNED
    names = [(_("Match"), "match", True)]
    names += [(_("Weigh board"), "weigh", shown.weighs and not planned)]
    names += [(_("My plan"), "plan", shown.fishes), (_("My mixing sheet"), "mixing", shown.fishes)]
    names += [(_("My review"), "review", shown.fishes and not planned)]
    names += [(_("Draw"), "draw", shown.runs), (_("Publish"), "publish", shown.runs)]
    names += [(_("Weighers"), "weighers", shown.runs), (_("Pools"), "pools", shown.runs)]
    names += [(_("Pay-out list"), "payouts", shown.runs)]
    names += [(_("Pegs and sections"), "match-pegs", shown.runs)]
    names += [(_("Settings"), "settings", shown.runs), (_("Invitation"), "invitation", shown.runs)]
    names += [(_("Entries"), "entries", True), (_("Scoring"), "scoring", True)]
    names += [(_("Bait limits"), "limits", True)]
    for name, address, may in names:
        if may:
            yield name, reverse(f"desk:{address}", args=[at])
    for team in shown.teams:
        for name, address in _of_team_match():
            yield f"{name}, {team.name}", reverse(f"desk:{address}", args=[team.pk, at])


def _of_team_match() -> list[tuple[str, str]]:
    return [
        (_("Plans"), "team"),
        (_("Give one plan to several"), "plan-giving"),
        (_("Order"), "order"),
        (_("Bags"), "bags"),
        (_("Kitty"), "kitty"),
        (_("Why"), "why"),
    ]


def _larder_teams(person: Person) -> list[Team]:
    """The club's own teams that the person captains or belongs to."""
    teams = Team.objects.filter(
        Q(pk__in=captained_teams(person).values("pk"))
        | Q(anglers__person_id=person.pk, club__in=clubs_of(person)),
        visitors=False,
    )
    return list(teams.distinct().order_by("name", "pk"))


def _team_pages(team: Team) -> Iterator[Page]:
    for name, address in ((_("Larder"), "larder"), (_("Season"), "season")):
        yield Page(f"{name} · {team.name}", reverse(f"desk:{address}", args=[team.pk]))
    yield Page(f"{_('What bait cost')} · {team.name}", reverse("desk:bait-cost", args=[team.pk]))


def _club_pages(one: DeskClub, *, kept: bool) -> Iterator[Page]:
    names = [(_("Leagues"), "leagues", True)]
    names += [(_("Shops and prices"), "shops", kept), (_("Baits"), "baits", kept)]
    names += [(_("Files in and out"), "files", kept)]
    names += [(_("Plan a match"), "match-new", one.runs)]
    names += [(_("Venues and pegs"), "venues", one.runs)]
    names += [(_("Anglers and teams"), "book", one.runs), (_("Juniors"), "juniors", one.runs)]
    names += [(_("Who signs in"), "sign-ins", one.runs)]
    names += [(_("Trail of changes"), "trail", one.runs)]
    names += [(_("Addresses that are told"), "webhooks", one.runs)]
    for name, address, may in names:
        if may:
            at = reverse(f"desk:{address}", args=[one.club.slug])
            yield Page(f"{name} · {one.club.name}", at)


def _own_pages() -> Iterator[Page]:
    yield Page(_("My account"), reverse("desk:account"))
    yield Page(_("My phones"), reverse("desk:phones"))
    yield Page(_("My data"), reverse("desk:own-data"))
    yield Page(_("My calendar"), reverse("desk:calendar"))
    yield Page(_("Tokens for programs"), reverse("desk:tokens"))
    yield Page(_("Keys"), reverse("desk:keys"))
