"""A club's venues and their pegs. Fetch the club through `matches.reads.access` first."""

from __future__ import annotations

from django.db.models import Count, Exists, OuterRef, Q, QuerySet
from django.utils.translation import gettext as _

from matches.models import Club, Match, MatchState, Peg, PegLeftOut, SectionPeg, Venue
from matches.problems import Code, Problem
from matches.reckon.peg_fields import COLUMNS, PegLine
from matches.reckon.sections import BankPeg


def venues_of(club: Club) -> list[Venue]:
    """Every venue by name, each with `pegs_now` (not retired) and `matches_held`."""
    return list(
        Venue.objects.filter(club=club)
        .annotate(
            pegs_now=Count("pegs", filter=Q(pegs__retired=False), distinct=True),
            matches_held=Count("matches", distinct=True),
        )
        .order_by("name")
    )


def venue_of(club: Club, *, venue_id: int) -> Venue:
    """One venue of the club. Raises Problem NOT_FOUND."""
    venue = Venue.objects.filter(club=club, pk=venue_id).select_related("club").first()
    if venue is None:
        raise Problem(Code.NOT_FOUND, _("The club has no such venue."))
    return venue


def pegs_of(venue: Venue) -> QuerySet[Peg]:
    """All its pegs downstream, retired ones too, each with `named`: whether a match names it."""
    return (
        Peg.objects.filter(venue=venue)
        .annotate(
            named=Exists(SectionPeg.objects.filter(peg=OuterRef("pk")))
            | Exists(PegLeftOut.objects.filter(peg=OuterRef("pk")))
        )
        .order_by("position")
    )


def peg_of(venue: Venue, *, peg_id: int) -> Peg:
    """One peg of the venue, with `named`. Raises Problem NOT_FOUND."""
    peg = pegs_of(venue).select_related("venue__club").filter(pk=peg_id).first()
    if peg is None:
        raise Problem(Code.NOT_FOUND, _("The venue has no such peg."))
    return peg


def match_fixing_number(peg: Peg) -> Match | None:
    """A match for which the peg's number must stay: its pegs were drawn, or its phones logged."""
    named = SectionPeg.objects.filter(peg=peg).filter(
        Q(drawn_peg__isnull=False)
        | Q(match__draws__drawn_at__isnull=False)
        | Q(match__draws__told__isnull=False)
        | Q(match__facts__isnull=False)
    )
    return Match.objects.filter(pk__in=named.values("match_id")).order_by("-date").first()


def matches_to_come(peg: Peg) -> list[Match]:
    """Planned matches that have the peg in a section."""
    return list(
        Match.objects.filter(section_pegs__peg=peg, state=MatchState.PLANNED, called_off="")
    )


def bank_peg(peg: Peg) -> BankPeg:
    """The peg as the calculators of sections take it."""
    return BankPeg(peg.number, peg.side, peg.along_m, power_lines=peg.power_lines)


def peg_line(peg: Peg) -> PegLine:
    """The peg as a file writes it."""
    return PegLine(
        peg.position,
        peg.number,
        {name: getattr(peg, name) for name in COLUMNS if name != "number"},
    )
