"""A draw of pegs that anyone can check, with a hash and a pencil.

The SHA-256 of a secret seed is published before the draw and the seed after it. Everything else
follows from the seed: whoever has the lists and the seed gets the same pegs. SHA-256 is that of
FIPS 180-4; the shuffle is that of Fisher and Yates; RFC 3797 is the habit it follows.

The recipe, with one stream of numbers for the whole draw, lists sorted by the UTF-8 bytes of their
ids, pegs in the order given, section by section:

1. Who asks for an accessible peg draws first. They are shuffled; then each in turn lists the pegs
   still open to them, in order: accessible, nobody's, and in a team draw in a section where their
   team has nobody yet. The next number below the length of the list, counted from 0, is their peg.
   In a team draw a peg that would leave no accessible peg for somebody who asks and comes after is
   not taken: all pegs of its section leave the list, and the next number is taken below its length
   now.
2. Open: the others are shuffled and the n-th takes the n-th peg that is left.
   Team: in each team the others are shuffled and the n-th goes to the n-th section where the team
   has nobody yet; then in each section those without a peg, in the order of their ids, are
   shuffled and the n-th takes the n-th peg that is left there.

Where nobody asks, step 1 takes no number. In an open draw, and in a team draw where no team has
two who ask, every allowed way to seat those who ask is equally likely. Where a team has two or
more, each of them in turn is equally likely to get every peg still open to them, and the turns are
shuffled; the ways to seat them all are then not all equally likely.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from .access import Held, everyone_fits
from .request import DrawAngler, DrawRequest, DrawSection, ids_sorted, members_of
from .stream import draw_commitment, draw_stream, number_below, shuffled


@dataclass(frozen=True, slots=True)
class Assignment:
    """The peg one angler has drawn."""

    angler: str
    section: str
    peg: str


@dataclass(frozen=True, slots=True)
class DrawAnswer:
    """The commitment (hexadecimal) and the pegs, sorted by angler id in UTF-8 bytes."""

    commitment: str
    assignments: tuple[Assignment, ...]

    def as_json(self) -> dict[str, object]:
        """The response of the API."""
        return {
            "commitment": self.commitment,
            "assignments": [
                {"angler": a.angler, "section": a.section, "peg": a.peg} for a in self.assignments
            ],
        }


def draw_work_out(request: DrawRequest) -> DrawAnswer:
    """Draw the pegs. The order of anglers and sections in the request does not matter.

    The request is one that `draw_parse` lets through: see its refusals.
    """
    stream = draw_stream(request.seed)
    sections = sorted(request.sections, key=lambda s: s.id.encode())
    first = _draw_access(request, sections=sections, stream=stream)
    seated = {a.angler for a in first}
    gone = {a.peg for a in first}
    others = [angler for angler in request.anglers if angler.id not in seated]
    left = {s.id: [peg for peg in s.pegs if peg not in gone] for s in sections}
    if request.mode == "open":
        drawn = _draw_open(others, left=left, stream=stream)
    else:
        drawn = _draw_team(others, left=left, held=_sections_held(request, first), stream=stream)
    return DrawAnswer(
        commitment=draw_commitment(request.seed),
        assignments=tuple(sorted([*first, *drawn], key=lambda a: a.angler.encode())),
    )


def _draw_access(
    request: DrawRequest, *, sections: Sequence[DrawSection], stream: Iterator[int]
) -> list[Assignment]:
    """A peg for each who asks, in the order they drew."""
    # Whom an angler is kept apart from: the team. In an open draw everybody is their own.
    sides = {
        a.id: (a.team or "") if request.mode == "team" else a.id
        for a in request.anglers
        if a.needs_access
    }
    drawing = _AccessDraw(sections, Counter(sides.values()))
    return [
        drawing.draw(angler, side=sides[angler], stream=stream)
        for angler in shuffled(ids_sorted(sides), stream=stream)
    ]


class _AccessDraw:
    """The accessible pegs, and how many of each side are still to draw one."""

    def __init__(self, sections: Sequence[DrawSection], asking: Counter[str]) -> None:
        self.sections = sections
        self.free = [[peg for peg in s.pegs if peg in s.accessible] for s in sections]
        self.asking = asking
        self.held: set[Held] = set()
        # Of sides that have one each nobody is in another's way: any peg leaves enough.
        self.apart = all(many == 1 for many in asking.values())

    def draw(self, angler: str, *, side: str, stream: Iterator[int]) -> Assignment:
        """The peg of one who asks: see step 1 of the recipe."""
        self.asking[side] -= 1
        open_to = [
            (section, peg)
            for section, pegs in enumerate(self.free)
            if (side, section) not in self.held
            for peg in pegs
        ]
        while True:
            section, peg = open_to[number_below(stream, bound=len(open_to))]
            if self.apart or self._leaves_enough(side, section):
                self.free[section].remove(peg)
                self.held.add((side, section))
                return Assignment(angler, self.sections[section].id, peg)
            open_to = [other for other in open_to if other[0] != section]

    def _leaves_enough(self, side: str, section: int) -> bool:
        free = [len(pegs) - (n == section) for n, pegs in enumerate(self.free)]
        return everyone_fits(self.asking, free=free, held={*self.held, (side, section)})


def _sections_held(
    request: DrawRequest, drawn: Iterable[Assignment]
) -> Mapping[str, frozenset[str]]:
    """By team the sections where it has somebody."""
    section = {a.angler: a.section for a in drawn}
    return {
        team: frozenset(section[angler] for angler in of if angler in section)
        for team, of in members_of(request.anglers).items()
    }


def _draw_open(
    anglers: Collection[DrawAngler], *, left: Mapping[str, Sequence[str]], stream: Iterator[int]
) -> Iterator[Assignment]:
    """Angler n of the shuffled list takes peg n along the bank."""
    order = shuffled(ids_sorted(a.id for a in anglers), stream=stream)
    pegs = ((section, peg) for section, of in left.items() for peg in of)
    for angler, (section, peg) in zip(order, pegs, strict=False):
        yield Assignment(angler, section, peg)


def _draw_team(
    anglers: Collection[DrawAngler],
    *,
    left: Mapping[str, Sequence[str]],
    held: Mapping[str, Collection[str]],
    stream: Iterator[int],
) -> Iterator[Assignment]:
    """One of each team to each section, then the pegs within each section."""
    of_section: dict[str, list[str]] = {section: [] for section in left}
    members = members_of(anglers)
    for team in ids_sorted(members):
        to = [section for section in left if section not in held[team]]
        for section, angler in zip(
            to, shuffled(ids_sorted(members[team]), stream=stream), strict=True
        ):
            of_section[section].append(angler)
    for section, ids in of_section.items():
        for angler, peg in zip(
            shuffled(ids_sorted(ids), stream=stream), left[section], strict=False
        ):
            yield Assignment(angler, section, peg)
