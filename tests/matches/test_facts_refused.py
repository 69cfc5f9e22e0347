"""What was refused is remembered: a hole in a phone's numbers that can never be filled is told as
refused, not as still to come, and what corrects a refused fact stands by itself."""

from __future__ import annotations

import uuid
from typing import Any

import pytest

from matches.models import Device, Disagreement, Fact, RefusedFact, WeighIn
from matches.reads.phones import MANY, facts_to_come, phones_of
from matches.writes.facts import facts_store, match_body_checks
from matches.writes.facts.shape import SEQ_MOST
from tests.matches.handed_in import PHONE, from_phone, handed_in

pytestmark = pytest.mark.django_db

BAD = {"net": 1, "weight": 2_000_001, "unit": "g"}


@pytest.fixture(autouse=True)
def phone(world: Any) -> Device:
    return Device.objects.create(pk=PHONE, person=world.weigher, label="Tamsin's phone")


def missing(world: Any) -> list[int]:
    return [p.missing for p in facts_to_come(world.secretary, match_id=world.match.pk)]


def told(world: Any) -> list[tuple[str, int]]:
    return [(p.person, p.refused) for p in phones_of((), match=world.match).refused]


def test_a_refused_fact_is_not_still_to_come_and_the_secretary_reads_that_it_was_refused(
    world: Any,
) -> None:
    facts = [from_phone(world, 1), from_phone(world, 2, body=BAD), from_phone(world, 4, peg="2")]
    assert handed_in(world.weigher, *facts) == ["accepted", "refused", "accepted"]
    assert missing(world) == [1]
    assert told(world) == [("Tamsin Rook", 1)]
    kept = RefusedFact.objects.get()
    assert (kept.device, kept.seq, kept.fact) == (PHONE, 2, uuid.UUID(int=2))
    assert (kept.person, kept.match, kept.code) == (world.weigher, world.match, "bad-input")


def test_a_fact_refused_again_and_again_is_remembered_once_with_the_last_reason(
    world: Any,
) -> None:
    for body in (BAD, {"net": 0}):
        assert handed_in(world.weigher, from_phone(world, 1, body=body)) == ["refused"]
    assert handed_in(world.weigher, from_phone(world, 1, match="999999")) == ["refused"]
    assert RefusedFact.objects.get().code == "not-found"


def test_the_same_fact_accepted_later_is_refused_no_more(world: Any) -> None:
    handed_in(world.weigher, from_phone(world, 1, body=BAD), from_phone(world, 2, peg="2"))
    assert handed_in(world.weigher, from_phone(world, 1)) == ["accepted"]
    assert (missing(world), told(world)) == ([], [])


@pytest.mark.parametrize("together", [True, False])
def test_what_corrects_a_refused_fact_stands_by_itself(world: Any, together: bool) -> None:
    first = from_phone(world, 1, body=BAD)
    second = from_phone(world, 2, supersedes=first["id"])
    batches = [[first, second]] if together else [[first], [second]]
    verdicts = [v for batch in batches for v in handed_in(world.weigher, *batch)]
    assert verdicts == ["refused", "accepted"]
    assert list(WeighIn.objects.values_list("weight", "stands")) == [(1002, True)]
    # Logged again and linked to it: nobody needs to ask after the refused one.
    assert (missing(world), told(world)) == ([], [])


def test_a_correction_that_came_before_its_original_was_refused_waits_no_longer(world: Any) -> None:
    first = from_phone(world, 1, body=BAD)
    second = from_phone(world, 2, supersedes=first["id"])
    assert handed_in(world.weigher, second) == ["waiting"]
    assert not WeighIn.objects.exists()
    assert handed_in(world.weigher, first) == ["refused"]
    assert list(WeighIn.objects.values_list("weight", "stands")) == [(1002, True)]


def test_a_refused_fact_accepted_after_its_correction_joins_the_chain(world: Any) -> None:
    first = from_phone(world, 1, body=BAD)
    handed_in(world.weigher, first, from_phone(world, 2, supersedes=first["id"]))
    assert handed_in(world.weigher, from_phone(world, 1)) == ["accepted"]
    assert list(WeighIn.objects.values_list("weight", "stands")) == [(1002, True)]
    assert not Disagreement.objects.exists()


def test_a_refused_fact_put_aside_on_the_phone_is_withdrawn_by_a_scratch(world: Any) -> None:
    first = from_phone(world, 1, body=BAD)
    scratch = from_phone(
        world, 2, kind="scratch", supersedes=first["id"], body={"why": "put aside on the phone"}
    )
    assert handed_in(world.weigher, first, scratch) == ["refused", "accepted"]
    assert (missing(world), told(world)) == ([], [])
    # Should a copy of it be accepted after all, it stays withdrawn.
    assert handed_in(world.weigher, from_phone(world, 1)) == ["accepted"]
    assert not WeighIn.objects.filter(stands=True).exists()


def test_what_the_batch_itself_refuses_is_remembered_too(world: Any) -> None:
    handed_in(
        world.rival,
        from_phone(world, 9, device=str(uuid.UUID(int=77)), kind="peg_note", body={"note": "deep"}),
    )
    other = from_phone(
        world, 1, kind="peg_note", peg="2", supersedes=str(uuid.UUID(int=9)), body={"note": "mine"}
    )
    assert handed_in(world.member, other) == ["refused"]
    assert RefusedFact.objects.get().code == "not-allowed"


def test_nobody_hides_a_hole_of_another_phone_by_handing_in_a_refused_fact(world: Any) -> None:
    handed_in(world.weigher, from_phone(world, 1), from_phone(world, 3, peg="2"))
    assert handed_in(world.member, from_phone(world, 2, body=BAD)) == ["refused"]
    assert missing(world) == [1]


def test_nobody_makes_holes_in_another_phones_numbers(world: Any) -> None:
    handed_in(world.weigher, from_phone(world, 1))
    forged = from_phone(world, 9_000, kind="peg_note", body={"note": "deep"})
    assert handed_in(world.member, forged) == ["accepted"]
    assert missing(world) == []


def test_a_number_no_phone_counts_to_is_refused_in_words(world: Any) -> None:
    facts = [from_phone(world, SEQ_MOST), from_phone(world, SEQ_MOST + 1, peg="2")]
    assert handed_in(world.weigher, *facts) == ["accepted", "refused"]
    forged = from_phone(world, 2_000_000_000, peg="4")
    (outcome,) = facts_store(world.weigher, facts=[forged], body_checks=match_body_checks())
    assert outcome.problem is not None
    assert [f.pointer for f in outcome.problem.faults] == ["/seq"]
    assert "No phone counts that far" in outcome.problem.faults[0].message
    assert not RefusedFact.objects.exists()


def test_a_phone_offline_for_a_long_while_is_heard_and_so_many_are_told_as_many(
    world: Any,
) -> None:
    assert handed_in(world.weigher, from_phone(world, MANY + 1)) == ["accepted"]
    (phone,) = facts_to_come(world.secretary, match_id=world.match.pk)
    assert (phone.missing, phone.is_many) == (MANY, False)
    assert handed_in(world.weigher, from_phone(world, 5_000_000, peg="2")) == ["accepted"]
    (phone,) = facts_to_come(world.secretary, match_id=world.match.pk)
    assert (phone.missing, phone.is_many) == (MANY, True)


@pytest.mark.parametrize(
    "broken",
    [{"id": "x"}, {"device": 7}, {"seq": "2"}, {"seq": 0}, {"seq": True}, {"id": None}],
)
def test_a_refused_fact_without_a_name_or_number_leaves_nothing_behind(
    world: Any, broken: dict[str, Any]
) -> None:
    assert handed_in(world.weigher, from_phone(world, 2) | broken) == ["refused"]
    assert handed_in(world.weigher, "no fact", None, 7, []) == ["refused"] * 4
    assert not RefusedFact.objects.exists()


def test_what_a_stranger_hands_in_names_no_match_of_the_club(world: Any) -> None:
    assert handed_in(world.outsider, from_phone(world, 2)) == ["refused"]
    assert RefusedFact.objects.get().match is None
    assert told(world) == []
    assert not Fact.objects.exists()


def test_refusals_ask_a_bounded_number_of_queries(
    world: Any, django_assert_max_num_queries: Any
) -> None:
    facts = [from_phone(world, seq, body=BAD) for seq in range(1, 200)]
    with django_assert_max_num_queries(12):
        handed_in(world.weigher, *facts)
    assert RefusedFact.objects.count() == 199
