"""The draw: its commitment before, its pegs and its seed after, and again only with a reason."""

from __future__ import annotations

import secrets
from collections.abc import Iterable, Sequence
from typing import Any

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from matches.models import (
    Draw,
    DrawnPeg,
    Entry,
    Match,
    MatchState,
    Peg,
    Person,
    SectionPeg,
    WeighIn,
)
from matches.problems import Code, Problem, bad_field
from matches.reads.draws import draw_answer, draw_telling, entries_drawing
from matches.reckon.draw import Assignment, draw_commitment
from matches.reckon.reading import is_storable

from .audit import audit_record
from .facts import weigh_ins_project
from .locks import match_locked


def draw_commit(person: Person, *, match: Match, mode: str, reason: str = "") -> Draw:
    """Make a secret seed and publish its commitment; asked twice, the one that waits is given.

    A draw after the first needs `reason`. Raises Problem.
    """
    with transaction.atomic():
        match = match_locked(person, match=match)
        telling_refuse(match)
        if mode not in ("open", "team"):
            raise bad_field("/mode", _("Choose an open draw or a team draw."))
        last = match.draws.order_by("-number").first()
        if last is not None and last.drawn_at is None and last.mode == mode:
            return last
        if not is_storable(reason):
            raise bad_field("/reason", _("A character here cannot be stored: write it anew."))
        if last is not None and not reason.strip():
            raise bad_field("/reason", _("Say why there is another draw: everybody will read it."))
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
    """Draw the pegs with the seed committed to, and show the seed. Held already, or being told:
    Problem CONFLICT. Raises BadInput where the lists do not fit the mode (the calculator's own
    words)."""
    with transaction.atomic():
        match = match_locked(person, match=match)
        telling_refuse(match)
        draw = draw_ask(match)
        pegs_save(draw, draw_answer(draw).assignments)
        draw_end(person, draw=draw)
        return draw


def draw_ask(match: Match) -> Draw:
    """The draw that waits to be held, asked with the lists as they stand; nobody has a peg of an
    earlier draw any more. Call it behind the club's lock. Raises Problem CONFLICT, and BadInput."""
    draw = match.draws.order_by("-number").first()
    if draw is None:
        raise Problem(Code.CONFLICT, _("Publish the commitment first, then hold the draw."))
    if draw.drawn_at is not None:
        raise Problem(
            Code.CONFLICT, _("This draw was held already. For another one give a reason first.")
        )
    _weights_refuse(match)
    draw.asked = draw_asked(match, mode=draw.mode)
    draw_answer(draw)
    draw.save(update_fields=["asked"])
    DrawnPeg.objects.filter(match=match).delete()
    return draw


def draw_end(person: Person, *, draw: Draw) -> None:
    """Everybody has a peg: from now on the seed is public."""
    match = draw.match
    draw.drawn_at = timezone.now()
    draw.save(update_fields=["told", "drawn_at"])
    Match.objects.filter(pk=match.pk).update(state=MatchState.DRAWN)
    weigh_ins_project(match=match)
    audit_record(
        club=match.club,
        person=person,
        verb="draw_hold",
        subject=match,
        detail={"draw": draw.number, "seed": draw.seed, "pegs": len(draw.asked["anglers"])},
    )


def telling_refuse(match: Match) -> None:
    """Raises Problem CONFLICT while pegs are being told one by one: what they hang on stands."""
    if draw_telling(match) is not None:
        raise Problem(
            Code.CONFLICT,
            _("The pegs are being told one by one: tell all the rest first, on the draw’s page."),
        )


def draw_asked(match: Match, *, mode: str) -> dict[str, Any]:
    """The calculator's request without its seed. Anglers are named by their entry's number, in the
    order of entry, teams by theirs: numbers never change. Accessible pegs are named only where
    somebody asks for one."""
    entries = entries_drawing(match)
    asking = any(entry.needs_access for entry in entries)
    sections: dict[str, list[Peg]] = {}
    for peg in (
        SectionPeg.objects.filter(match=match)
        .select_related("section", "peg")
        .order_by("section__position", "peg__position")
    ):
        sections.setdefault(peg.section.label, []).append(peg.peg)
    return {
        "anglers": [_angler_asked(entry) for entry in entries],
        "sections": [
            _section_asked(label, pegs, asking=asking) for label, pegs in sections.items()
        ],
        "mode": mode,
    }


def _angler_asked(entry: Entry) -> dict[str, Any]:
    asked = {"id": str(entry.pk), "team": str(entry.team_id) if entry.team_id else None}
    return {**asked, "needs_access": True} if entry.needs_access else asked


def _section_asked(label: str, pegs: Sequence[Peg], *, asking: bool) -> dict[str, Any]:
    asked = {"id": label, "pegs": [peg.number for peg in pegs]}
    if not asking:
        return asked
    return {**asked, "accessible": [peg.number for peg in pegs if peg.accessible]}


def _weights_refuse(match: Match) -> None:
    if WeighIn.objects.filter(match=match).exists():
        raise Problem(
            Code.CONFLICT,
            _("Weights have come in: the pegs stand. Withdraw the weigh-ins before drawing again."),
        )


def pegs_save(draw: Draw, assignments: Iterable[Assignment]) -> None:
    """Give the pegs to those of the draw who have drawn them."""
    pegs = {
        (p.section.label, p.peg.number): p
        for p in SectionPeg.objects.filter(match=draw.match).select_related("section", "peg")
    }
    DrawnPeg.objects.bulk_create(
        DrawnPeg(
            match=draw.match,
            entry_id=int(a.angler),
            section_peg=pegs[a.section, a.peg],
            draw=draw,
        )
        for a in assignments
    )
