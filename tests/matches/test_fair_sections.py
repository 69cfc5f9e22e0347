"""Whether sections are even by how their pegs fish, and the most even cut against every cut."""

from __future__ import annotations

import random
from collections.abc import Sequence
from fractions import Fraction
from itertools import accumulate, pairwise, permutations
from statistics import NormalDist

import pytest
from hypothesis import given
from hypothesis import strategies as st

from matches.reckon.errors import BadInput
from matches.reckon.fair_sections import cut_evenest, evenness, less_apart
from matches.reckon.form import Seen
from matches.reckon.peg_form import Finish, peg_forms, pegs_seen
from matches.reckon.sections import BankPeg, SectionRun, banks_walked, runs_even

NORMAL = NormalDist()
BANK = [BankPeg(str(n)) for n in range(16)]
PEGS = st.lists(
    st.tuples(st.sampled_from(["", "left", "right"]), st.sampled_from([300, 400, 450, 500, 700])),
    min_size=2,
    max_size=11,
)


def cuts(pegs: Sequence[BankPeg], *, sections: int) -> list[tuple[tuple[str, ...], ...]]:
    """Every cut into runs of sizes that differ by at most one; those that keep each to one bank
    where there are any."""
    banks = [[peg.number for peg in bank] for bank in banks_walked(pegs)]
    walk = [number for bank in banks for number in bank]
    small, larger = divmod(len(walk), sections)
    sizes = {*permutations([small + 1] * larger + [small] * (sections - larger))}
    every = [
        tuple(tuple(walk[a:b]) for a, b in pairwise([0, *accumulate(of)])) for of in sorted(sizes)
    ]
    kept = [cut for cut in every if all(any({*run} <= {*b} for b in banks) for run in cut)]
    return kept or every


def apart(cut: Sequence[Sequence[str]], worth: dict[str, float]) -> Fraction:
    means = [Fraction(sum(round(worth[p] * 1000) for p in run), len(run)) for run in cut]
    return max(means) - min(means)


@given(PEGS, st.integers(1, 5))
def test_no_cut_of_all_there_are_is_more_even(drawn: list[tuple[str, int]], sections: int) -> None:
    sections = min(sections, len(drawn) // 2)
    pegs = [BankPeg(str(n), side) for n, (side, _worth) in enumerate(drawn)]
    worth = {str(n): part / 1000 for n, (_side, part) in enumerate(drawn)}
    found = cut_evenest(pegs, sections=sections, worth=worth)
    every = cuts(pegs, sections=sections)
    least = min(apart(cut, worth) for cut in every)
    level = [cut for cut in every if apart(cut, worth) == least]
    # Of those level with it, the larger runs come first.
    assert tuple(run.pegs for run in found) == max(level, key=lambda cut: [len(run) for run in cut])
    assert [run.label for run in found] == [r.label for r in runs_even(pegs, sections=sections)]


def test_pegs_that_are_alike_are_cut_as_ever() -> None:
    pegs = [BankPeg(str(n)) for n in range(1, 12)]
    worth = {peg.number: 0.5 for peg in pegs}
    assert cut_evenest(pegs, sections=3, worth=worth) == runs_even(pegs, sections=3)


def test_more_sections_than_there_are_pegs_for_are_refused() -> None:
    with pytest.raises(BadInput, match="two pegs or more"):
        cut_evenest([BankPeg("1"), BankPeg("2")], sections=2, worth={"1": 0.5, "2": 0.5})


def test_many_pegs_are_cut_in_a_moment() -> None:
    chance = random.Random(2)
    pegs = [BankPeg(str(n)) for n in range(205)]
    worth = {peg.number: chance.uniform(0.3, 0.7) for peg in pegs}
    found = cut_evenest(pegs, sections=20, worth=worth)
    assert [n for run in found for n in run.pegs] == [peg.number for peg in pegs]
    assert apart([r.pegs for r in found], worth) <= apart(
        [r.pegs for r in runs_even(pegs, sections=20)], worth
    )


RUNS = (SectionRun("A", ("1", "2")), SectionRun("B", ("3", "4")))


def as_seen(*means: float, variance: float) -> dict[str, Seen]:
    return {str(n): Seen(mean, variance) for n, mean in enumerate(means, 1)}


def test_the_better_section_is_told_with_its_doubt() -> None:
    found = evenness(RUNS, seen=as_seen(0.4, 0.4, 0.6, 0.7, variance=0.01))
    assert (found.better, found.worse, found.even) == ("B", "A", False)
    assert found.difference == pytest.approx(0.25)
    # Four pegs of equal doubt, two on each side: the doubt of one peg, 1.645 times 0.1.
    assert (found.low, found.high) == pytest.approx((0.0855, 0.4145), abs=1e-4)
    assert evenness(RUNS, seen=as_seen(0.4, 0.4, 0.6, 0.7, variance=0.03)).even


def test_a_cut_is_less_apart_by_what_the_two_do_not_share() -> None:
    other = (SectionRun("A", ("1", "3")), SectionRun("B", ("2", "4")))
    low, high = less_apart(RUNS, other, seen=as_seen(0.4, 0.5, 0.6, 0.7, variance=0.01))
    # 0.2 apart against 0.1; pegs 1 and 4 are on the same sides in both: the luck of 2 and 3 counts.
    assert (low + high) / 2 == pytest.approx(0.1)
    assert (high - low) / 2 == pytest.approx(1.6449 * (2 * 0.01) ** 0.5, abs=1e-4)


def matches_fished(own: Sequence[float], *, matches: int, chance: random.Random) -> list[Finish]:
    """Each peg's own mean and a normal day's luck, placed over the whole match."""
    finishes = []
    for _match in range(matches):
        caught = [chance.gauss(mean, 1) for mean in own]
        order = sorted(range(len(own)), key=caught.__getitem__, reverse=True)
        finishes += [Finish(str(p), Fraction(at), len(own)) for at, p in enumerate(order, 1)]
    return finishes


def test_sections_of_pegs_that_are_alike_are_called_uneven_once_in_ten() -> None:
    runs, uneven = runs_even(BANK[:12], sections=3), 0
    chance = random.Random(3)
    for _season in range(300):
        seen = pegs_seen(matches_fished([0.0] * 12, matches=5, chance=chance))
        uneven += not evenness(runs, seen=seen).even
    assert 0.07 <= uneven / 300 <= 0.13


@pytest.mark.parametrize("better", [0.0, 0.6])
def test_nine_differences_in_ten_lie_within_what_is_said_of_both_cuts(better: float) -> None:
    """Section A of four better by so much of a day's luck; of the most even cut it holds as well,
    though it was chosen by the same matches."""
    chance, held = random.Random(11), [0, 0]
    for _season in range(100):
        own = [chance.gauss(better if peg < 4 else 0, 0.3) for peg in range(16)]
        truth = _shares(own)
        finishes = matches_fished(own, matches=8, chance=chance)
        seen, forms = pegs_seen(finishes), peg_forms(finishes)
        assert forms is not None
        worth = {peg: form.believed.value for peg, form in forms.items()}
        both = runs_even(BANK, sections=4), cut_evenest(BANK, sections=4, worth=worth)
        for n, runs in enumerate(both):
            found = evenness(runs, seen=seen)
            means = {run.label: sum(truth[int(p)] for p in run.pegs) / 4 for run in runs}
            held[n] += found.low <= means[found.better] - means[found.worse] <= found.high
    assert min(held) >= 87


def _shares(own: Sequence[float]) -> list[float]:
    """The share of the others that each beats in the long run: a normal day's luck on each."""
    return [
        sum(NORMAL.cdf((mean - other) / 2**0.5) for k, other in enumerate(own) if k != n)
        / (len(own) - 1)
        for n, mean in enumerate(own)
    ]
