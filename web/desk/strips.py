"""The river strip of a venue, of a match's sections as they are made, and of what stands now."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from django.utils.translation import gettext as _

from matches.models import Bank, Peg
from matches.reads.match_pegs import MatchPegs
from matches.reads.results import MatchResult
from matches.reads.venues import bank_peg
from matches.reckon.sections import BankPeg, SectionRun, banks_walked
from web.river_strip import Strip, StripPeg, river_strips


def result_strips(result: MatchResult) -> list[Strip]:
    """One strip a section, empty pegs too."""
    return river_strips(
        StripPeg(
            peg=p.peg,
            section=p.section,
            angler=p.entry.angler if p.entry else None,
            weight=p.entry.weight if p.entry else None,
            status=p.entry.status if p.entry else "entered",
        )
        for p in result.pegs
    )


def venue_strips(pegs: Sequence[Peg]) -> list[Strip]:
    """The venue's pegs as they lie, bank by bank, with the depths that are known."""
    known = {peg.number: peg for peg in pegs}
    banks = banks_walked([bank_peg(peg) for peg in pegs])
    headings = {str(n): _bank_heading(bank) for n, bank in enumerate(banks)}
    return river_strips(
        (
            StripPeg(
                peg=peg.number,
                section=str(n),
                power_lines=peg.power_lines,
                depth_cm=known[peg.number].depth_cm,
            )
            for n, bank in enumerate(banks)
            for peg in bank
        ),
        headings=headings,
    )


def _bank_heading(bank: Sequence[BankPeg]) -> str:
    side = next((peg.side for peg in bank if peg.side), "")
    return str(Bank(side).label).capitalize() if side else _("Along the bank")


def section_strips(pegs: MatchPegs, runs: Sequence[SectionRun]) -> list[list[Strip]]:
    """Of each section its rows, were these the sections: who sits where, end pegs, and what is
    left out between its pegs."""
    ends, near = pegs.ends(runs), {peg.number for peg in pegs.pegs if peg.power_lines}
    walk = pegs.walk
    return [
        river_strips(
            StripPeg(
                peg=number,
                section=run.label,
                angler=pegs.sits.get(number),
                status="out" if number in pegs.left_out else "sits",
                end=number in ends,
                power_lines=number in near,
            )
            for number in _between(run, walk=walk, left_out=pegs.left_out)
        )
        for run in runs
    ]


def _between(run: SectionRun, *, walk: Sequence[str], left_out: Collection[str]) -> list[str]:
    """The section's pegs, and those left out between its first and its last."""
    first, last = walk.index(run.pegs[0]), walk.index(run.pegs[-1])
    shown = {*run.pegs, *left_out}
    return [number for number in walk[first : last + 1] if number in shown]
