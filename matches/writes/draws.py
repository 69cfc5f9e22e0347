"""The draw: its commitment before, its pegs and its seed after, and again only with a reason."""

from __future__ import annotations

import secrets
from typing import Any

from django.db import transaction
from django.db.models import Q
from django.utils import timezone
from django.utils.translation import gettext as _

from matches.models import (
    FISHING,
    Club,
    Draw,
    DrawnPeg,
    Entry,
    EntryStatus,
    Match,
    MatchState,
    Person,
    SectionPeg,
    WeighIn,
)
from matches.problems import Code, Problem
from matches.reads.access import match_for_secretary
from matches.reckon.draw import DrawAnswer, draw_commitment, draw_parse, draw_work_out
from matches.reckon.errors import Fault
from matches.reckon.reading import is_storable

from .audit import audit_record
from .facts import weigh_ins_project


def draw_commit(person: Person, *, match: Match, mode: str, reason: str = "") -> Draw:
    """Make a secret seed and publish its commitment; asked twice, the one that waits is given.

    A draw after the first needs `reason`. Raises Problem.
    """
    with transaction.atomic():
        match = _match_locked(person, match=match)
        if mode not in ("open", "team"):
            raise _refused("mode", _("Choose an open draw or a team draw."))
        last = match.draws.order_by("-number").first()
        if last is not None and last.drawn_at is None and last.mode == mode:
            return last
        if not is_storable(reason):
            raise _refused("reason", _("A character here cannot be stored: write it anew."))
        if last is not None and not reason.strip():
            raise _refused("reason", _("Say why there is another draw: everybody will read it."))
        _weights_refuse(match)
        seed = secrets.token_bytes(32)
        draw = Draw.objects.create(
            match=match,
            number=last.number + 1 if last else 1,
            mode=mode,
            seed=seed.hex(),
            commitment=draw_commitment(seed),
            reason=reason.strip()[:200] if last else "",
        )
        audit_record(
            club=match.club,
            person=person,
            verb="draw_commit",
            subject=match,
            detail={"draw": draw.number, "commitment": draw.commitment, "mode": mode},
        )
        return draw


def draw_hold(person: Person, *, match: Match) -> Draw:
    """Draw the pegs with the seed committed to, and show the seed.

    Every entry draws but the disqualified and single entrants who are absent: an absent team
    member keeps a peg, or the team would be short by a score. Held already: Problem CONFLICT.
    Raises BadInput where the lists do not fit the mode (the calculator's own words).
    """
    with transaction.atomic():
        match = _match_locked(person, match=match)
        draw = match.draws.order_by("-number").first()
        if draw is None:
            raise Problem(Code.CONFLICT, _("Publish the commitment first, then hold the draw."))
        if draw.drawn_at is not None:
            raise Problem(
                Code.CONFLICT,
                _("This draw was held already. For another one give a reason first."),
            )
        _weights_refuse(match)
        draw.asked = draw_asked(match, mode=draw.mode)
        answer = draw_answer(draw)
        _pegs_save(draw, answer)
        draw.drawn_at = timezone.now()
        draw.save(update_fields=["asked", "drawn_at"])
        Match.objects.filter(pk=match.pk).update(state=MatchState.DRAWN)
        weigh_ins_project(match=match)
        audit_record(
            club=match.club,
            person=person,
            verb="draw_hold",
            subject=match,
            detail={"draw": draw.number, "seed": draw.seed, "pegs": len(answer.assignments)},
        )
        return draw


def draw_asked(match: Match, *, mode: str) -> dict[str, Any]:
    """The calculator's request without its seed. Anglers are named by their entry's number, teams
    by theirs: numbers never change and say nothing about anybody."""
    entries = (
        Entry.objects.filter(match=match, status__in=FISHING)
        .exclude(status=EntryStatus.DISQUALIFIED)
        .exclude(Q(status=EntryStatus.ABSENT) & Q(team__isnull=True))
        .order_by("pk")
    )
    sections: dict[str, list[str]] = {}
    for peg in (
        SectionPeg.objects.filter(match=match)
        .select_related("section", "peg")
        .order_by("section__position", "peg__position")
    ):
        sections.setdefault(peg.section.label, []).append(peg.peg.number)
    return {
        "anglers": [
            {"id": str(e.pk), "team": str(e.team_id) if e.team_id else None} for e in entries
        ],
        "sections": [{"id": label, "pegs": pegs} for label, pegs in sections.items()],
        "mode": mode,
    }


def draw_answer(draw: Draw) -> DrawAnswer:
    """What the calculator says to what the draw was asked. Raises BadInput."""
    return draw_work_out(draw_parse({**draw.asked, "seed": draw.seed}))


def _match_locked(person: Person, *, match: Match) -> Match:
    """The match, seen with the secretary's rights, behind the club's lock.

    It is the lock facts are stored under: what a draw or a bulletin reads cannot change meanwhile.
    """
    Club.objects.select_for_update().get(pk=match.club_id)
    return match_for_secretary(person, match_id=match.pk)


def _weights_refuse(match: Match) -> None:
    if WeighIn.objects.filter(match=match).exists():
        raise Problem(
            Code.CONFLICT,
            _("Weights have come in: the pegs stand. Withdraw the weigh-ins before drawing again."),
        )


def _pegs_save(draw: Draw, answer: DrawAnswer) -> None:
    pegs = {
        (p.section.label, p.peg.number): p
        for p in SectionPeg.objects.filter(match=draw.match).select_related("section", "peg")
    }
    DrawnPeg.objects.filter(match=draw.match).delete()
    DrawnPeg.objects.bulk_create(
        DrawnPeg(
            match=draw.match,
            entry_id=int(a.angler),
            section_peg=pegs[a.section, a.peg],
            draw=draw,
        )
        for a in answer.assignments
    )


def _refused(field: str, sentence: str) -> Problem:
    return Problem(Code.BAD_INPUT, sentence, Fault(f"/{field}", sentence))
