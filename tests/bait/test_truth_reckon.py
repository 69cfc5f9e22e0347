"""Whether a bag adds up, how much spare is enough, and what a kilo cost: tables of cases."""

from __future__ import annotations

from fractions import Fraction as F

import pytest

from bait.reckon.bait_cost import GRAMS, MatchCost, season_cost, section_points
from bait.reckon.spare import BagUsed, Spare, spare_suggest
from bait.reckon.truth import BaitKnown, partly_known


@pytest.mark.parametrize(
    ("known", "gap", "adds_up", "used"),
    [
        # A bag of 4: 1 in the mix, 2 fed, 1 back.
        (BaitKnown(F(4), F(4), F(1), F(2), F(1)), F(0), True, F(3)),
        # Half a pint of 4 is more than a twentieth.
        (BaitKnown(F(4), F(4), F(1), F(2), F(1, 2)), F(1, 2), False, F(7, 2)),
        # A fifth of a pint of 4 is a twentieth exactly.
        (BaitKnown(F(4), F(4), F(0), F(3), F(4, 5)), F(1, 5), True, F(16, 5)),
        (BaitKnown(F(4), F(4), F(0), F(3), F(3)), F(-2), False, F(1)),
        # Half a pint was for the hook and a little of that came back: no more was used.
        (BaitKnown(F(1), F(1), F(1, 2), F(1, 4), F(1, 2)), F(0), True, F(1, 2)),
        # More came back than was handed out: nothing was used, and it does not add up.
        (BaitKnown(F(1), F(1), F(0), F(0), F(2)), F(-1), False, F(0)),
        (BaitKnown(F(4), F(4), F(0), None, F(1)), None, None, F(3)),
        (BaitKnown(F(4), F(4), F(0), F(3), None), None, None, None),
        (BaitKnown(F(4), None, F(0), F(3), F(1)), None, None, None),
    ],
)
def test_a_bag_adds_up_to_a_twentieth_and_what_nobody_said_is_no_nought(
    known: BaitKnown, gap: F | None, adds_up: bool | None, used: F | None
) -> None:
    assert (known.gap, known.adds_up, known.used) == (gap, adds_up, used)


def test_a_sum_says_of_how_many_bags_it_is_known() -> None:
    sums = partly_known([F(1), None, F(1, 2)])
    assert (sums.amount, sums.known, sums.of) == (F(3, 2), 2, 3)
    assert partly_known([None]).known == 0


def bags(*shares: str, matches: int = 3, emptied: int = 0) -> list[BagUsed]:
    return [BagUsed(n % matches, F(share), emptied=n < emptied) for n, share in enumerate(shares)]


@pytest.mark.parametrize(
    ("used", "spare"),
    [
        # Ten bags: nine of them within 10 %, one needed 40 %.
        (
            bags("1.4", *["1.08"] * 5, *["0.9"] * 4),
            Spare(10, learnt=True, matches=3, bags=10, enough=9),
        ),
        # Exactly at a step is enough.
        (bags(*["1.05"] * 10), Spare(5, learnt=True, matches=3, bags=10, enough=10)),
        (bags(*["0.6"] * 10), Spare(0, learnt=True, matches=3, bags=10, enough=10)),
        # Two of ten is more than one of ten: the larger step.
        (
            bags("1.4", "1.31", *["1"] * 8, emptied=2),
            Spare(35, learnt=True, matches=3, bags=10, enough=9, emptied=2),
        ),
        (bags(*["9"] * 10), Spare(100, learnt=True, matches=3, bags=10, enough=0)),
        (bags(*["1.2"] * 30, matches=2), Spare(10, learnt=False, matches=2, bags=30)),
        (bags(*["1.2"] * 9), Spare(10, learnt=False, matches=3, bags=9)),
        ([], Spare(10, learnt=False, matches=0, bags=0)),
    ],
)
def test_the_spare_does_for_nine_bags_of_ten_and_few_bags_say_nothing(
    used: list[BagUsed], spare: Spare
) -> None:
    assert spare_suggest(used) == spare
    assert spare_suggest(used[::-1]) == spare


def test_what_bait_cost_is_divided_by_what_was_weighed_and_won() -> None:
    rows = [MatchCost(1, 1105, F(2500), F(8)), MatchCost(2, 895, F(1500), F(2))]
    cost = season_cost(rows)
    assert (cost.matches, cost.pence, cost.per_kilo, cost.per_point) == (2, 2000, 500, 200)


def test_a_blank_season_has_no_cost_a_kilo_and_no_division_by_nought() -> None:
    cost = season_cost([MatchCost(1, 1105, F(0), F(0))])
    assert (cost.per_kilo, cost.per_point, cost.pence) == (None, None, 1105)
    assert season_cost([]).per_kilo is None


def test_a_pound_of_drams_is_a_pound() -> None:
    # 1 lb = 0.45359237 kg (UK Weights and Measures Act 1985).
    assert 256 * GRAMS["dr"] == F("453.59237")


@pytest.mark.parametrize(
    ("place", "points"), [("1", "8"), ("2.5", "6.5"), ("8", "1"), ("9", "0"), ("10", "0")]
)
def test_section_points_are_one_for_the_last_and_none_for_who_stayed_away(
    place: str, points: str
) -> None:
    assert section_points(F(place), size=8) == F(points)
