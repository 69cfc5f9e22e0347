"""A match's pegs: which are left out and why, the sections as they stand, and what holds them.

Fetch the match through `matches.reads.access` first. Five queries, however many pegs.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass

from django.db.models import Exists, OuterRef, Q

from matches.models import (
    FISHING,
    DrawnPeg,
    Entry,
    EntryStatus,
    Match,
    MatchState,
    Peg,
    PegLeftOut,
    SectionPeg,
    WeighIn,
)
from matches.reckon.sections import (
    BankPeg,
    SectionRun,
    banks_walked,
    end_pegs,
    pegs_near_lines,
)

from .venues import bank_peg


@dataclass(frozen=True, slots=True)
class MatchPegs:
    """The pegs that may be fished (those not retired, and those in a section), downstream.

    `left_out` gives the reason by number, `held` the pegs by section, `sits` the public name of
    who drew a peg.
    """

    match: Match
    pegs: tuple[Peg, ...]
    left_out: Mapping[str, str]
    held: Mapping[str, frozenset[str]]
    sits: Mapping[str, str]
    entered: int
    weighed: bool

    @property
    def bank(self) -> tuple[BankPeg, ...]:
        return tuple(bank_peg(peg) for peg in self.pegs)

    @property
    def fished(self) -> tuple[BankPeg, ...]:
        """Those not left out."""
        return tuple(peg for peg in self.bank if peg.number not in self.left_out)

    @property
    def walk(self) -> tuple[str, ...]:
        """Every number in the order sections run."""
        return tuple(peg.number for bank in banks_walked(self.bank) for peg in bank)

    @property
    def runs(self) -> tuple[SectionRun, ...]:
        """The sections, their pegs in the order of the walk."""
        walk = self.walk
        return tuple(
            SectionRun(label, tuple(number for number in walk if number in of))
            for label, of in self.held.items()
        )

    @property
    def drawn(self) -> bool:
        return bool(self.sits)

    @property
    def near_lines(self) -> tuple[str, ...]:
        """Pegs at power lines that are not left out."""
        return tuple(n for n in pegs_near_lines(self.bank) if n not in self.left_out)

    @property
    def retired(self) -> tuple[str, ...]:
        """Pegs of a section that are fished no more."""
        return tuple(peg.number for peg in self.pegs if peg.retired)

    def ends(self, runs: Collection[SectionRun]) -> frozenset[str]:
        """The end pegs, were these the sections."""
        return end_pegs(self.bank, fished={peg for run in runs for peg in run.pegs})

    def across(self, runs: Collection[SectionRun]) -> tuple[str, ...]:
        """The sections that have pegs on both banks."""
        banks = [{peg.number for peg in bank} for bank in banks_walked(self.bank)]
        return tuple(
            run.label for run in runs if sum(1 for bank in banks if bank & {*run.pegs}) > 1
        )

    def loose(self, runs: Collection[SectionRun]) -> tuple[str, ...]:
        """Pegs neither left out nor in a section: nobody would draw them."""
        held = {peg for run in runs for peg in run.pegs}
        return tuple(n for n in self.walk if n not in held and n not in self.left_out)


def match_pegs(match: Match) -> MatchPegs:
    """The match's pegs as they stand."""
    in_section = SectionPeg.objects.filter(match=match, peg=OuterRef("pk"))
    pegs = Peg.objects.filter(venue_id=match.venue_id).filter(
        Q(retired=False) | Q(Exists(in_section))
    )
    left_out = PegLeftOut.objects.filter(match=match).select_related("peg")
    drawn = DrawnPeg.objects.filter(match=match).select_related("entry__angler", "section_peg__peg")
    entered = Entry.objects.filter(match=match, status__in=FISHING)
    return MatchPegs(
        match=match,
        pegs=tuple(pegs.order_by("position")),
        left_out={out.peg.number: out.reason for out in left_out},
        held=_held(match),
        sits={d.section_peg.peg.number: d.entry.angler.public_name for d in drawn},
        entered=entered.exclude(status=EntryStatus.DISQUALIFIED).count(),
        weighed=pegs_stand(match),
    )


def _held(match: Match) -> dict[str, frozenset[str]]:
    held: dict[str, set[str]] = {}
    for section, number in (
        SectionPeg.objects.filter(match=match)
        .order_by("section__position")
        .values_list("section__label", "peg__number")
    ):
        held.setdefault(section, set()).add(number)
    return {label: frozenset(of) for label, of in held.items()}


def pegs_stand(match: Match) -> bool:
    """Whether weights came in: sections and pegs are not changed any more."""
    return (
        match.state in (MatchState.WEIGHING, MatchState.PROVISIONAL, MatchState.CONFIRMED)
        or WeighIn.objects.filter(match=match).exists()
    )
