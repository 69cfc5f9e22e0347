"""From fact to place: a cap on nets, counted fish, weighing again, and what comes too late."""

from __future__ import annotations

from typing import Any

import pytest

from matches.models import (
    Disagreement,
    DisagreementKind,
    EntryStatus,
    Fact,
    MatchState,
    NetCapRule,
    ScoredBy,
    WeighIn,
)
from matches.problems import Problem
from matches.reads.bulletin_bodies import bulletin_body, bulletin_changes
from matches.reads.results import match_result
from matches.writes.facts import fact_log_at_desk, weigh_ins_project
from tests.fished import weigh

pytestmark = pytest.mark.django_db

SPECIES = [{"name": "Roach", "points": 1}, {"name": "Perch", "points": 3}]


def capped(world: Any, rule: str, cap: int = 2000) -> None:
    world.match.net_cap, world.match.net_cap_rule = cap, rule
    world.match.save()


def scored_by_fish(world: Any) -> None:
    world.match.scored_by, world.match.species = ScoredBy.FISH, SPECIES
    world.match.save()


def rows(world: Any) -> dict[str, Any]:
    return {e.angler.split()[0]: e for e in match_result(world.match).entries()}


# ---- the cap ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("rule", "counted", "places"),
    [(NetCapRule.CAP, 2000, ("1", "2")), (NetCapRule.NOTHING, 0, ("2", "1"))],
)
def test_a_net_over_the_cap_counts_by_the_matchs_rule_and_keeps_its_weight(
    world: Any, rule: str, counted: int, places: tuple[str, str]
) -> None:
    capped(world, rule)
    weigh(world, "1", 2001)
    weigh(world, "2", 1999)
    maud, perrin = rows(world)["Maud"], rows(world)["Perrin"]
    assert (maud.weight, maud.counted, maud.is_capped) == (2001, counted, True)
    assert (perrin.weight, perrin.counted, perrin.is_capped) == (1999, 1999, False)
    assert (maud.place, perrin.place) == places


def test_two_nets_under_the_cap_count_in_full_together(world: Any) -> None:
    capped(world, NetCapRule.CAP)
    weigh(world, "1", 2000)
    weigh(world, "1", 1500, net=2)
    assert rows(world)["Maud"].counted == 3500


def test_teams_the_biggest_and_the_bulletin_go_by_what_counts(world: Any) -> None:
    capped(world, NetCapRule.CAP)
    weigh(world, "1", 9000)
    weigh(world, "2", 1000)
    weigh(world, "4", 100)
    weigh(world, "5", 1999)
    result = match_result(world.match)
    assert {t.team.split()[-1]: t.weight for t in result.teams} == {"Alders": 2100, "Teals": 2999}
    body = bulletin_body(result, confirmed=False)
    assert (body["net_cap"], body["net_cap_rule"]) == (2000, "cap")
    maud = body["sections"][0]["entries"][0]
    assert (maud["weight"], maud["counted_weight"]) == (9000, 2000)
    assert body["biggest"]["weight"] == 2000
    assert "counted_weight" not in body["sections"][0]["entries"][1]


def test_a_bulletin_without_cap_or_fish_says_no_word_of_either(world: Any) -> None:
    weigh(world, "1", 9000)
    body = bulletin_body(match_result(world.match), confirmed=False)
    assert not {"net_cap", "scored_by", "species"} & body.keys()
    assert not {"counted_weight", "score", "fish"} & body["sections"][0]["entries"][0].keys()


# ---- fish ------------------------------------------------------------------------------------


def test_fish_are_kept_with_the_net_and_placed_by_points_then_weight(world: Any) -> None:
    scored_by_fish(world)
    weigh(world, "1", 500, fish=[["Roach", 2], ["Perch", 1]])
    weigh(world, "2", 900, fish=[["Perch", 1], ["Roach", 2]])
    weigh(world, "4", 9000, fish=[["Roach", 1]])
    weigh(world, "5", 100, fish=[["Perch", 4], ["Roach", 0]])
    found = rows(world)
    assert {name: (e.score, e.place) for name, e in found.items()} == {
        "Maud": (5, "2"),
        "Perrin": (5, "1"),
        "Wilmot": (1, "2"),
        "Odette": (12, "1"),
    }
    assert WeighIn.objects.get(section_peg=world.pegs["5"]).fish == [["Perch", 4]]


def test_a_phone_that_knows_no_fish_yet_is_heard_and_the_count_is_missing(world: Any) -> None:
    scored_by_fish(world)
    weigh(world, "1", 500)
    maud = rows(world)["Maud"]
    assert (maud.score, maud.lacks_fish, maud.place) == (0, True, "1")
    assert WeighIn.objects.get().fish is None


def test_fish_that_were_left_out_come_with_anothers_equal_weight(world: Any) -> None:
    scored_by_fish(world)
    first = weigh(world, "1", 500)
    weigh(world, "1", 500, by=world.secretary, fish=[["Roach", 4]])
    assert Disagreement.objects.count() == 0
    assert WeighIn.objects.get(stands=True).fact == first
    assert (rows(world)["Maud"].score, rows(world)["Maud"].lacks_fish) == (4, False)


def test_equal_weights_with_other_fish_disagree(world: Any) -> None:
    scored_by_fish(world)
    weigh(world, "1", 500, fish=[["Roach", 4]])
    weigh(world, "1", 500, by=world.secretary, fish=[["Roach", 5]])
    assert Disagreement.objects.get().kind == DisagreementKind.TWO_WEIGHTS
    assert rows(world)["Maud"].score == 4


@pytest.mark.parametrize(
    ("fish", "pointer"),
    [
        ([["Whale", 1]], "/body/fish/0/0"),
        ([["Roach", -1]], "/body/fish/0/1"),
        ([["Roach", "2"]], "/body/fish/0/1"),
        ([["Roach", True]], "/body/fish/0/1"),
        ([["Roach", 1], ["Roach", 2]], "/body/fish/1/0"),
        ([["Roach"]], "/body/fish/0"),
        ({"Roach": 1}, "/body/fish"),
        ([[["Roach"], 1]], "/body/fish/0/0"),
    ],
)
def test_fish_that_make_no_sense_are_refused_where_they_stand(
    world: Any, fish: Any, pointer: str
) -> None:
    scored_by_fish(world)
    with pytest.raises(Problem) as refused:
        weigh(world, "1", 500, fish=fish)
    assert pointer in [f.pointer for f in refused.value.faults]
    assert Fact.objects.count() == 0


def test_all_facts_read_again_give_the_same_fish(world: Any) -> None:
    scored_by_fish(world)
    weigh(world, "1", 500)
    weigh(world, "1", 500, by=world.secretary, fish=[["Roach", 4]])
    before = list(WeighIn.objects.order_by("fact").values("fact", "fish", "stands", "weight"))
    WeighIn.objects.all().delete()
    weigh_ins_project(match=world.match)
    assert (
        list(WeighIn.objects.order_by("fact").values("fact", "fish", "stands", "weight")) == before
    )


# ---- weighed again ---------------------------------------------------------------------------


def test_a_net_weighed_again_counts_the_second_weight_even_if_lower(world: Any) -> None:
    # Source: a report of a final in Italy (secondary): a re-weigh asked for replaces the first.
    first = weigh(world, "1", 4250)
    again = weigh(world, "1", 4100, supersedes=first.pk, reweigh=True)
    assert again.body["reweigh"] is True
    assert (rows(world)["Maud"].weight, Disagreement.objects.count()) == (4100, 0)


def test_weighed_again_is_said_with_true_or_false_only(world: Any) -> None:
    with pytest.raises(Problem) as refused:
        weigh(world, "1", 4100, reweigh="yes")
    assert [f.pointer for f in refused.value.faults] == ["/body/reweigh"]


# ---- what comes late ---------------------------------------------------------------------------


def rule(world: Any, row: Disagreement, stands: str | None) -> Fact:
    return fact_log_at_desk(
        world.secretary,
        match=world.match,
        kind="ruling",
        peg=row.peg,
        body={"disagreement": row.pk, "stands": stands},
    )


def late(world: Any, peg: str, weight: int) -> Disagreement:
    world.match.state = MatchState.CONFIRMED
    world.match.save()
    weigh(world, peg, weight)
    return Disagreement.objects.get(ruling__isnull=True)


def test_a_late_weight_for_a_net_where_nothing_stood_can_be_ruled_out(world: Any) -> None:
    row = late(world, "1", 4250)
    rule(world, row, None)
    row.refresh_from_db()
    assert row.ruling is not None
    assert rows(world)["Maud"].weight is None
    assert Fact.objects.filter(kind="weigh_in").count() == 1
    weigh_ins_project(match=world.match)
    assert rows(world)["Maud"].weight is None
    assert Disagreement.objects.filter(ruling__isnull=True).count() == 0


def test_nothing_stands_is_no_ruling_where_something_stood(world: Any) -> None:
    weigh(world, "1", 4000)
    row = late(world, "1", 4250)
    with pytest.raises(Problem, match="Choose one of the facts"):
        rule(world, row, None)
    row.refresh_from_db()
    assert row.ruling is None


def test_nothing_stands_is_no_ruling_between_two_weights(world: Any) -> None:
    weigh(world, "1", 4000)
    weigh(world, "1", 4250, by=world.secretary)
    with pytest.raises(Problem, match="Choose one of the facts"):
        rule(world, Disagreement.objects.get(), None)


# ---- odd days ----------------------------------------------------------------------------------


def test_a_day_of_blanks_places_everybody_level_and_names_no_biggest(world: Any) -> None:
    for peg in "1245":
        weigh(world, peg, 0)
    result = match_result(world.match)
    assert {e.place for e in result.entries()} == {"1.5"}
    assert (result.biggest, {t.rank for t in result.teams}) == (None, {1})


def test_a_section_of_one_has_a_first_and_absent_the_second_place(world: Any) -> None:
    world.entries["Perrin"].drawn_peg.delete()
    weigh(world, "1", 10)
    assert rows(world)["Maud"].place == "1"
    world.entries["Maud"].status = EntryStatus.ABSENT
    world.entries["Maud"].save()
    assert rows(world)["Maud"].place == "2"


def test_a_tonne_and_a_half_from_a_phone_is_placed_and_locks_nobody_out(world: Any) -> None:
    weigh(world, "1", 1_500_000)
    weigh(world, "1", 2_000_000, net=2)
    weigh(world, "2", 10)
    assert (rows(world)["Maud"].place, rows(world)["Perrin"].place) == ("1", "2")


def test_who_withdrew_after_the_draw_holds_no_place(world: Any) -> None:
    world.entries["Maud"].status = EntryStatus.WITHDRAWN
    world.entries["Maud"].save()
    weigh(world, "2", 10)
    assert rows(world).keys() == {"Perrin", "Wilmot", "Odette"}


def test_bulletins_say_when_the_cap_was_changed_between_them(world: Any) -> None:
    weigh(world, "1", 9000)
    before = bulletin_body(match_result(world.match), confirmed=False)
    capped(world, NetCapRule.CAP)
    after = bulletin_body(match_result(world.match), confirmed=False)
    told = {(c["where"], c["what"]): c["after"] for c in bulletin_changes(before, after)}
    assert told["", "net_cap"] == 2000
    assert told["1", "counted_weight"] == 2000
