"""The river strip: each section's pegs along the bank, what was caught hanging in the water.

Only whole-number geometry is worked out here; the template draws it, and tables on the same page
say the same in words.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

PEG_WIDE = 26
BANK = 40
DEEP = 84
LEAST_PEGS = 6


@dataclass(frozen=True, slots=True)
class StripPeg:
    """What is known of one peg; `weight` None where nothing was weighed."""

    peg: str
    section: str
    angler: str | None
    weight: int | None
    status: str


@dataclass(frozen=True, slots=True)
class StripNet:
    """One peg as drawn: `state` is caught, blank, wait, gone or empty; y grows downwards."""

    peg: str
    state: str
    best: bool
    left: int
    middle: int
    wide: int
    top: int
    deep: int
    bottom: int


@dataclass(frozen=True, slots=True)
class Strip:
    """One section's strip and its words."""

    section: str
    width: int
    height: int
    bank: int
    nets: tuple[StripNet, ...]
    caught: int
    waiting: int


def river_strips(pegs: Iterable[StripPeg]) -> list[Strip]:
    """One strip a section, in the order given, all to one scale: the day's heaviest fills it."""
    by_section: dict[str, list[StripPeg]] = {}
    for peg in pegs:
        by_section.setdefault(peg.section, []).append(peg)
    heaviest = max((p.weight or 0 for ps in by_section.values() for p in ps), default=0)
    return [_strip(section, ps, heaviest) for section, ps in by_section.items()]


def _strip(section: str, pegs: list[StripPeg], heaviest: int) -> Strip:
    nets = tuple(_net(p, at=i, heaviest=heaviest) for i, p in enumerate(pegs))
    return Strip(
        section=section,
        width=PEG_WIDE * max(len(pegs), LEAST_PEGS) + 4,
        height=BANK + DEEP + 12,
        bank=BANK,
        nets=nets,
        caught=sum(1 for n in nets if n.state == "caught"),
        waiting=sum(1 for n in nets if n.state == "wait"),
    )


def _net(peg: StripPeg, *, at: int, heaviest: int) -> StripNet:
    state = _state(peg)
    # A caught net is never drawn as nothing, however small beside the day's heaviest.
    deep = max(4, (peg.weight or 0) * DEEP // heaviest) if state == "caught" else 10
    left = 2 + at * PEG_WIDE
    return StripNet(
        peg=peg.peg,
        state=state,
        best=state == "caught" and peg.weight == heaviest,
        left=left + 5,
        middle=left + PEG_WIDE // 2,
        wide=PEG_WIDE - 10,
        top=BANK + 2,
        deep=deep,
        bottom=BANK + 2 + deep,
    )


def _state(peg: StripPeg) -> str:
    if peg.angler is None:
        return "empty"
    if peg.status in ("absent", "disqualified"):
        return "gone"
    if peg.weight is None:
        return "wait" if peg.status == "entered" else "blank"
    return "caught" if peg.weight else "blank"
