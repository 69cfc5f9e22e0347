"""When a catch changed, against the reference reading of the same method."""

from __future__ import annotations

import random

import pytest
from astropy.stats import bayesian_blocks

from bait.reckon.review import Fish, blocks_find


@pytest.mark.parametrize("seed", range(12))
def test_the_stretches_are_those_of_astropy(seed: int) -> None:
    """`astropy.stats.bayesian_blocks` with fitness "events", which reaches from the first fish to
    the last and knows of no fish before; one fish at a time, so that both count alike."""
    chance = random.Random(seed)
    moments = sorted(
        {chance.randrange(9_000) for _ in range(chance.randrange(4, 30))}
        | {chance.randrange(9_000, 12_000) for _ in range(chance.randrange(70))}
        | {chance.randrange(12_000, 18_000) for _ in range(30)}
    )
    blocks = blocks_find([Fish(second) for second in moments], start=moments[0], end=moments[-1])
    edges = [blocks[0].start, *(block.end for block in blocks)]
    assert edges == pytest.approx(list(bayesian_blocks(moments, fitness="events", p0=0.05)))
