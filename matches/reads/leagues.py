"""A club's leagues as its members and its secretary find them."""

from __future__ import annotations

from django.db.models import Count, Max, QuerySet
from django.utils.translation import gettext as _

from matches.models import Club, League, LeagueRound, Match, Person
from matches.problems import Code, Problem
from matches.reckon.reading import is_storable

from .access import clubs_of, is_secretary

MATCHES_OFFERED = 200


def club_of_leagues(person: Person, *, slug: str) -> Club:
    """One of the person's clubs. Raises Problem NOT_FOUND."""
    club = clubs_of(person).filter(slug=slug).first() if is_storable(slug) else None
    if club is None:
        raise Problem(Code.NOT_FOUND, _("You are in no club of that address."))
    return club


def leagues_of(club: Club) -> QuerySet[League]:
    """The club's leagues with how many rounds they have and the number of the latest table."""
    return (
        League.objects.filter(club=club)
        .annotate(many=Count("rounds", distinct=True), latest=Max("tables__number"))
        .order_by("name", "pk")
    )


def league_seen(person: Person, *, club: str, slug: str) -> League:
    """One league of the person's clubs. Raises Problem NOT_FOUND."""
    of = club_of_leagues(person, slug=club)
    league = of.leagues.filter(slug=slug).select_related("club").first()
    if league is None:
        raise Problem(Code.NOT_FOUND, _("There is no such league in your clubs."))
    return league


def league_for_secretary(person: Person, *, club: str, slug: str) -> League:
    """One league the person runs. Raises Problem NOT_FOUND or NOT_ALLOWED."""
    league = league_seen(person, club=club, slug=slug)
    if not is_secretary(person, club=league.club):
        raise Problem(Code.NOT_ALLOWED, _("Only the club's secretary may do this."))
    return league


def rounds_of(league: League) -> QuerySet[LeagueRound]:
    """The rounds in order, each with the number of its match's latest bulletin."""
    return (
        league.rounds.select_related("match__venue")
        .annotate(bulletin=Max("match__bulletins__number"))
        .order_by("number")
    )


def matches_offered(league: League) -> QuerySet[Match]:
    """The club's matches that could be rounds, in the order they are fished."""
    latest = Match.objects.filter(club=league.club_id).order_by("-date", "-pk")[:MATCHES_OFFERED]
    return (
        Match.objects.filter(pk__in=latest.values("pk"))
        .select_related("venue")
        .order_by("date", "pk")
    )
