"""Whether sections are even by how their pegs fish, and the cut of the pegs that is the most even.

A peg's worth here is the share of the whole match it beats: within sections that never change, the
places in them say nothing of one section against another.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from itertools import accumulate, pairwise
from statistics import NormalDist
from typing import Final

from .form import SURE, Z90, Seen
from .sections import BankPeg, SectionRun, banks_walked, runs_even

#: Worths are compared in whole thousandths, so that equal cuts are equal.
_PARTS: Final = 1_000
#: How many runs are cut before it, how many of them are larger ones, and whether it is one.
_Run = tuple[int, int, bool]


@dataclass(frozen=True, slots=True)
class SectionWorth:
    """A section: the mean share of the match that its pegs beat, nine times in ten low to high."""

    label: str
    share: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Evenness:
    """The sections, and by how much the better one beats more than the worse: `difference`, nine
    times in ten between `low` and `high`. `even`: nought is among them."""

    sections: tuple[SectionWorth, ...]
    better: str
    worse: str
    difference: float
    low: float
    high: float

    @property
    def even(self) -> bool:
        return self.low <= 0


def evenness(runs: Sequence[SectionRun], *, seen: Mapping[str, Seen]) -> Evenness:
    """How even two sections or more are; `seen` holds the share that each of their pegs beat.

    Shares are as seen, not drawn in: pegs drawn in one by one would hide that a whole reach is
    better. As the two sections furthest apart are picked out of all, the interval is so wide that
    nine times in ten it would hold every pair at once (Bonferroni's inequality). Raises KeyError
    for a peg that was not seen.
    """
    shares = {run.label: _share([seen[peg] for peg in run.pegs]) for run in runs}
    better = max(shares, key=lambda label: shares[label].mean)
    worse = min(shares, key=lambda label: shares[label].mean)
    difference = shares[better].mean - shares[worse].mean
    wide = NormalDist().inv_cdf(1 - (1 - SURE) / 2 / math.comb(len(runs), 2))
    reach = wide * math.sqrt(shares[better].variance + shares[worse].variance)
    sections = tuple(
        SectionWorth(label, share.mean, share.mean - own, share.mean + own)
        for label, share in shares.items()
        for own in [Z90 * math.sqrt(share.variance)]
    )
    return Evenness(sections, better, worse, difference, difference - reach, difference + reach)


def less_apart(
    stands: Sequence[SectionRun], other: Sequence[SectionRun], *, seen: Mapping[str, Seen]
) -> tuple[float, float]:
    """By how much less the sections of the other cut differ than those that stand, nine times in
    ten from low to high; above nought all of it, the other cut is the fairer one.

    Both differences are made of the same pegs, and what they share cancels: each peg's luck counts
    by how much it weighs in the one more than in the other.
    """
    weights: dict[str, float] = defaultdict(float)
    for runs, sign in ((stands, 1), (other, -1)):
        even = evenness(runs, seen=seen)
        for run in runs:
            part = sign * ((run.label == even.better) - (run.label == even.worse))
            for peg in run.pegs:
                weights[peg] += part / len(run.pegs)
    gain = sum(weight * seen[peg].mean for peg, weight in weights.items())
    reach = Z90 * math.sqrt(sum(w**2 * seen[peg].variance for peg, w in weights.items()))
    return gain - reach, gain + reach


def _share(pegs: Sequence[Seen]) -> Seen:
    return Seen(
        sum(peg.mean for peg in pegs) / len(pegs),
        sum(peg.variance for peg in pegs) / len(pegs) ** 2,
    )


def cut_evenest(
    pegs: Sequence[BankPeg], *, sections: int, worth: Mapping[str, float]
) -> tuple[SectionRun, ...]:
    """The pegs cut as `runs_even` does, sizes differing by at most one, into the runs whose mean
    worths lie closest together: the best one's less the worst one's is the least there is.

    Exact: every pair of a least and a greatest mean is tried, from the least up, and dynamic
    programming over (sections cut, larger ones among them) says whether a cut lies between them.
    Runs keep to one bank wherever any cut does. Among equally even cuts the one whose larger runs
    come first. Raises BadInput as `runs_even`, KeyError for a peg without a worth.
    """
    labels = [run.label for run in runs_even(pegs, sections=sections)]
    banks = banks_walked(pegs)
    numbers = [peg.number for bank in banks for peg in bank]
    walk = _Walk(
        sections=sections,
        worths=[round(worth[number] * _PARTS) for number in numbers],
        bank_ends=list(accumulate(len(bank) for bank in banks)),
    )
    sizes = walk.evenest(one_bank=True) or walk.evenest(one_bank=False)
    ends = pairwise([0, *accumulate(sizes)])
    return tuple(
        SectionRun(label, tuple(numbers[begin:end]))
        for label, (begin, end) in zip(labels, ends, strict=True)
    )


class _Walk:
    """Whole-number worths along the walk, to be cut. A mean is kept times both sizes."""

    def __init__(self, *, sections: int, worths: Sequence[int], bank_ends: Sequence[int]) -> None:
        self.sections = sections
        self.small, self.larger = divmod(len(worths), sections)
        self.sums = [0, *accumulate(worths)]
        self.bank_ends = bank_ends

    def evenest(self, *, one_bank: bool) -> tuple[int, ...]:
        """The sizes of the best cut; empty where no cut keeps each run to one bank."""
        runs = {
            run: mean
            for done in range(self.sections)
            for used in self._used(done)
            for run in ((done, used, True), (done, used, False))
            if (mean := self._mean(run, one_bank=one_bank)) is not None
        }
        means = sorted(set(runs.values()))
        best: tuple[int, tuple[int, ...]] | None = None
        upper = 0
        for low in means:
            sizes: tuple[int, ...] = ()
            # A greater least mean never allows a smaller greatest one.
            while upper < len(means) and not sizes:
                high = means[upper]
                sizes = self._sizes({run for run, mean in runs.items() if low <= mean <= high})
                upper += not sizes
            if not sizes:
                break
            found = (low - means[upper], sizes)
            best = found if best is None else max(best, found)
        return best[1] if best else ()

    def _used(self, done: int) -> range:
        """How many of so many runs may be larger ones."""
        return range(max(0, self.larger - self.sections + done), min(done, self.larger) + 1)

    def _mean(self, run: _Run, *, one_bank: bool) -> int | None:
        """Times both sizes; None where there can be no such run."""
        done, used, is_larger = run
        if used + is_larger not in self._used(done + 1):
            return None
        begin = done * self.small + used
        end = begin + self.small + is_larger
        if one_bank and any(begin < edge < end for edge in self.bank_ends):
            return None
        times = self.small if is_larger else self.small + 1
        return (self.sums[end] - self.sums[begin]) * times

    def _sizes(self, runs: Collection[_Run]) -> tuple[int, ...]:
        """The sizes of a cut into these runs, the larger first; empty where there is none."""
        ways: dict[tuple[int, int], tuple[int, ...]] = {(self.sections, self.larger): ()}
        for done in reversed(range(self.sections)):
            for used in self._used(done):
                for is_larger in (False, True):
                    rest = ways.get((done + 1, used + is_larger))
                    if rest is not None and (done, used, is_larger) in runs:
                        ways[done, used] = (self.small + is_larger, *rest)
        return ways.get((0, 0), ())
