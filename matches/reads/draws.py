"""A draw's answer, and how far it has been told where it is held angler by angler."""

from __future__ import annotations

from dataclasses import dataclass

from django.db.models import Count, Q, QuerySet

from matches.models import FISHING, Draw, Entry, EntryStatus, Match
from matches.reckon.draw import Assignment, DrawAnswer, draw_parse, draw_work_out


def draw_answer(draw: Draw) -> DrawAnswer:
    """What the calculator says to what the draw was asked. Raises BadInput."""
    return draw_work_out(draw_parse({**draw.asked, "seed": draw.seed}))


def draw_telling(match: Match) -> Draw | None:
    """The draw whose pegs are being told one by one and are not all told yet."""
    return match.draws.filter(told__isnull=False, drawn_at__isnull=True).first()


def access_kept(draw: Draw) -> int:
    """How many accessible pegs were kept for those who asked."""
    return sum(1 for angler in draw.asked.get("anglers", ()) if angler.get("needs_access"))


@dataclass(frozen=True, slots=True)
class Telling:
    """How far a draw is told, in the order of entry. `following`: whose turn it is, by the entry's
    number as text; None where all are told."""

    told: tuple[Assignment, ...]
    many: int
    following: str | None

    @property
    def left(self) -> int:
        return self.many - len(self.told)


def telling_of(draw: Draw) -> Telling:
    """How far the draw, begun, has been told; pegs of those still to come are not in it."""
    at = {a.angler: a for a in draw_answer(draw).assignments}
    order = [str(angler["id"]) for angler in draw.asked["anglers"]]
    told = draw.told or 0
    return Telling(
        told=tuple(at[angler] for angler in order[:told]),
        many=len(order),
        following=order[told] if told < len(order) else None,
    )


def draw_counts(match: Match) -> dict[str, int]:
    """How many draw, how many of them ask for an accessible peg, how many pegs there are, how many
    are accessible, and how many nets were weighed. Two queries."""
    asks, is_accessible = Q(needs_access=True), Q(peg__accessible=True)
    return {
        **entries_drawing(match).aggregate(drawing=Count("pk"), asking=Count("pk", filter=asks)),
        **match.section_pegs.aggregate(
            pegs=Count("pk", distinct=True),
            accessible=Count("pk", filter=is_accessible, distinct=True),
            weighed=Count("weigh_ins", distinct=True),
        ),
    }


def entries_drawing(match: Match) -> QuerySet[Entry]:
    """Who draws, in the order of entry: all but the disqualified and single entrants who are
    absent. An absent team member keeps a peg, or the team would be short by a score."""
    return (
        Entry.objects.filter(match=match, status__in=FISHING)
        .exclude(status=EntryStatus.DISQUALIFIED)
        .exclude(Q(status=EntryStatus.ABSENT) & Q(team__isnull=True))
        .order_by("pk")
    )
