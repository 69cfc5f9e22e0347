"""How few pieces the bags are cut into, against an integer programme."""

from __future__ import annotations

import random
from fractions import Fraction

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp

from bait.reckon.bags import Source, bags_pack


def pieces_fewest(needs: list[int], packs: list[int]) -> int:
    """The fewest (pack, member) pairs that give everybody exactly their need, by scipy's HiGHS."""
    members, pairs = len(needs), len(needs) * len(packs)
    give = np.zeros((members + len(packs), 2 * pairs))
    open_ = np.zeros((pairs, 2 * pairs))
    for pack, size in enumerate(packs):
        for member in range(members):
            at = pack * members + member
            give[member, at] = give[members + pack, at] = 1
            open_[at, at], open_[at, pairs + at] = 1, -size
    low = [*needs, *[0] * len(packs)]
    found = milp(
        np.concatenate([np.zeros(pairs), np.ones(pairs)]),
        constraints=[
            LinearConstraint(give, low, [*needs, *packs]),
            LinearConstraint(open_, -np.inf, 0),
        ],
        integrality=np.concatenate([np.zeros(pairs), np.ones(pairs)]),
        bounds=Bounds(0, np.concatenate([np.full(pairs, max(packs)), np.ones(pairs)])),
    )
    assert found.success
    return round(found.fun)


# Source: cutting as few pieces as can be is a fixed-charge flow; scipy.optimize.milp (HiGHS) as
# the judge. Our choice is greedy: the fewest mostly, one piece more now and then.
def test_bags_are_cut_into_hardly_more_pieces_than_can_be() -> None:
    rng = random.Random(3)
    extra = []
    while len(extra) < 40:
        needs = [rng.randint(1, 16) for _ in range(rng.randint(2, 4))]
        packs: list[int] = []
        while sum(packs) < sum(needs):
            packs.append(rng.choice([4, 4, 4, 8, 2]))
        if len(packs) > 7:
            continue
        bags = bags_pack(
            {f"m{n}": {"caster": Fraction(need, 4)} for n, need in enumerate(needs)},
            sources=[Source(f"p{n}", "caster", Fraction(size, 4)) for n, size in enumerate(packs)],
        )
        extra.append(len(bags.pieces) - pieces_fewest(needs, packs))
    assert min(extra) >= 0
    assert max(extra) <= 1
    assert sum(extra) <= 8
