"""The river strip: pegs along the bank, and what hangs in the water: nets as they are weighed, or
the bed where depths are known. One picture for planning, editing and results.

Only whole-number geometry is worked out here; the template draws it, and lists or tables on the
same page say the same in words.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

PEG_WIDE = 26
BANK = 40
DEEP = 84
LEAST_PEGS = 6
# More pegs than this in one row are too small to read on a phone of 360 px.
MOST_PEGS = 13
# Of numbers longer than two signs fewer stand beside one another and are still told apart.
LONG_NUMBER = 3
MOST_LONG = 10


@dataclass(frozen=True, slots=True)
class StripPeg:
    """What is known of one peg; `weight` None where nothing was weighed.

    `status` is the entry's; or "sits" where only who sits there is told, or "out" for a peg left
    out on the day. `end` is a peg with nobody on one side of it.
    """

    peg: str
    section: str
    angler: str | None = None
    weight: int | None = None
    status: str = "entered"
    end: bool = False
    power_lines: bool = False
    depth_cm: int | None = None


@dataclass(frozen=True, slots=True)
class StripNet:
    """One peg as drawn: `state` is caught, blank, wait, gone, sits, out or empty.

    y grows downwards.
    """

    peg: str
    state: str
    best: bool
    end: bool
    power_lines: bool
    left: int
    middle: int
    wide: int
    top: int
    deep: int
    bottom: int


@dataclass(frozen=True, slots=True)
class Strip:
    """One row of pegs and its words. `part` is empty where the section is drawn in one row;
    `heading` takes the place of the section's name; `bed` and `waves` are paths."""

    section: str
    heading: str
    part: str
    width: int
    height: int
    bank: int
    nets: tuple[StripNet, ...]
    bed: str
    waves: str
    caught: int
    waiting: int

    @property
    def marks(self) -> frozenset[str]:
        """What of the picture needs saying: states, and "best", "end", "lines", "bed"."""
        found = {net.state for net in self.nets}
        found |= {"best" for net in self.nets if net.best}
        found |= {"end" for net in self.nets if net.end}
        found |= {"lines" for net in self.nets if net.power_lines}
        return frozenset(found | ({"bed"} if self.bed else set()))


def river_strips(
    pegs: Iterable[StripPeg], *, headings: Mapping[str, str] | None = None
) -> list[Strip]:
    """The strips of each section, in the order given, all to one scale: the day's heaviest net and
    the deepest peg fill it. `headings` name a section otherwise than as one."""
    by_section: dict[str, list[StripPeg]] = {}
    for peg in pegs:
        by_section.setdefault(peg.section, []).append(peg)
    everything = [peg for of in by_section.values() for peg in of]
    heaviest = max((p.weight or 0 for p in everything), default=0)
    deepest = max((p.depth_cm or 0 for p in everything), default=0)
    most = row_most(everything)
    return [
        _strip(
            row,
            heading=(headings or {}).get(section, ""),
            part=f"{row[0].peg}–{row[-1].peg}" if len(of) > most else "",
            heaviest=heaviest,
            deepest=deepest,
            wide=PEG_WIDE * MOST_PEGS // most,
        )
        for section, of in by_section.items()
        for row in rows_even(of, most=most)
    ]


def row_most(pegs: Iterable[StripPeg]) -> int:
    """How many pegs of this picture a phone shows in one row, their numbers apart."""
    return MOST_LONG if any(len(p.peg) >= LONG_NUMBER for p in pegs) else MOST_PEGS


def rows_even(pegs: Sequence[StripPeg], *, most: int) -> list[Sequence[StripPeg]]:
    """Rows of `most` pegs at most, of lengths that differ by one at most."""
    rows = -(-len(pegs) // most)
    ends = [len(pegs) * n // rows for n in range(rows + 1)]
    return [pegs[begin:end] for begin, end in pairwise(ends)]


def _strip(
    pegs: Sequence[StripPeg], *, heading: str, part: str, heaviest: int, deepest: int, wide: int
) -> Strip:
    """`wide` is the room of one peg."""
    nets = tuple(_net(p, at=i, heaviest=heaviest, wide=wide) for i, p in enumerate(pegs))
    columns = max(len(pegs), LEAST_PEGS)
    return Strip(
        section=pegs[0].section,
        heading=heading,
        part=part,
        width=wide * columns + 4,
        height=BANK + DEEP + 12,
        bank=BANK,
        nets=nets,
        bed=_bed(pegs, nets, deepest=deepest),
        waves=_waves(columns * wide // PEG_WIDE),
        caught=sum(1 for n in nets if n.state == "caught"),
        waiting=sum(1 for n in nets if n.state == "wait"),
    )


def _net(peg: StripPeg, *, at: int, heaviest: int, wide: int) -> StripNet:
    state = _state(peg)
    # A caught net is never drawn as nothing, however small beside the day's heaviest.
    deep = max(4, (peg.weight or 0) * DEEP // heaviest) if state == "caught" else 10
    left = 2 + at * wide
    return StripNet(
        peg=peg.peg,
        state=state,
        best=state == "caught" and peg.weight == heaviest,
        end=peg.end,
        power_lines=peg.power_lines,
        left=left + 5,
        middle=left + wide // 2,
        wide=wide - 10,
        top=BANK + 2,
        deep=deep,
        bottom=BANK + 2 + deep,
    )


def _state(peg: StripPeg) -> str:
    if peg.status == "out":
        return "out"
    if peg.angler is None:
        return "empty"
    if peg.status == "sits":
        return "sits"
    if peg.status in ("absent", "disqualified"):
        return "gone"
    if peg.weight is None:
        return "wait" if peg.status == "entered" else "blank"
    return "caught" if peg.weight else "blank"


def _bed(pegs: Sequence[StripPeg], nets: Sequence[StripNet], *, deepest: int) -> str:
    """The river bed from peg to peg where the depth is known, closed below; empty where of fewer
    than two."""
    known = [
        (net.middle, BANK + peg.depth_cm * (DEEP - 8) // deepest)
        for peg, net in zip(pegs, nets, strict=True)
        if peg.depth_cm and deepest
    ]
    if len(known) < 2:
        return ""
    foot = BANK + DEEP + 12
    line = "".join(f"L{x} {y}" for x, y in known)
    return f"M{known[0][0]} {foot}{line}L{known[-1][0]} {foot}z"


def _waves(columns: int) -> str:
    """Two lines of ripples along the whole row."""
    ripples = f"q13 -4 {PEG_WIDE} 0" + f"t{PEG_WIDE} 0" * columns
    return f"M-8 {BANK + 30}{ripples}M-20 {BANK + 58}{ripples}"
