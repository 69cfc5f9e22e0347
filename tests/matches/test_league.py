"""The league calculator: the shared cases, and laws no table may break."""

from __future__ import annotations

import json
import random
from dataclasses import replace
from fractions import Fraction
from itertools import combinations, pairwise
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from matches.reckon.errors import BadInput
from matches.reckon.league import (
    LEAGUE_EXAMPLE,
    LEAGUE_EXAMPLE_ANSWER,
    LeagueRequest,
    LeagueRules,
    Round,
    RoundEntry,
    Season,
    league_parse,
    league_work_out,
)
from matches.reckon.weights import GRAMS_PER_DRAM

CASES = json.loads(
    (Path(__file__).parents[1] / "cases" / "league.json").read_text(encoding="utf-8")
)
NAMES = ["maud", "perrin", "odette", "wilmot"]


@pytest.mark.parametrize("case", [c for c in CASES if "output" in c], ids=lambda c: c["why"])
def test_case_is_ranked(case: dict[str, Any]) -> None:
    assert league_work_out(league_parse(case["input"])).as_json() == case["output"]


@pytest.mark.parametrize("case", [c for c in CASES if "errors" in c], ids=lambda c: c["why"])
def test_case_is_refused(case: dict[str, Any]) -> None:
    with pytest.raises(BadInput) as refused:
        league_parse(case["input"])
    assert sorted(fault.pointer for fault in refused.value.faults) == case["errors"]


def test_the_example_of_the_api_is_true() -> None:
    assert league_work_out(league_parse(LEAGUE_EXAMPLE)).as_json() == LEAGUE_EXAMPLE_ANSWER


@st.composite
def rounds(draw: st.DrawFn, *, to_weigh: bool = True) -> tuple[Round, ...]:
    """Up to five rounds of up to four; few values, so that much is equal."""
    statuses = ["fished", "fished", "fished", "absent", "disqualified"]
    held = []
    for n in range(draw(st.integers(0, 5))):
        entries = []
        for name in draw(st.lists(st.sampled_from(NAMES), unique=True)):
            status = draw(st.sampled_from([*statuses, *(["to_weigh"] if to_weigh else [])]))
            waits = status == "to_weigh"
            entries.append(
                RoundEntry(
                    name,
                    points=Fraction(0 if waits else draw(st.integers(0, 8)), 2),
                    weight=0 if waits else draw(st.integers(0, 3)),
                    place=draw(st.none() | st.integers(1, 4).map(Fraction)),
                    status=status,  # type: ignore[arg-type]
                )
            )
        held.append(Round(str(n), tuple(entries), draw(st.sampled_from(["g", "dr"]))))
    return tuple(held)


@st.composite
def leagues(draw: st.DrawFn, **options: bool) -> LeagueRequest:
    best_of = draw(st.none() | st.integers(1, 4))
    points = draw(st.sampled_from(["low", "high"]))
    fixed: list[Any] = ["worst_plus_one", Fraction(9, 2)]
    rules = LeagueRules(
        points=points,
        drop_worst=0 if best_of else draw(st.integers(0, 3)),
        best_of=best_of,
        minimum_rounds=draw(st.integers(0, 4)),
        missed=draw(st.sampled_from(fixed + (["not_counted"] if points == "high" else []))),
        tie_breaks=tuple(
            draw(st.lists(st.sampled_from(["weight", "best_places", "last_round"]), unique=True))
        ),
    )
    return LeagueRequest(draw(rounds(**options)), rules)


def points_of(season: Season) -> list[Fraction]:
    """What could count, in the order of the rounds; a missed round that counts nothing as 0."""
    return [
        s.points or Fraction(0) for s in season.scores if s.round.scored and s.status != "to_weigh"
    ]


@given(leagues())
def test_the_total_is_the_sum_of_the_rounds_that_count(request: LeagueRequest) -> None:
    for season in league_work_out(request).table:
        assert season.total == sum((s.points or 0 for s in season.counted), Fraction(0))
        assert all(s.dropped is None for s in season.counted)


@given(leagues())
def test_what_is_dropped_is_the_best_choice_for_everybody(request: LeagueRequest) -> None:
    """Dropping never worsens anybody: no other choice of as many rounds gives a better total."""
    best = min if request.rules.points == "low" else max
    for season in league_work_out(request).table:
        points = points_of(season)
        kept = len(points) - sum(1 for s in season.scores if s.dropped)
        assert season.total == best(
            (sum(some, Fraction(0)) for some in combinations(points, kept)), default=Fraction(0)
        )


@given(leagues())
def test_everybody_has_as_many_rounds_dropped_as_the_rules_say(request: LeagueRequest) -> None:
    rules = request.rules
    for season in league_work_out(request).table:
        could = len(points_of(season))
        dropped = sum(1 for s in season.scores if s.dropped)
        if rules.best_of:
            assert could - dropped == min(could, rules.best_of)
        else:
            assert dropped == min(rules.drop_worst, max(0, could - 1))


@given(leagues(), st.randoms(use_true_random=False))
def test_the_order_of_entries_does_not_matter(request: LeagueRequest, luck: random.Random) -> None:
    stirred = replace(
        request,
        rounds=tuple(
            replace(r, entries=tuple(luck.sample(r.entries, len(r.entries))))
            for r in request.rounds
        ),
    )
    assert league_work_out(stirred).as_json() == league_work_out(request).as_json()


@given(leagues())
def test_everybody_who_entered_stands_once_and_better_totals_stand_first(
    request: LeagueRequest,
) -> None:
    table = league_work_out(request).table
    assert sorted(s.id for s in table) == sorted({e.id for r in request.rounds for e in r.entries})
    ranked = [s for s in table if s.rank is not None]
    assert list(table[: len(ranked)]) == ranked
    totals = [request.rules.worse(s.total) for s in ranked]
    assert totals == sorted(totals)
    needed = min(request.rules.minimum_rounds, sum(1 for r in request.rounds if r.scored))
    assert all((s.fished >= needed) == (s.rank is not None) for s in table)


@given(leagues())
def test_ranks_are_shared_by_equals_only(request: LeagueRequest) -> None:
    ranked = [s for s in league_work_out(request).table if s.rank is not None]
    for position, (above, row) in enumerate(pairwise(ranked), start=2):
        assert row.rank == (above.rank if row.behind == "equal" else position)
        assert (row.total == above.total) == (row.behind != "points")


@given(leagues(to_weigh=False), st.integers(0, 4))
def test_dropping_one_more_round_never_worsens_a_total(request: LeagueRequest, many: int) -> None:
    """More dropped is fewer points where the least win; each law of its own direction."""
    low = replace(
        request, rules=LeagueRules(points="low", drop_worst=many, missed=request.rules.missed)
    )
    more = replace(low, rules=replace(low.rules, drop_worst=many + 1))
    before = {s.id: s.total for s in league_work_out(low).table}
    assert all(s.total <= before[s.id] for s in league_work_out(more).table)


def test_a_gram_decides_between_grams_and_drams() -> None:
    """256 dr are 453.59237 g exactly: 453 g are less, 454 g more."""
    assert Fraction("453.59237") == GRAMS_PER_DRAM * 256
    for grams, first in ((453, "perrin"), (454, "maud")):
        table = league_work_out(
            league_parse(
                {
                    "missed": {"points": "1"},
                    "tie_breaks": ["weight"],
                    "rounds": [
                        {"id": "1", "entries": [{"id": "maud", "points": "1", "weight": grams}]},
                        {
                            "id": "2",
                            "weight_unit": "dr",
                            "entries": [{"id": "perrin", "points": "1", "weight": 256}],
                        },
                    ],
                }
            )
        ).table
        assert next(s.id for s in table) == first
        assert table[1].behind == "weight"


def test_a_request_too_large_to_answer_is_refused() -> None:
    many = [{"id": str(n), "points": "1"} for n in range(1001)]
    body = {"rounds": [{"id": str(n), "entries": many if n == 0 else []} for n in range(100)]}
    with pytest.raises(BadInput, match="ask for fewer at once"):
        league_parse(body)
    with pytest.raises(BadInput, match="At most 100 rounds"):
        league_parse({"rounds": [{"id": str(n), "entries": []} for n in range(101)]})
