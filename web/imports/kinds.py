"""The kinds of file that come in: what each is about, its columns, how it is looked at, written."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from bait.reckon.price_columns import PRICE_COLUMNS
from matches.models import ImportKind, Person
from matches.problems import Code, Problem
from matches.reckon.reading import Reading
from matches.reckon.sheets import Column, MappedRow
from matches.reckon.sheets.anglers import ANGLER_COLUMNS
from matches.reckon.sheets.pegs import PEG_COLUMNS
from matches.reckon.sheets.results import RESULT_COLUMNS

from . import anglers, pegs, prices, results
from .look import Look

About = Literal["club", "match", "venue", "shop"]


@dataclass(frozen=True)
class Kind:
    """`about` is what a file is for. `alike` says by what a row is known again, in a sentence;
    `sample` is a file to begin from, heads first."""

    key: str
    title: Any
    alike: Any
    about: About
    columns: Sequence[Column]
    sample: Sequence[Sequence[str]]
    look: Callable[[Any, Sequence[MappedRow], Reading], Look]
    write: Callable[[Person, Any, Look], Mapping[str, int]]
    #: Columns of which any one will do, where no single one is needed.
    one_of: Sequence[str] = ()

    def missing(self, columns: Mapping[str, int]) -> list[str]:
        """What has to be there and is not, in the words of the screen."""
        words = {column.name: column.words for column in self.columns}
        missing = [c.words for c in self.columns if c.needed and c.name not in columns]
        if self.one_of and not set(self.one_of) & set(columns):
            missing.append(_(" or ").join(words[name] for name in self.one_of))
        return missing


ANGLER_SAMPLE = (
    ("Name", "Membership number", "Team", "Junior", "Guardian agreed to the name being shown"),
    ("Maud Ferris", "12", "Alders", "no", "no"),
    ("Perrin Stoat", "13", "", "yes", "no"),
)
KINDS: Mapping[str, Kind] = {
    kind.key: kind
    for kind in (
        Kind(
            ImportKind.ANGLERS,
            gettext_lazy("Anglers of the club’s book"),
            gettext_lazy("An angler is known again by membership number, or else by name."),
            "club",
            ANGLER_COLUMNS,
            ANGLER_SAMPLE,
            anglers.look,
            anglers.write,
            one_of=("name", "surname"),
        ),
        Kind(
            ImportKind.ENTRANTS,
            gettext_lazy("Entrants of a match"),
            gettext_lazy("An angler is known again by membership number, or else by name."),
            "match",
            ANGLER_COLUMNS,
            ANGLER_SAMPLE,
            anglers.entrants_look,
            anglers.entrants_write,
            one_of=("name", "surname"),
        ),
        Kind(
            ImportKind.PEGS,
            gettext_lazy("Pegs of a venue"),
            gettext_lazy("A peg is known again by its number; the rows stand downstream."),
            "venue",
            PEG_COLUMNS,
            (
                tuple(column.words for column in PEG_COLUMNS),
                ("1", "left", "0", "180", "52.123456", "-1.234567", "yes", "no", "no", "By a gate"),
                ("2", "left", "12", "195", "", "", "no", "no", "yes", ""),
            ),
            pegs.look,
            pegs.write,
        ),
        Kind(
            ImportKind.PRICES,
            gettext_lazy("Prices of a shop"),
            gettext_lazy("A pack is known again by its bait, amount and unit."),
            "shop",
            PRICE_COLUMNS,
            (
                (
                    "Bait",
                    "Amount in a pack",
                    "Unit",
                    "Price",
                    "From so many packs",
                    "Price from so many on",
                ),
                ("Caster", "1", "pint", "4.40", "10", "3.90"),
                ("Hemp", "2", "pint", "2.60", "", ""),
            ),
            prices.look,
            prices.write,
        ),
        Kind(
            ImportKind.RESULTS,
            gettext_lazy("Results of before"),
            gettext_lazy("A result is known again by its day, venue and angler."),
            "club",
            RESULT_COLUMNS,
            (
                ("Date", "Venue", "Match", "Angler", "Peg", "Section", "Weight", "Place", "Points"),
                (
                    "2019-06-08",
                    "Name of the venue",
                    "Spring Open",
                    "Maud Ferris",
                    "12",
                    "A",
                    "27 lb 6 oz 8 dr",
                    "1",
                    "1",
                ),
                (
                    "2019-06-08",
                    "Name of the venue",
                    "Spring Open",
                    "Perrin Stoat",
                    "13",
                    "A",
                    "12-3-0",
                    "2",
                    "2",
                ),
            ),
            results.look,
            results.write,
        ),
    )
}


def kind_of(key: str) -> Kind:
    """Raises Problem NOT_FOUND."""
    if key not in KINDS:
        raise Problem(Code.NOT_FOUND, _("No files of that kind are read here."))
    return KINDS[key]
