"""Objections to a provisional result: noted, and answered before it can be confirmed."""

from __future__ import annotations

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from matches.models import Match, Objection, Person
from matches.problems import Code, Problem, bad_field
from matches.reckon.reading import is_storable

from .audit import audit_record
from .locks import match_locked

WORDS_MOST = 400


def objection_note(person: Person, *, match: Match, words: str, peg: str = "") -> Objection:
    """Note what somebody objects to in the bulletin that stands; `peg` is empty for the whole.

    Noted after its time is over it is still noted, with the moment: whether it counts is for the
    secretary to answer. Raises Problem: CONFLICT where no provisional bulletin stands, BAD_INPUT
    at "/words" or "/peg".
    """
    words, peg = words.strip(), peg.strip()
    _words_check(words, at="/words", sentence=_("Say what is objected to, in 1 to 400 characters."))
    with transaction.atomic():
        match = match_locked(person, match=match)
        last = match.bulletins.order_by("-number").values_list("confirmed", flat=True).first()
        if last is not False:
            raise Problem(
                Code.CONFLICT,
                _("Objections are to a provisional bulletin: publish one first.")
                if last is None
                else _("This result is confirmed: a correction is a new bulletin."),
            )
        if peg and not match.section_pegs.filter(peg__number=peg).exists():
            sentence = _("No peg of that number is fished: leave it empty for the whole match.")
            raise bad_field("/peg", sentence)
        made = Objection.objects.create(match=match, peg=peg, words=words, noted_by=person)
        audit_record(
            club=match.club,
            person=person,
            verb="objection_note",
            subject=match,
            detail={"objection": made.pk, "peg": peg, "words": words},
        )
        return made


def objection_answer(person: Person, *, match: Match, objection_id: int, answer: str) -> Objection:
    """Say what came of it; said once, it stays. Raises Problem: NOT_FOUND, CONFLICT where it was
    answered already, BAD_INPUT at "/answer"."""
    answer = answer.strip()
    _words_check(answer, at="/answer", sentence=_("Say what came of it, in 1 to 400 characters."))
    with transaction.atomic():
        match = match_locked(person, match=match)
        found = match.objections.filter(pk=objection_id).first()
        if found is None:
            raise Problem(Code.NOT_FOUND, _("No such objection was noted for this match."))
        if found.answer:
            raise Problem(Code.CONFLICT, _("It was answered already: “%s”.") % found.answer)
        found.answer, found.answered_at, found.answered_by = answer, timezone.now(), person
        found.save(update_fields=["answer", "answered_at", "answered_by"])
        audit_record(
            club=match.club,
            person=person,
            verb="objection_answer",
            subject=match,
            detail={"objection": found.pk, "answer": answer},
        )
        return found


def _words_check(words: str, *, at: str, sentence: str) -> None:
    if not words or len(words) > WORDS_MOST or not is_storable(words):
        raise bad_field(at, sentence)
