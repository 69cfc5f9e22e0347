"""What stands of a set of facts: the same whatever order they came in, or how often."""

from __future__ import annotations

import uuid
from collections.abc import Sequence
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from matches.models import Disagreement, Fact, RefusedFact, WeighIn
from matches.writes.facts import facts_store, match_body_checks, weigh_ins_project
from matches.writes.facts.standing import Circumstances, Logged, standing_of
from tests.thorough import trials

DRAWN = frozenset({"1", "2"})
MAUD, WILMOT, IDRIS = 1, 2, 9
OFFICIALS = frozenset({IDRIS})


def name(n: int) -> uuid.UUID:
    return uuid.UUID(int=n)


def logged(n: int, weight: int | None, **given: Any) -> Logged:
    made: dict[str, Any] = {
        "id": name(n),
        "cseq": n,
        "author": MAUD,
        "peg": "1",
        "net": None if weight is None else 1,
        "weight": weight,
        "supersedes": None,
    }
    if "after" in given:
        given["supersedes"] = name(given.pop("after"))
    return Logged(**(made | given))


def stands(*facts: Logged, **more: Any) -> tuple[dict[int, bool], set[str], set[int]]:
    """Weight → whether it is placed, kinds of disagreement, numbers that wait."""
    given = Circumstances(**({"officials": OFFICIALS, "drawn": DRAWN} | more))
    out = standing_of(facts, given=given)
    leaves = {leaf.weight: leaf.stands for leaf in out.leaves}
    return leaves, {key[0] for key in out.disputes}, {w.int for w in out.waiting}


def test_a_chain_of_corrections_leaves_its_last() -> None:
    assert stands(logged(1, 100), logged(2, 200, after=1), logged(3, 300, after=2)) == (
        {300: True},
        set(),
        set(),
    )


def test_a_scratch_leaves_nothing() -> None:
    assert stands(logged(1, 100), logged(2, None, after=1)) == ({}, set(), set())


def test_what_waits_for_what_waits_waits_too() -> None:
    assert stands(logged(2, 200, after=1), logged(3, 300, after=2)) == ({}, set(), {2, 3})


def test_facts_that_supersede_each_other_in_a_ring_wait() -> None:
    assert stands(logged(1, 100, after=2), logged(2, 200, after=1)) == ({}, set(), {1, 2})


def test_the_first_received_stands_while_two_disagree() -> None:
    two = (logged(2, 200, author=WILMOT), logged(1, 100))
    assert stands(*two) == ({100: True, 200: False}, {"two_weights"}, set())


def test_the_first_keeps_standing_when_it_is_corrected() -> None:
    facts = (logged(1, 100), logged(2, 200, author=WILMOT), logged(3, 300, after=1))
    assert stands(*facts) == ({200: False, 300: True}, {"two_weights"}, set())


def test_a_correction_to_another_peg_does_not_push_out_who_was_there_first() -> None:
    moved = logged(3, 300, after=1, peg="2")
    there = logged(2, 200, author=WILMOT, peg="2")
    assert stands(logged(1, 100), there, moved) == (
        {200: True, 300: False},
        {"two_weights"},
        set(),
    )


def test_two_corrections_disagree_unless_they_say_the_same() -> None:
    fork = (logged(1, 100), logged(2, 200, after=1))
    assert stands(*fork, logged(3, 300, after=1, author=IDRIS)) == (
        {200: True, 300: False},
        {"two_corrections"},
        set(),
    )
    same = stands(*fork, logged(3, 200, after=1, author=IDRIS))
    assert same[1] == set()


def test_a_scratch_beside_a_correction_disagrees() -> None:
    facts = (logged(1, 100), logged(2, None, after=1), logged(3, 300, after=1))
    assert stands(*facts) == ({300: False}, {"two_corrections"}, set())


def test_correcting_one_side_of_a_fork_to_the_other_settles_it() -> None:
    fork = (logged(1, 100), logged(2, 200, after=1), logged(3, 300, after=1))
    assert stands(*fork, logged(4, 200, after=3))[1] == set()


def test_what_a_ruling_did_not_choose_never_comes_back_by_itself() -> None:
    two = (logged(1, 100), logged(2, 200, author=WILMOT))
    ruled = {"ruled_out": frozenset({name(1)})}
    assert stands(*two, **ruled) == ({100: False, 200: True}, set(), set())
    # A correction of the loser is a new claim, later than the one that stands.
    again = logged(3, 300, after=1)
    assert stands(*two, again, **ruled) == ({200: True, 300: False}, {"two_weights"}, set())


def test_a_held_late_fact_changes_nothing_until_it_is_ruled_in() -> None:
    facts = (logged(1, 100), logged(2, 200, after=1))
    assert stands(*facts, held=frozenset({name(2)})) == ({100: True}, set(), set())


def test_an_undrawn_peg_is_raised_until_it_is_acknowledged() -> None:
    fact = logged(1, 100, peg="7")
    assert stands(fact)[1] == {"undrawn_peg"}
    assert stands(fact, acknowledged=frozenset({name(1)}))[1] == set()


def test_ten_thousand_corrections_of_one_fact_are_no_trouble() -> None:
    chain = [logged(1, 1), *(logged(n, n, after=n - 1) for n in range(2, 10_001))]
    assert stands(*reversed(chain)) == ({10_000: True}, set(), set())


# ---- any order -----------------------------------------------------------------------------------


@st.composite
def logs(draw: Any) -> list[Logged]:
    """Up to nine weigh-ins and scratches, each perhaps after an earlier one, or a missing one."""
    facts = []
    for n in range(1, draw(st.integers(1, 9)) + 1):
        after = draw(st.sampled_from([None, None, *range(1, n), 99]))
        scratch = after is not None and draw(st.booleans())
        facts.append(
            logged(
                n,
                None if scratch else draw(st.sampled_from([100, 200])),
                peg=draw(st.sampled_from(["1", "2", "7"])),
                author=draw(st.sampled_from([MAUD, WILMOT, IDRIS])),
                supersedes=name(after) if after else None,
            )
        )
    return facts


def essence(facts: Sequence[Logged]) -> Any:
    """All that must not depend on the order of arrival."""
    given = Circumstances(officials=OFFICIALS, drawn=DRAWN)
    out = standing_of(facts, given=given)
    disputed = {fact for ids in out.disputes.values() for fact in ids}
    nets = {
        (leaf.fact.peg, leaf.net): leaf.weight
        for leaf in out.leaves
        if leaf.stands and not any(o.fact.id in disputed for o in out.leaves)
    }
    return {leaf.fact.id for leaf in out.leaves}, dict(out.disputes), out.waiting, nets


@given(facts=logs(), data=st.data())
@settings(max_examples=trials(100, in_full=300))
def test_any_order_of_arrival_ends_in_the_same_leaves(facts: list[Logged], data: Any) -> None:
    order = data.draw(st.permutations(range(1, len(facts) + 1)))
    shuffled = [
        Logged(f.id, cseq, f.author, f.peg, f.net, f.weight, f.supersedes)
        for f, cseq in zip(facts, order, strict=True)
    ]
    first, second = essence(facts), essence(shuffled)
    assert first[:3:2] == second[:3:2]  # leaves and waiting
    assert first[3] == second[3]
    assert {k: v for k, v in first[1].items() if k[0] != "two_weights"} == {
        k: v for k, v in second[1].items() if k[0] != "two_weights"
    }


# ---- the same through the database ---------------------------------------------------------------


def as_sent(world: Any, fact: Logged) -> dict[str, Any]:
    return {
        "id": str(fact.id),
        "device": str(uuid.UUID(int=fact.author)),
        "seq": fact.cseq,
        "kind": "scratch" if fact.is_scratch else "weigh_in",
        "match": str(world.match.pk),
        "peg": fact.peg,
        "recorded_at": "2026-06-20T13:05:11.250Z",
        "supersedes": str(fact.supersedes) if fact.supersedes else None,
        "body": {"why": "slip"}
        if fact.is_scratch
        else {"net": fact.net, "weight": fact.weight, "unit": "g"},
    }


def standing_stored() -> Any:
    rows = WeighIn.objects.values_list("fact", "section_peg", "net", "weight")
    opened = {
        (d.kind, d.peg, d.net, frozenset(f.pk for f in d.facts.all()))
        for d in Disagreement.objects.filter(ruling__isnull=True).prefetch_related("facts")
    }
    return set(rows), opened


def log_empty() -> None:
    """What was refused before would count too."""
    for model in (Disagreement, WeighIn, Fact, RefusedFact):
        model.objects.all().delete()


@pytest.mark.django_db
@given(facts=logs(), data=st.data())
@settings(
    max_examples=trials(12, in_full=25),
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
def test_any_batching_and_repeating_stores_what_one_batch_does(
    world: Any, facts: list[Logged], data: Any
) -> None:
    sent = [as_sent(world, fact) for fact in facts]
    checks = match_body_checks()
    log_empty()
    # One person logs it all: whose fact may be corrected by whom is tested above.
    facts_store(world.weigher, facts=sent, body_checks=checks)
    in_one = standing_stored()
    kept = set(Fact.objects.values_list("pk", flat=True))

    log_empty()
    again = data.draw(st.lists(st.sampled_from(sent), max_size=4)) if sent else []
    bag = data.draw(st.permutations([f for f in sent if uuid.UUID(f["id"]) in kept] + again))
    while bag:
        size = data.draw(st.integers(1, len(bag)))
        facts_store(world.weigher, facts=bag[:size], body_checks=checks)
        bag = bag[size:]
    facts_store(world.weigher, facts=sent, body_checks=checks)
    loosely = standing_stored()
    assert loosely[0] == in_one[0]
    # Which side of a fork is placed is the first received's; the others follow from the set.
    assert {d for d in loosely[1] if d[0] != "two_weights"} == {
        d for d in in_one[1] if d[0] != "two_weights"
    }

    before = standing_stored(), set(WeighIn.objects.values_list("fact", "stands"))
    weigh_ins_project(match=world.match)
    assert before == (standing_stored(), set(WeighIn.objects.values_list("fact", "stands")))
