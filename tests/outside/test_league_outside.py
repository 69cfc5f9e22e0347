"""Leagues against published examples of series scored by the lowest points.

Source: The Racing Rules of Sailing, Appendix A (World Sailing's open rules for series): A2.1, the
worst score is left out, of equal worst scores the earliest; A8.1, a tie goes to the better scores
listed from the best on, without those left out; A8.2, then to the better score in the last race,
the one before it and so on, also where it is left out. Both tables are worked examples of these
rules in a printed reference for race officials ("Misconduct: a reference for race officials",
page 105). Their first rule of ties is our `best_places`, their second our `last_round`.
"""

from __future__ import annotations

from matches.reckon.league import Season, league_parse, league_work_out

RULES = {"points": "low", "drop_worst": 1, "tie_breaks": ["best_places", "last_round"]}


def table(scores: dict[str, list[int]]) -> tuple[Season, ...]:
    """The table of these scores, race by race."""
    races = len(next(iter(scores.values())))
    return league_work_out(
        league_parse(
            {
                **RULES,
                "rounds": [
                    {
                        "id": str(n + 1),
                        "entries": [
                            {"id": boat, "points": str(of[n]), "place": str(of[n])}
                            for boat, of in scores.items()
                        ],
                    }
                    for n in range(races)
                ],
            }
        )
    ).table


def test_a_tie_is_broken_by_the_best_scores_then_by_the_last_race() -> None:
    ranked = table({"A": [3, 4, 1, 6, 2, 7], "B": [4, 3, 2, 1, 6, 6], "C": [1, 2, 7, 3, 3, 14]})
    assert [(s.rank, s.id, s.total) for s in ranked] == [(1, "C", 16), (2, "B", 16), (3, "A", 16)]
    assert [s.behind for s in ranked] == [None, "best_places", "last_round"]
    assert [next(x.points for x in s.scores if x.dropped) for s in ranked] == [14, 6, 7]


def test_of_equal_worst_scores_the_earliest_is_left_out() -> None:
    worst = next(s for s in table({"A": [1] * 6, "B": [4, 3, 2, 1, 6, 6]}) if s.id == "B")
    assert [x.round.id for x in worst.scores if x.dropped] == ["5"]
    assert [x.dropped for x in worst.scores if x.dropped] == ["earlier"]


def test_the_last_race_decides_though_it_is_left_out() -> None:
    ranked = table({"A": [3, 4, 5, 10], "B": [11, 3, 4, 5], "C": [5, 15, 3, 4], "D": [4, 5, 6, 3]})
    assert [(s.rank, s.id, s.total) for s in ranked] == [
        (1, "D", 12),
        (2, "C", 12),
        (3, "B", 12),
        (4, "A", 12),
    ]
    assert [s.behind for s in ranked[1:]] == ["last_round"] * 3
