"""Who is in the invented club, and where it fishes."""

from __future__ import annotations

from collections.abc import Mapping

from matches.models import Angler, Bank, Club, Membership, Peg, Person, Role, Team, Venue

ALDERS = (
    "Maud Ferris",
    "Wilmot Crane",
    "Hester Vane",
    "Silas Brome",
    "Nell Tarrant",
    "Jory Thrale",
    "Ivo Lasker",
    "Una Sedge",
    "Bram Quillet",
    "Clem Harrow",
    "Edda Winch",
    "Rufus Kell",
)
TEALS = (
    "Odette Marl",
    "Perrin Stoat",
    "Greta Holm",
    "Abel Dunnock",
    "Tilda Roke",
    "Amos Fenn",
    "Cora Lyle",
    "Piers Wadham",
    "Sib Orchard",
    "Dell Marrow",
    "Hugo Stallard",
    "Mina Crake",
)
ROVERS = (
    "Barnaby Flood",
    "Ottilie Reave",
    "Gus Pennant",
    "Isla Murk",
    "Noel Dray",
    "Petra Swale",
    "Kit Larch",
    "Vida Brack",
    "Walt Eddison",
    "Yvo Carrow",
    "Zeb Mallin",
    "Ada Thorne",
)
JUNIOR = "Kit Larch"
ACCOUNTS = ("Idris Pell", "Maud Ferris", "Tamsin Rook", "Wilmot Crane")


def club_make(*, password: str) -> Club:
    """The club with its teams, venues and the four people who sign in."""
    club = Club.objects.create(name="Otterbeck Piscatorials", slug="otterbeck")
    people = {name: _person_make(name, password=password) for name in ACCOUNTS}
    for team, names, visitors in (
        ("Otterbeck Alders", ALDERS, False),
        ("Otterbeck Teals", TEALS, False),
        ("Larkmill Rovers", ROVERS, True),
    ):
        row = Team.objects.create(club=club, name=team, visitors=visitors)
        for name in names:
            Angler.objects.create(
                club=club, team=row, name=name, person=people.get(name), junior=name == JUNIOR
            )
    _roles_give(club, people)
    _venue_make(
        club,
        name="Tolling Meadow",
        pegs=36,
        side=Bank.LEFT,
        hazards={5: "steep_bank", 6: "steep_bank", 28: "power_lines"},
        cautions="Power lines cross the bank by peg 28: keep poles at least 30 m away. "
        "The bank is steep at pegs 5 and 6.",
    )
    _venue_make(
        club,
        name="Priory Bend",
        pegs=24,
        side=Bank.RIGHT,
        hazards={},
        cautions="The path floods when the gauge at the bridge reads above 1.2 m.",
    )
    return club


def _person_make(name: str, *, password: str) -> Person:
    first, last = name.split()
    return Person.objects.create_user(
        first.lower(), password=password, first_name=first, last_name=last
    )


def _roles_give(club: Club, people: dict[str, Person]) -> None:
    alders = Team.objects.get(club=club, name="Otterbeck Alders")
    for person in people.values():
        Membership.objects.create(club=club, person=person, role=Role.MEMBER)
    Membership.objects.create(club=club, person=people["Idris Pell"], role=Role.SECRETARY)
    Membership.objects.create(
        club=club, person=people["Maud Ferris"], role=Role.CAPTAIN, team=alders
    )


def _venue_make(
    club: Club, *, name: str, pegs: int, side: Bank, hazards: Mapping[int, str], cautions: str
) -> None:
    """Pegs 12 m apart; `hazards` names the mark that a peg has."""
    venue = Venue.objects.create(club=club, name=name, water="Wend", cautions=cautions)
    for n in range(1, pegs + 1):
        Peg.objects.create(
            venue=venue,
            number=str(n),
            position=n,
            side=side,
            along_m=(n - 1) * 12,
            depth_cm=150 + n * 37 % 130,
            accessible=n in (1, 2, 12, 13),
            notes="Step down with a rail." if n == 2 else "",
            **({hazards[n]: True} if n in hazards else {}),
        )
