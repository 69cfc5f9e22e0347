"""Drawing means in, against the batting averages that made the method known."""

from __future__ import annotations

import pytest

from matches.reckon.form import Seen, form_of

#: Eighteen players' hits in their first 45 turns at bat of 1970, and what James and Stein's
#: estimator makes of each average: B. Efron, C. Morris, Stein's paradox in statistics, Scientific
#: American 236 (1977), no. 5, 119-127; numbers only, from memory.
HITS = (18, 17, 16, 15, 14, 14, 13, 12, 11, 11, 10, 10, 10, 10, 10, 9, 8, 7)
DRAWN = (
    *(0.294, 0.289, 0.285, 0.280, 0.275, 0.275, 0.270, 0.266, 0.261),
    *(0.261, 0.256, 0.256, 0.256, 0.256, 0.256, 0.252, 0.247, 0.242),
)


def test_the_batting_averages_are_drawn_in_as_published() -> None:
    means = [hits / 45 for hits in HITS]
    every = sum(means) / len(means)
    form = form_of([Seen(mean, every * (1 - every) / 45) for mean in means])
    assert form is not None
    assert [round(one.value, 3) for one in form.groups] == list(DRAWN)
    assert 1 - form.groups[0].drawn == pytest.approx(0.212, abs=5e-4)
