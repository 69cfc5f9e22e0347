"""How places are given and what they are worth: schemes are data, not code."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Final, Literal, cast

from ..reading import Reading, Where

Direction = Literal["low", "high"]
Ties = Literal["average", "same_best", "same_worst"]
Blank = Literal["average_of_left", "last_plus_one", "size", "size_plus_one", "one", "zero"]
Absent = Literal["size_plus_one", "size_plus_two", "size", "zero"]

DIRECTIONS: Final = ("low", "high")
TIES: Final = ("average", "same_best", "same_worst")
BLANKS: Final = ("average_of_left", "last_plus_one", "size", "size_plus_one", "one", "zero")
ABSENTS: Final = ("size_plus_one", "size_plus_two", "size", "zero")
FIRST_MOST: Final = 1_000_000
STEP_MOST: Final = 1_000


@dataclass(frozen=True, slots=True)
class Scheme:
    """One way of scoring a section; every value left out is the international rule's.

    `direction` low: points are the place, the lowest total wins. high: the winner of a section
    gets `first` points (None: the section's size) and each place further down is worth `step`
    less; points never fall below 0, however far down the place.

    `ties` (equal weights above 0 filling places p to q): `average` (p + q)/2, `same_best` p,
    `same_worst` q; the next weight is placed q + 1 in each.

    `blank` (fished, weighed nothing), with k anglers who caught in a section of N:
    `average_of_left` (k + 1 + N)/2, `last_plus_one` k + 1 for each, `size` N, `size_plus_one`
    N + 1. `absent` (also the disqualified): `size_plus_one`, `size_plus_two` or `size`.
    `one` is a single point for a blank, `zero` none, both only where high points win; the place
    told is then the international one.

    Source of the international rule: art. 33 of the international coarse-angling text in
    translation and the Polish federation's points rule; N + 1 for the absent: an event under
    international rules. The other words are club variants.
    """

    direction: Direction = "low"
    ties: Ties = "average"
    blank: Blank = "average_of_left"
    absent: Absent = "size_plus_one"
    first: Fraction | None = None
    step: Fraction = Fraction(1)

    @property
    def points_per_unit(self) -> int:
        """How many of the whole units that points are counted in make one point."""
        tenths = 1
        while (self.step * tenths).denominator > 1 or (
            self.first is not None and (self.first * tenths).denominator > 1
        ):
            tenths *= 10
        return 2 * tenths


INTERNATIONAL: Final = Scheme()


def scheme_read(reading: Reading, raw: object, where: Where) -> Scheme:
    """The scheme named or described at `where`; faults go to `reading`."""
    if isinstance(raw, str):
        reading.read_word(raw, where, words=("international",))
        return INTERNATIONAL
    if not isinstance(raw, dict):
        reading.fault(where, 'Write "international" or an object that describes the scheme.')
        return INTERNATIONAL
    keys = ("direction", "ties", "blank", "absent", "first", "step")
    beside = ("teams_ranked_without_singles",)  # read with the request, which may hold it too
    given = reading.read_object(raw, where, needs=(), may=keys + beside)

    def word(key: str, words: tuple[str, ...], usual: str) -> str:
        return reading.read_word(given.get(key, usual), (*where, key), words=words)

    first = given.get("first")
    scheme = Scheme(
        direction=cast(Direction, word("direction", DIRECTIONS, INTERNATIONAL.direction)),
        ties=cast(Ties, word("ties", TIES, INTERNATIONAL.ties)),
        blank=cast(Blank, word("blank", BLANKS, INTERNATIONAL.blank)),
        absent=cast(Absent, word("absent", ABSENTS, INTERNATIONAL.absent)),
        first=None
        if first is None
        else reading.read_decimal(first, (*where, "first"), most=FIRST_MOST),
        step=reading.read_decimal(given.get("step", "1"), (*where, "step"), most=STEP_MOST),
    )
    _low_refuse(reading, scheme, where)
    return scheme


def _low_refuse(reading: Reading, scheme: Scheme, where: Where) -> None:
    """Note what makes no sense where the lowest total wins."""
    if scheme.direction == "high":
        return
    for key in ("blank", "absent"):
        if getattr(scheme, key) == "zero":
            reading.fault((*where, key), "No points would win here: use zero with high points.")
    if scheme.blank == "one":
        reading.fault((*where, "blank"), "One point would win here: use one with high points.")
    if scheme.first is not None:
        reading.fault((*where, "first"), "Points for the winner go with direction high: use null.")
    if scheme.step != 1:
        reading.fault((*where, "step"), 'A step goes with direction high: use "1".')
