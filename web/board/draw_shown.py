"""A match's draws made ready for the page and for the file that a draw is checked with."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

from matches.models import Draw, Match
from matches.reads.board import PegsHeld, draws_public, pegs_held
from matches.reads.draws import access_kept, draw_answer, telling_of
from matches.reckon.draw import Assignment, DrawAnswer
from matches.reckon.errors import BadInput

Place = tuple[str, str]


def draws_shown(match: Match) -> list[dict[str, Any]]:
    """A match's draws for the page, oldest first."""
    held = pegs_held(match)
    return [_draw_shown(d, sits=held.get(d.pk)) for d in draws_public(match)]


def draw_published(draw: Draw, *, sits: PegsHeld | None) -> dict[str, Any]:
    """What was published of a draw that was held, in one piece: lists and seed as the calculator
    takes them, the commitment, and the peg each sits at. Raises BadInput: kept without lists."""
    answer = draw_answer(draw)
    return {
        "request": {**draw.asked, "seed": draw.seed},
        "commitment": draw.commitment,
        "assignments": [
            {"angler": a.angler, "section": a.section, "peg": a.peg}
            for a in _published(answer, sits=sits)
        ],
    }


def _draw_shown(draw: Draw, *, sits: PegsHeld | None) -> dict[str, Any]:
    """A draw's seed only once it was held. `telling`: where its pegs are told one by one, how far.
    `checks`: the seed gives the commitment, and the lists give the pegs people sit at (of an
    earlier draw nobody sits anywhere any more)."""
    shown: dict[str, Any] = {
        "draw": draw,
        "held": draw.drawn_at is not None,
        "kept": access_kept(draw),
        "telling": None,
    }
    if draw.drawn_at is None:
        return shown if draw.told is None else {**shown, "telling": telling_of(draw)}
    try:
        answer = draw_answer(draw)
    except BadInput:  # a draw kept without its lists
        return {**shown, "seed": draw.seed, "checks": False}
    bank = {
        (section["id"], peg): (first, then)
        for first, section in enumerate(draw.asked["sections"])
        for then, peg in enumerate(section["pegs"])
    }
    drawn = {a.angler: (a.section, a.peg) for a in answer.assignments}
    return {
        **shown,
        "seed": draw.seed,
        "checks": answer.commitment == draw.commitment and (sits is None or sits.follows(drawn)),
        "assignments": sorted(
            _published(answer, sits=sits),
            key=lambda a: bank.get((a.section, a.peg), (len(bank), 0)),
        ),
        "now": _sits_now(drawn, sits=sits),
        "published": json.dumps(draw_published(draw, sits=sits), ensure_ascii=False),
    }


def _published(answer: DrawAnswer, *, sits: PegsHeld | None) -> Iterator[Assignment]:
    """The draw as people sit: where somebody else holds a drawn peg, who drew it stands where they
    sit, so that a check finds it."""
    held = sits.pegs if sits else {}
    at = {peg.entry: place for place, peg in held.items()}
    for a in answer.assignments:
        peg = held.get((a.section, a.peg))
        if peg is not None and a.angler in (peg.entry, *peg.before):
            yield a
        else:
            yield Assignment(a.angler, *at.get(a.angler, (a.section, a.peg)))


def _sits_now(drawn: dict[str, Place], *, sits: PegsHeld | None) -> dict[str, str]:
    """By the entry drawn who sits there instead, "" for nobody; who sits there is left out."""
    if sits is None:
        return {}
    now = {entry: sits.pegs.get(place) for entry, place in drawn.items()}
    return {
        entry: held.entry if held else ""
        for entry, held in now.items()
        if held is None or held.entry != entry
    }
