"""A venue's pegs over all its published matches."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from django.db.models import OuterRef, Subquery

from matches.models import Bulletin, Peg, Venue
from matches.reckon.peg_form import Finish, PegForm, peg_forms

from .venues import pegs_of

#: What counts as having fished: who left early or stayed away says nothing of the peg.
FISHED = "entered"


@dataclass(frozen=True, slots=True)
class VenueForm:
    """The pegs in bank order, each with its form where it was fished; `matches` published there."""

    pegs: tuple[tuple[Peg, PegForm | None], ...]
    matches: int

    @property
    def known(self) -> int:
        return sum(form is not None for _peg, form in self.pegs)


def venue_form(venue: Venue) -> VenueForm:
    """Read from the latest bulletin of every match. Two queries. For who may see the venue."""
    newest = Bulletin.objects.filter(match=OuterRef("match")).order_by("-number").values("pk")[:1]
    bodies = list(
        Bulletin.objects.filter(match__venue=venue, pk=Subquery(newest)).values_list(
            "body", flat=True
        )
    )
    forms = peg_forms(one for body in bodies for one in _finishes(body)) or {}
    pegs = tuple((peg, forms.get(peg.number)) for peg in pegs_of(venue))
    return VenueForm(pegs, len(bodies))


def _finishes(body: dict[str, Any]) -> Iterator[Finish]:
    for section in body["sections"]:
        placed = [
            entry
            for entry in section["entries"]
            if entry["status"] == FISHED and entry["place"] is not None
        ]
        # Places count the others too: among those who fished they are taken anew.
        for entry in placed:
            place = Fraction(entry["place"])
            before = sum(Fraction(other["place"]) < place for other in placed)
            level = sum(Fraction(other["place"]) == place for other in placed)
            yield Finish(entry["peg"], before + Fraction(level + 1, 2), len(placed))
