"""The invented day of the whole-day test: what 36 anglers weighed, and what that comes to.

Everything expected is worked out here by hand, from the international rule: equal weights share
the average of the places they fill, blanks that of the places left over, (first free + 12)/2, and
a disqualified angler gets section size + 1, so 13.
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Any

from matches.models import Angler, Match, Membership, Person, Role, Team
from matches.writes.bulletins import bulletin_publish
from matches.writes.entries import entries_add
from tests.fished import weigh

# Grams in sections A, B and C. Ashes' 6,400 does not count: that angler is disqualified.
WEIGHTS = {
    "Otterbeck Alders": (5200, 2200, 2000),
    "Otterbeck Teals": (4100, 3600, 1700),
    "Larkmill Rovers": (4100, 1800, 5200),
    "Otterbeck Ashes": (3800, 6400, 4400),
    "Otterbeck Birches": (3100, 4700, 600),
    "Otterbeck Elms": (2600, 0, 3300),
    "Otterbeck Hazels": (2600, 3000, 1350),
    "Otterbeck Maples": (2600, 2950, 3900),
    "Otterbeck Oaks": (1500, 2500, 4000),
    "Otterbeck Rowans": (900, 1200, 2800),
    "Otterbeck Sallows": (0, 800, 2400),
    "Otterbeck Willows": (0, 4700, 1000),
}
# A: two fill 2 and 3, (2+3)/2 = 2.5; three fill 6 to 8: 7; ten caught, two blanks: (11+12)/2.
# B: two fill 1 and 2: 1.5; ten caught and one out: the blank (11+12)/2 = 11.5; the one out 13.
# C: no two are level.
PLACES = {
    "Otterbeck Alders": ("1", "7", "8"),
    "Otterbeck Teals": ("2.5", "3", "9"),
    "Larkmill Rovers": ("2.5", "8", "1"),
    "Otterbeck Ashes": ("4", "13", "2"),
    "Otterbeck Birches": ("5", "1.5", "12"),
    "Otterbeck Elms": ("7", "11.5", "5"),
    "Otterbeck Hazels": ("7", "4", "10"),
    "Otterbeck Maples": ("7", "5", "4"),
    "Otterbeck Oaks": ("9", "6", "3"),
    "Otterbeck Rowans": ("10", "9", "6"),
    "Otterbeck Sallows": ("11.5", "10", "7"),
    "Otterbeck Willows": ("11.5", "1.5", "11"),
}
# Rank, team, sum of its three places, grams that count.
TEAMS = [
    ("1", "Larkmill Rovers", "11.5", 11100),  # 2.5 + 8 + 1
    ("2", "Otterbeck Teals", "14.5", 9400),  # 2.5 + 3 + 9
    ("3", "Otterbeck Maples", "16", 9450),  # 7 + 5 + 4: 50 g more than Alders
    ("4", "Otterbeck Alders", "16", 9400),  # 1 + 7 + 8
    ("5", "Otterbeck Oaks", "18", 8000),  # 9 + 6 + 3
    ("6", "Otterbeck Birches", "18.5", 8400),  # 5 + 1.5 + 12
    ("7", "Otterbeck Ashes", "19", 8200),  # 4 + 13 + 2; 3,800 + 4,400
    ("8", "Otterbeck Hazels", "21", 6950),  # 7 + 4 + 10
    ("9", "Otterbeck Elms", "23.5", 5900),  # 7 + 11.5 + 5
    ("10", "Otterbeck Willows", "24", 5700),  # 11.5 + 1.5 + 11
    ("11", "Otterbeck Rowans", "25", 4900),  # 10 + 9 + 6
    ("12", "Otterbeck Sallows", "28.5", 3200),  # 11.5 + 10 + 7
]
# The correction: Rowans in C had 4,800, not 2,800, so from 6th to 2nd; who was 2nd to 5th is one
# place further back.
CORRECTED = 4800
PLACES_AFTER = PLACES | {
    "Otterbeck Rowans": ("10", "9", "2"),
    "Otterbeck Ashes": ("4", "13", "3"),
    "Otterbeck Oaks": ("9", "6", "4"),
    "Otterbeck Maples": ("7", "5", "5"),
    "Otterbeck Elms": ("7", "11.5", "6"),
}
TEAMS_AFTER = [
    ("1", "Larkmill Rovers", "11.5", 11100),
    ("2", "Otterbeck Teals", "14.5", 9400),
    ("3", "Otterbeck Alders", "16", 9400),
    ("4", "Otterbeck Maples", "17", 9450),  # 7 + 5 + 5
    ("5", "Otterbeck Birches", "18.5", 8400),
    ("6", "Otterbeck Oaks", "19", 8000),  # 9 + 6 + 4
    ("7", "Otterbeck Ashes", "20", 8200),  # 4 + 13 + 3
    ("8", "Otterbeck Hazels", "21", 6950),  # 50 g more than Rowans
    ("9", "Otterbeck Rowans", "21", 6900),  # 10 + 9 + 2; 4,900 + 2,000
    ("10", "Otterbeck Willows", "24", 5700),
    ("11", "Otterbeck Elms", "24.5", 5900),  # 7 + 11.5 + 6
    ("12", "Otterbeck Sallows", "28.5", 3200),
]
# The round before, June Open: Alders 1 + 2, Teals 2 + 1, so 3 each. Nobody else was there: one
# place behind the worst of that round, 4. Rank, team, total.
LEAGUE = [
    ("1", "Larkmill Rovers", "15.5"),  # 4 + 11.5
    ("2", "Otterbeck Teals", "17.5"),  # 3 + 14.5
    ("3", "Otterbeck Alders", "19"),  # 3 + 16
    ("4", "Otterbeck Maples", "20"),  # 4 + 16
    ("5", "Otterbeck Oaks", "22"),  # 4 + 18
    ("6", "Otterbeck Birches", "22.5"),  # 4 + 18.5
    ("7", "Otterbeck Ashes", "23"),  # 4 + 19
    ("8", "Otterbeck Hazels", "25"),  # 4 + 21
    ("9", "Otterbeck Elms", "27.5"),  # 4 + 23.5
    ("10", "Otterbeck Willows", "28"),  # 4 + 24
    ("11", "Otterbeck Rowans", "29"),  # 4 + 25
    ("12", "Otterbeck Sallows", "32.5"),  # 4 + 28.5
]
LEAGUE_AFTER = [
    ("1", "Larkmill Rovers", "15.5"),
    ("2", "Otterbeck Teals", "17.5"),
    ("3", "Otterbeck Alders", "19"),
    ("4", "Otterbeck Maples", "21"),  # 4 + 17
    ("5", "Otterbeck Birches", "22.5"),
    ("6", "Otterbeck Oaks", "23"),  # 4 + 19
    ("7", "Otterbeck Ashes", "24"),  # 4 + 20
    ("8", "Otterbeck Hazels", "25"),  # 4 + 21, with 50 g more
    ("9", "Otterbeck Rowans", "25"),  # 4 + 21
    ("10", "Otterbeck Willows", "28"),
    ("11", "Otterbeck Elms", "28.5"),  # 4 + 24.5
    ("12", "Otterbeck Sallows", "32.5"),
]
# The pool: 36 at 5.00 = 180.00. By place 50 % = 90.00, 25 % = 45.00, then 15.05; the best of each
# section 6.00, passed on by who has a prize by place. What is won by team and section.
PRIZES = {
    ("Otterbeck Alders", "A"): Decimal("67.50"),  # 5,200 twice: (90.00 + 45.00) / 2
    ("Larkmill Rovers", "C"): Decimal("67.50"),
    ("Otterbeck Birches", "B"): Decimal("7.53"),  # 4,700 twice at 3rd: 15.05 / 2, entered first
    ("Otterbeck Willows", "B"): Decimal("7.52"),
    ("Otterbeck Teals", "A"): Decimal("3.00"),  # Alders pass on; 4,100 twice: 6.00 / 2
    ("Larkmill Rovers", "A"): Decimal("3.00"),
    ("Otterbeck Teals", "B"): Decimal("6.00"),  # Birches and Willows pass on; 3,600
    ("Otterbeck Ashes", "C"): Decimal("6.00"),  # Larkmill pass on; 4,400
}
PRIZES_AFTER = {
    ("Otterbeck Alders", "A"): Decimal("67.50"),
    ("Larkmill Rovers", "C"): Decimal("67.50"),
    ("Otterbeck Rowans", "C"): Decimal("15.05"),  # 4,800 is 3rd alone
    ("Otterbeck Birches", "B"): Decimal("3.00"),  # 4th no more by place: 6.00 / 2
    ("Otterbeck Willows", "B"): Decimal("3.00"),
    ("Otterbeck Teals", "A"): Decimal("3.00"),
    ("Larkmill Rovers", "A"): Decimal("3.00"),
    ("Otterbeck Ashes", "C"): Decimal("6.00"),  # Larkmill and Rowans pass on
}
#: Handed over before the correction, and what of it is too much after it.
HANDED = {("Otterbeck Birches", "B"): Decimal("7.53"), ("Otterbeck Teals", "B"): Decimal("6.00")}
ASKED_BACK = {
    ("Otterbeck Birches", "B"): Decimal("4.53"),  # 7.53 - 3.00
    ("Otterbeck Teals", "B"): Decimal("6.00"),
}
NOT_WON = Decimal("11.95")  # 180.00 - 90.00 - 45.00 - 15.05 - 3 × 6.00, before and after

FIRST_NAMES = ("Ansel", "Bryony", "Corin")
PEGS_CSV = "number,side,along_m,depth_cm\n" + "".join(
    f"{n},left,{(n - 1) * 15},{150 + n * 7 % 60}\n" for n in range(1, 37)
)


def book_filled(world: Any) -> dict[str, str]:
    """Twelve teams of three in the club's book; every angler's team by name."""
    for name in WEIGHTS:
        team, _ = Team.objects.get_or_create(club=world.club, name=name)
        for first in FIRST_NAMES[: 3 - team.anglers.count()]:
            Angler.objects.create(club=world.club, team=team, name=f"{first} {name.split()[-1]}")
    return dict(Angler.objects.filter(club=world.club).values_list("name", "team__name"))


def teams_enter(match: Match, names: Sequence[str]) -> None:
    """Each of these teams enters whole."""
    secretary = Person.objects.get(username="idris")
    for team in Team.objects.filter(club=match.club, name__in=names):
        ids = [angler.pk for angler in team.anglers.all()]
        entries_add(secretary, match=match, angler_ids=ids, team_id=team.pk)


def weighers_named(world: Any, match: Any) -> None:
    """Tamsin and Perrin carry a phone each at the scales."""
    for username in ("tamsin", "perrin"):
        person = Person.objects.get(username=username)
        Membership.objects.create(club=world.club, person=person, role=Role.WEIGHER, match=match)


def round_before(world: Any) -> None:
    """June Open is fished and confirmed: Alders and Teals, a first and a second each."""
    for peg, weight in [("1", 4000), ("2", 3000), ("4", 2000), ("5", 2500)]:
        weigh(world, peg, weight, by=world.secretary)
    bulletin_publish(world.secretary, match=world.match, confirmed=True)
