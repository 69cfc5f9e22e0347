"""Which pegs are fished on the day, and in which sections: until weights come in."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _

from matches.models import DrawnPeg, Match, MatchState, PegLeftOut, Person, Section, SectionPeg
from matches.problems import Code, Problem
from matches.reads.match_pegs import MatchPegs, match_pegs
from matches.reckon.errors import BadInput, Fault
from matches.reckon.reading import is_storable
from matches.reckon.sections import LEAST_PEGS, SectionRun

from .audit import REASON_MOST, audit_record
from .draws import telling_refuse
from .facts import weigh_ins_project
from .locks import match_locked
from .page_marks import mark_check


def sections_typed(now: MatchPegs) -> dict[str, str]:
    """The sections as they stand: the pegs of each, in order."""
    return {run.label: " ".join(run.pegs) for run in now.runs}


def sections_set(
    person: Person,
    *,
    match: Match,
    runs: Sequence[SectionRun],
    again: bool = False,
    mark: str = "",
) -> bool:
    """Make these the match's sections; whether anything changed.

    Once pegs are drawn they are emptied, and there is a draw to come, only where `again` says so.
    `mark` (`page_mark` of `sections_typed`) says on what page they were typed. Raises Problem:
    CONFLICT once weights came in, or drawn pegs without `again`; BadInput for pegs that cannot be
    fished, a section of fewer than two, or an old page.
    """
    with transaction.atomic():
        match = match_locked(person, match=match)
        now = match_pegs(match)
        _runs_check(now, runs)
        if tuple(runs) == now.runs:
            return False
        mark_check(mark, stands=sections_typed(now))
        emptied = _sections_write(now, runs, again=again)
        _audit(
            person,
            match,
            "sections_set",
            before=_told(now.runs),
            after=_told(runs),
            pegs_emptied=emptied,
        )
        return True


def pegs_leave_out(
    person: Person, *, match: Match, pegs: Collection[str], reason: str, again: bool = False
) -> None:
    """Leave pegs out on the day; their sections shrink. As `sections_set`, and BadInput where no
    reason is given or a section would be left with one peg."""
    with transaction.atomic():
        match = match_locked(person, match=match)
        now = match_pegs(match)
        said = reason.strip()
        if not said or len(said) > REASON_MOST or not is_storable(said):
            raise BadInput(
                Fault("/reason", _("Say why in up to 200 characters: it is asked on the day."))
            )
        keys = {peg.number: peg.pk for peg in now.pegs}
        if not pegs or not set(pegs) <= set(keys):
            raise BadInput(Fault("/pegs", _("Choose pegs of the venue that are fished.")))
        runs = [_without(run, pegs) for run in now.runs]
        emptied = 0
        if tuple(runs) != now.runs:
            emptied = _sections_write(now, [run for run in runs if run.pegs], again=again)
        for number in pegs:
            PegLeftOut.objects.update_or_create(
                match=match, peg_id=keys[number], defaults={"reason": said}
            )
        _audit(
            person,
            match,
            "pegs_leave_out",
            pegs=sorted(pegs),
            reason=said,
            pegs_emptied=emptied,
        )


def peg_left_out_back(person: Person, *, match: Match, peg: str) -> None:
    """Fish a peg after all; it is in no section until it is put into one. Twice is once."""
    with transaction.atomic():
        match = match_locked(person, match=match)
        held = PegLeftOut.objects.filter(match=match, peg__number=peg)
        if is_storable(peg) and held.delete()[0]:
            _audit(person, match, "peg_left_out_back", peg=peg)


def _without(run: SectionRun, pegs: Collection[str]) -> SectionRun:
    left = SectionRun(run.label, tuple(peg for peg in run.pegs if peg not in pegs))
    if len(left.pegs) == LEAST_PEGS - 1:
        raise BadInput(
            Fault(
                "/pegs",
                _(
                    "Section %(label)s would be left with one peg, and nobody there would be "
                    "placed against anybody: change the sections first."
                )
                % {"label": run.label},
            )
        )
    return left


def _runs_check(now: MatchPegs, runs: Sequence[SectionRun]) -> None:
    """What a page has checked already, once more behind the lock."""
    fished = {peg.number for peg in now.fished}
    held = [peg for run in runs for peg in run.pegs]
    labels = {run.label for run in runs}
    if len(held) != len(set(held)) or len(labels) != len(runs) or not set(held) <= fished:
        raise BadInput(
            Fault("", _("The pegs changed meanwhile, or one is there twice: look again."))
        )
    if not runs or min(len(run.pegs) for run in runs) < LEAST_PEGS:
        raise BadInput(Fault("", _("Each section needs two pegs or more.")))


def _sections_write(now: MatchPegs, runs: Sequence[SectionRun], *, again: bool) -> int:
    """Write the sections anew; how many drawn pegs were emptied."""
    match = now.match
    telling_refuse(match)
    if now.weighed:
        raise Problem(
            Code.CONFLICT,
            _("Weights have come in: pegs and sections stay as they were fished."),
        )
    if now.drawn and not again:
        raise Problem(
            Code.CONFLICT,
            _(
                "The pegs are drawn. Tick that everybody draws again, and save once more; or leave "
                "the sections as they are."
            ),
        )
    if now.drawn:
        DrawnPeg.objects.filter(match=match).delete()
        Match.objects.filter(pk=match.pk).update(state=MatchState.PLANNED)
    SectionPeg.objects.filter(match=match).delete()
    Section.objects.filter(match=match).delete()
    sections = Section.objects.bulk_create(
        Section(match=match, label=run.label, position=n) for n, run in enumerate(runs, 1)
    )
    keys = {peg.number: peg.pk for peg in now.pegs}
    SectionPeg.objects.bulk_create(
        SectionPeg(match=match, section=section, peg_id=keys[number])
        for section, run in zip(sections, runs, strict=True)
        for number in run.pegs
    )
    weigh_ins_project(match=match)
    return len(now.sits)


def _told(runs: Sequence[SectionRun]) -> dict[str, list[str]]:
    return {run.label: list(run.pegs) for run in runs}


def _audit(person: Person, match: Match, verb: str, **detail: Any) -> None:
    audit_record(club=match.club, person=person, verb=verb, subject=match, detail=detail)
