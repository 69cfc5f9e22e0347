"""A draw held angler by angler: worked out at once, told one tap after the other.

The pegs are those of a draw held at once: the order of telling, which is the order of entry, plays
no part in them. A peg is stored when it is told, so nobody can read one before.
"""

from __future__ import annotations

from django.db import transaction
from django.utils.translation import gettext as _

from matches.models import Draw, Match, MatchState, Person
from matches.problems import Code, Problem
from matches.reads.draws import draw_answer, draw_telling

from .audit import audit_record
from .draws import draw_ask, draw_end, pegs_save
from .locks import match_locked


def draw_begin(person: Person, *, match: Match) -> Draw:
    """Fix the lists and begin to tell the pegs one by one; begun already, that draw is given.

    Raises Problem and BadInput as `draw_hold` does.
    """
    with transaction.atomic():
        match = match_locked(person, match=match)
        begun = draw_telling(match)
        if begun is not None:
            return begun
        draw = draw_ask(match)
        draw.told = 0
        draw.save(update_fields=["told"])
        Match.objects.filter(pk=match.pk).update(state=MatchState.PLANNED)
        audit_record(
            club=match.club,
            person=person,
            verb="draw_begin",
            subject=match,
            detail={"draw": draw.number, "anglers": len(draw.asked["anglers"])},
        )
        return draw


def draw_tell(person: Person, *, match: Match, told: int) -> Draw:
    """Tell the next angler's peg; the last ends the draw. `told`: how many were told where the tap
    was made, so that a tap that comes twice tells one. Raises Problem CONFLICT: none is told."""
    with transaction.atomic():
        match = match_locked(person, match=match)
        draw = _begun(match)
        if draw.drawn_at is None and draw.told == told:
            _tell(person, draw=draw, upto=told + 1)
        return draw


def draw_tell_rest(person: Person, *, match: Match) -> Draw:
    """Tell all that are left at once, which ends the draw; ended already, it stays as it is.
    Raises Problem CONFLICT: none is told."""
    with transaction.atomic():
        match = match_locked(person, match=match)
        draw = _begun(match)
        if draw.drawn_at is None:
            _tell(person, draw=draw, upto=len(draw.asked["anglers"]))
        return draw


def _begun(match: Match) -> Draw:
    """The match's last draw, told one by one, to the end perhaps."""
    draw = match.draws.order_by("-number").first()
    if draw is None or draw.told is None:
        raise Problem(Code.CONFLICT, _("The pegs are not being told one by one: begin that first."))
    return draw


def _tell(person: Person, *, draw: Draw, upto: int) -> None:
    """Give the pegs of those told now, and end the draw with the last."""
    before, order = draw.told or 0, draw.asked["anglers"]
    now = {str(angler["id"]) for angler in order[before:upto]}
    pegs_save(draw, (a for a in draw_answer(draw).assignments if a.angler in now))
    draw.told = upto
    if upto == len(order):
        draw_end(person, draw=draw)
        return
    draw.save(update_fields=["told"])
    audit_record(
        club=draw.match.club,
        person=person,
        verb="draw_tell",
        subject=draw.match,
        detail={"draw": draw.number, "told": upto},
    )
