"""Loading the invented club, in one transaction; running it again adds only what is missing."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Final

from django.db import transaction

from matches.models import Club, Match, Person, Team
from matches.times import coming_saturday
from matches.writes.bulletins import bulletin_publish
from matches.writes.draws import draw_commit, draw_hold

from .club import ALDERS, ROVERS, TEALS, club_make
from .days import MAUD, WILMOT, day_log
from .entering import entries_go_on
from .feeding import limits_set, plans_write, template_write, throws_measure
from .measuring import swim_measure
from .meetings import match_make
from .ordered import order_finish, order_prepare
from .pooling import fish_weigh, pools_set, prizes_pay
from .season import season_goes_on, season_make
from .shops import larder_before, larder_fill, shops_make
from .weighing import Phone, first_rule, weigh, weigh_again, weigh_alike

DEMO_PASSWORD: Final = "heron-on-the-wend"
DOUBTED_PEG: Final = "17"


@dataclass(frozen=True, slots=True)
class Demo:
    """What the demo shows first: the captain, her team, and the match it orders for."""

    club: Club
    captain: Person
    team: Team
    finished: Match
    today: Match
    saturday: Match


def demo_load(*, today: dt.date) -> Demo:
    """The invented club as of `today`: what is there already stays as it is."""
    with transaction.atomic():
        club = Club.objects.filter(slug="otterbeck").first()
        saturday = coming_saturday(today)
        finished_on = saturday - dt.timedelta(days=14)
        new = club is None
        if club is None:
            club = club_make(password=DEMO_PASSWORD)
            shops_make(club)
            larder_before(club, finished=finished_on)
        captain = Person.objects.get(username="maud")
        team = Team.objects.get(club=club, name="Otterbeck Alders")
        finished = _match_finished(club, date=finished_on, today=today)
        if new:
            template_write(captain, team=team)
            larder_fill(club, saturday=saturday)
        return Demo(
            club=club,
            captain=captain,
            team=team,
            finished=finished,
            today=_match_today(club, date=today),
            saturday=_match_saturday(club, date=saturday),
        )


def _match_finished(club: Club, *, date: dt.date, today: dt.date) -> Match:
    """Bait ordered and its kitty settled; 36 pegs weighed in, one doubt settled, published twice
    and confirmed; its pools are paid out."""
    there = Match.objects.filter(club=club, slug__startswith="meadow-shield").first()
    if there is not None:
        return there
    match = match_make(
        club,
        name="Meadow Shield",
        slug=f"meadow-shield-{date}",
        date=date,
        venue="Tolling Meadow",
        sections={"A": range(1, 13), "B": range(13, 25), "C": range(25, 37)},
        entrants=[*ALDERS, *TEALS, *ROVERS],
    )
    season_make(club, match=match)
    idris, maud, tamsin = (Person.objects.get(username=n) for n in ("idris", "maud", "tamsin"))
    alders = Team.objects.get(club=club, name="Otterbeck Alders")
    limits_set(idris, match=match)
    pools_set(idris, match=match)
    throws_measure(maud, match=match)
    plans_write(maud, match=match, team=alders.name)
    order = order_prepare(maud, match=match, team=alders)
    draw_commit(idris, match=match, mode="open")
    draw_hold(idris, match=match)
    wilmot = Person.objects.get(username="wilmot")
    for person, day in ((maud, MAUD), (wilmot, WILMOT)):
        day_log(person, match=match, day=day)
    order_finish(maud, order=order, today=today)
    weigh(Phone(tamsin, match=match), pegs=36)
    fish_weigh(idris, match=match)
    doubt = weigh_again(Phone(idris, match=match), peg=DOUBTED_PEG, weight=2290)
    bulletin_publish(idris, match=match)
    first_rule(idris, disagreement=doubt)
    bulletin_publish(
        idris,
        match=match,
        confirmed=True,
        reason=f"Peg {DOUBTED_PEG}: the second phone had two digits the wrong way round; "
        "the weight on the scales sheet stands.",
    )
    prizes_pay(idris, match=match)
    match.refresh_from_db()
    return match


def _match_today(club: Club, *, date: dt.date) -> Match:
    """Twelve on the bank now: some weighed in, two weights for one net, the rest to come."""
    slug = f"bend-knock-up-{date}"
    there = Match.objects.filter(club=club, slug=slug).first()
    if there is not None:
        return there
    match = match_make(
        club,
        name="Bend Knock-up",
        slug=slug,
        date=date,
        venue="Priory Bend",
        sections={"A": range(1, 7), "B": range(7, 13)},
        entrants=[*ALDERS[:6], *TEALS[:6]],
    )
    idris, maud, tamsin = (Person.objects.get(username=n) for n in ("idris", "maud", "tamsin"))
    limits_set(idris, match=match)
    plans_write(maud, match=match, team="Otterbeck Alders")
    draw_commit(idris, match=match, mode="open")
    draw_hold(idris, match=match)
    swim_measure(maud, match=match)
    weigh(Phone(tamsin, match=match), pegs=4)
    second = Phone(idris, match=match)
    weigh_alike(second, peg="1")
    weigh_again(second, peg="3", weight=1890)
    match.refresh_from_db()
    return match


def _match_saturday(club: Club, *, date: dt.date) -> Match:
    """Three teams of eight, two waiting; the draw is committed to; the Alders have planned."""
    slug = f"bend-league-{date}"
    there = Match.objects.filter(club=club, slug=slug).first()
    if there is not None:
        return there
    match = match_make(
        club,
        name="Bend League",
        slug=slug,
        date=date,
        venue="Priory Bend",
        sections={"A": range(1, 9), "B": range(9, 17), "C": range(17, 25)},
        entrants=[*ALDERS[:8], *TEALS[:8], *ROVERS[:8]],
    )
    idris, maud = (Person.objects.get(username=name) for name in ("idris", "maud"))
    limits_set(idris, match=match)
    plans_write(maud, match=match, team="Otterbeck Alders")
    entries_go_on(idris, match=match, waiting=ALDERS[8:10], reserve=TEALS[8], access="Hester Vane")
    draw_commit(idris, match=match, mode="open")
    season_goes_on(club, match=match)
    return match
