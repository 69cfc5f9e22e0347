"""Facts that correct, disagree or come late, and what a ruling makes of them."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest

from matches.models import (
    Disagreement,
    Fact,
    Match,
    MatchState,
    Membership,
    WeighIn,
)
from tests.web.pushing import fact, outcomes, pointers, push, ruling, words


def test_a_correction_takes_the_place_of_its_original(world: Any) -> None:
    push(world.weigher, fact(world, 1))
    (outcome,) = outcomes(push(world.weigher, fact(world, 2, supersedes=fact(world, 1)["id"])))
    assert outcome["outcome"] == "accepted"
    assert list(WeighIn.objects.values_list("weight", "stands")) == [(200, True)]


@pytest.mark.fault("correction before its original")
def test_a_correction_before_its_original_waits_and_is_then_resolved(world: Any) -> None:
    (held,) = outcomes(push(world.weigher, fact(world, 2, supersedes=fact(world, 1)["id"])))
    assert (held["outcome"], held["cseq"]) == ("waiting", 1)
    assert not WeighIn.objects.exists()
    assert words(push(world.weigher, fact(world, 1))) == ["accepted"]
    assert list(WeighIn.objects.values_list("weight", "stands")) == [(200, True)]


def test_second_phone_on_same_peg_disagrees_and_the_first_stands(world: Any) -> None:
    push(world.weigher, fact(world, 1))
    (outcome,) = outcomes(push(world.rival, fact(world, 2)))
    assert outcome["outcome"] == "disagrees"
    assert outcome["rivals"] == [
        {"fact": fact(world, 1)["id"], "author": "Tamsin Rook", "kind": "two_weights"}
    ]
    assert list(WeighIn.objects.order_by("weight").values_list("weight", "stands")) == [
        (100, True),
        (200, False),
    ]
    row = Disagreement.objects.get()
    assert (row.kind, row.peg, row.net, row.facts.count()) == ("two_weights", "1", 1, 2)
    # The outcome of a fact is stable: sent again, it is a duplicate.
    assert words(push(world.rival, fact(world, 2))) == ["duplicate"]


def test_two_phones_with_the_same_weight_agree(world: Any) -> None:
    push(world.weigher, fact(world, 1))
    body = fact(world, 1)["body"]
    assert words(push(world.rival, fact(world, 2, body=body))) == ["accepted"]
    assert not Disagreement.objects.exists()


def test_a_disagreement_falls_away_when_one_side_corrects_itself(world: Any) -> None:
    push(world.weigher, fact(world, 1))
    push(world.rival, fact(world, 2))
    mended = fact(world, 3, supersedes=fact(world, 2)["id"], body=fact(world, 1)["body"])
    assert words(push(world.rival, mended)) == ["accepted"]
    assert str(Disagreement.objects.get().ruling_id) == mended["id"]
    assert WeighIn.objects.filter(stands=True).get().weight == 100


def test_nobody_overwrites_another_persons_weigh_in(world: Any) -> None:
    push(world.weigher, fact(world, 1))
    theirs = fact(world, 2, supersedes=fact(world, 1)["id"])
    assert words(push(world.rival, theirs)) == ["disagrees"]
    assert WeighIn.objects.get(stands=True).weight == 100


def test_a_weigher_corrects_a_members_weigh_in(world: Any) -> None:
    push(world.rival, fact(world, 1))
    assert words(push(world.weigher, fact(world, 2, supersedes=fact(world, 1)["id"]))) == [
        "accepted"
    ]
    assert WeighIn.objects.get(stands=True).weight == 200


def test_somebody_elses_weigh_in_cannot_be_withdrawn(world: Any) -> None:
    push(world.weigher, fact(world, 1))
    scratch = fact(
        world, 2, kind="scratch", supersedes=fact(world, 1)["id"], body={"why": "mine was more"}
    )
    (outcome,) = outcomes(push(world.rival, scratch))
    assert (outcome["outcome"], outcome["problem"]["type"]) == ("refused", "/problems/not-allowed")
    assert WeighIn.objects.get().stands


def test_two_corrections_of_one_fact_are_put_before_the_secretary(world: Any) -> None:
    first = fact(world, 1)["id"]
    push(world.weigher, fact(world, 1), fact(world, 2, supersedes=first))
    assert words(push(world.weigher, fact(world, 3, supersedes=first))) == ["disagrees"]
    row = Disagreement.objects.get()
    assert row.kind == "two_corrections"
    assert {str(f.pk) for f in row.facts.all()} == {fact(world, 2)["id"], fact(world, 3)["id"]}
    assert WeighIn.objects.get(stands=True).weight == 200


@pytest.mark.parametrize("peg", ["3", "99"])
def test_a_weigh_in_for_a_peg_nobody_drew_is_kept_and_raised(world: Any, peg: str) -> None:
    (outcome,) = outcomes(push(world.weigher, fact(world, 1, peg=peg)))
    assert (outcome["outcome"], outcome["cseq"]) == ("disagrees", 1)
    assert Disagreement.objects.get().kind == "undrawn_peg"
    assert Fact.objects.get().peg == peg


@pytest.mark.fault("match closed meanwhile")
def test_a_weigh_in_after_confirmation_is_kept_raised_and_does_not_count(world: Any) -> None:
    push(world.weigher, fact(world, 1))
    Match.objects.update(state=MatchState.CONFIRMED)
    late = fact(world, 2, supersedes=fact(world, 1)["id"])
    assert words(push(world.weigher, late)) == ["disagrees"]
    assert Disagreement.objects.get().kind == "late"
    assert list(WeighIn.objects.values_list("weight", "stands")) == [(100, True)]


@pytest.mark.fault("member removed meanwhile")
def test_a_former_members_weigh_in_is_kept_and_raised(world: Any) -> None:
    Membership.objects.filter(person=world.member).update(
        ended_at=dt.datetime(2026, 6, 20, 12, tzinfo=dt.UTC)
    )
    assert words(push(world.member, fact(world, 1))) == ["disagrees"]
    assert Disagreement.objects.get().kind == "late"


def test_a_ruling_decides_which_weight_stands(world: Any) -> None:
    push(world.weigher, fact(world, 1))
    push(world.rival, fact(world, 2))
    rule = ruling(world, 3, fact(world, 2)["id"])
    assert words(push(world.secretary, rule)) == ["accepted"]
    assert str(Disagreement.objects.get().ruling_id) == rule["id"]
    assert dict(WeighIn.objects.values_list("weight", "stands")) == {100: False, 200: True}
    # Settled: other facts for the net later don't open it again, unless they say otherwise.
    same = fact(world, 4, body=fact(world, 2)["body"])
    assert words(push(world.rival, same)) == ["accepted"]
    assert words(push(world.rival, fact(world, 5))) == ["disagrees"]
    assert WeighIn.objects.get(stands=True).weight == 200


def test_a_ruling_lets_a_late_weight_stand(world: Any) -> None:
    push(world.weigher, fact(world, 1))
    Match.objects.update(state=MatchState.CONFIRMED)
    push(world.weigher, fact(world, 2, supersedes=fact(world, 1)["id"]))
    push(world.secretary, ruling(world, 3, fact(world, 2)["id"]))
    assert list(WeighIn.objects.values_list("weight", "stands")) == [(200, True)]


def test_a_ruling_against_a_late_weight_leaves_what_stood(world: Any) -> None:
    push(world.weigher, fact(world, 1))
    Match.objects.update(state=MatchState.CONFIRMED)
    push(world.weigher, fact(world, 2, supersedes=fact(world, 1)["id"]))
    assert words(push(world.secretary, ruling(world, 3, fact(world, 1)["id"]))) == ["accepted"]
    assert list(WeighIn.objects.values_list("weight", "stands")) == [(100, True)]
    assert not Disagreement.objects.filter(ruling__isnull=True).exists()


def test_a_ruling_can_be_superseded_but_not_doubled(world: Any) -> None:
    push(world.weigher, fact(world, 1))
    push(world.rival, fact(world, 2))
    first = ruling(world, 3, fact(world, 2)["id"])
    push(world.secretary, first)
    assert words(push(world.secretary, ruling(world, 4, fact(world, 1)["id"]))) == ["refused"]
    again = ruling(world, 5, fact(world, 1)["id"], supersedes=first["id"])
    assert words(push(world.secretary, again)) == ["accepted"]
    assert dict(WeighIn.objects.values_list("weight", "stands")) == {100: True, 200: False}


def test_a_ruling_on_what_does_not_disagree_is_refused(world: Any) -> None:
    push(world.weigher, fact(world, 1))
    push(world.rival, fact(world, 2))
    (outcome,) = outcomes(push(world.secretary, ruling(world, 3, fact(world, 9)["id"])))
    assert (outcome["outcome"], pointers(outcome)) == ("refused", ["/body/stands"])
    none = fact(
        world,
        4,
        kind="ruling",
        body={"disagreement": 2**63 - 1, "stands": fact(world, 1)["id"]},
    )
    (outcome,) = outcomes(push(world.secretary, none))
    assert (outcome["outcome"], pointers(outcome)) == ("refused", ["/body/disagreement"])
