"""The invented club's season: two earlier rounds with their bait, a league of anglers and one of
teams."""

from __future__ import annotations

import datetime as dt
import uuid
from collections.abc import Mapping
from typing import Any, Final

from bait.models import LarderLot
from bait.writes.larder import lot_throw
from matches.models import Club, League, Match, Person, Team
from matches.writes.bulletins import bulletin_publish
from matches.writes.draws import draw_commit, draw_hold
from matches.writes.leagues import league_make, league_rounds_set

from .club import ALDERS, ROVERS, TEALS
from .days import EARLIER_DAYS, Day, day_log
from .feeding import limits_set, plans_write
from .meetings import match_make
from .ordered import order_finish, order_prepare
from .weighing import Phone, weigh

EARLIER: Final = (("Bend Opener", 42), ("Bend Cup", 28))
PEGS: Final = {"A": range(1, 9), "B": range(9, 17), "C": range(17, 25)}
RULES: Final[dict[str, Any]] = {
    "counts": "points",
    "points": "low",
    "drop_worst": 1,
    "minimum_rounds": 2,
    "missed": "worst_plus_one",
    "tie_breaks": ["weight", "best_places", "last_round"],
}
LEAGUES: Final[tuple[tuple[str, str, dict[str, Any]], ...]] = (
    ("Wend Season League", "anglers", RULES),
    ("Wend Team League", "teams", {**RULES, "drop_worst": 0, "counts": "places"}),
)
AGREED: Final = "Everybody agreed at the scales."


def season_make(club: Club, *, match: Match) -> None:
    """Two rounds published before `match`, which is to be the third of both leagues."""
    idris = Person.objects.get(username="idris")
    early = [
        _round(club, name=name, date=_before(match, back), days=days)
        for (name, back), days in zip(EARLIER, EARLIER_DAYS, strict=True)
    ]
    rounds = [*early, match]
    for name, of, rules in LEAGUES:
        league = league_make(idris, club=club, name=name, of=of, rules=rules)
        league_rounds_set(idris, league=league, matches=[m.pk for m in rounds])
    _old_bait_throw(club, before=match.date)
    for one in early:
        bulletin_publish(idris, match=one, confirmed=True, reason=AGREED)


def season_goes_on(club: Club, *, match: Match) -> None:
    """`match` is the next round of both leagues."""
    idris = Person.objects.get(username="idris")
    for league in League.objects.filter(club=club):
        rounds = list(league.rounds.order_by("number").values_list("match_id", flat=True))
        league_rounds_set(
            idris,
            league=league,
            matches=[*rounds, match.pk],
            reason=f"{match.name} is the next round.",
        )


def _before(match: Match, days: int) -> dt.date:
    return match.date - dt.timedelta(days=days)


def _round(club: Club, *, name: str, date: dt.date, days: Mapping[str, Day]) -> Match:
    """Twenty-four drawn and weighed in at Priory Bend, the Alders with bait of one order; `days`
    are what members noted, by who they sign in as."""
    idris, maud, tamsin = (Person.objects.get(username=n) for n in ("idris", "maud", "tamsin"))
    match = match_make(
        club,
        name=name,
        slug=f"{name.lower().replace(' ', '-')}-{date}",
        date=date,
        venue="Priory Bend",
        sections=PEGS,
        entrants=[*ALDERS[:8], *TEALS[:8], *ROVERS[:8]],
    )
    alders = Team.objects.get(club=club, name="Otterbeck Alders")
    limits_set(idris, match=match)
    plans_write(maud, match=match, team=alders.name)
    order = order_prepare(maud, match=match, team=alders, ticked=False)
    draw_commit(idris, match=match, mode="open")
    draw_hold(idris, match=match)
    for username, day in days.items():
        day_log(Person.objects.get(username=username), match=match, day=day)
    weigh(Phone(tamsin, match=match), pegs=24)
    order_finish(maud, order=order, today=match.date)
    match.refresh_from_db()
    return match


def _old_bait_throw(club: Club, *, before: dt.date) -> None:
    """What came back from the earlier rounds and did not keep until `before`."""
    maud = Person.objects.get(username="maud")
    old = LarderLot.objects.filter(team__club=club, use_by__lt=before, amount__gt=0)
    for lot in old.select_related("team__club", "angler", "bait"):
        lot_throw(maud, lot=lot, amount=lot.amount, key=uuid.uuid4())
