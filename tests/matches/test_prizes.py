"""Prizes handed over once, corrections asked back, and a tin that is even to the penny."""

from __future__ import annotations

import uuid
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from matches.models import AuditEntry, Disagreement, Entry, FeePayment, Match, Pool, PrizePaid
from matches.problems import Code, Problem
from matches.reads.fees import Fee
from matches.reads.payouts import pool_payouts
from matches.reads.pool_accounts import Handed, MatchMoney, PoolAccount, Stake
from matches.reads.prizes import Prize, Settlement, prizes_of, settlement, tin_of
from matches.reads.results import NetWeight, ResultEntry
from matches.writes.facts import fact_log_at_desk
from matches.writes.fees import fee_take
from matches.writes.pools import pool_change
from matches.writes.prizes import prize_hand_over, prize_take_back
from matches.writes.stakes import stakes_take
from tests.fished import weigh, weigh_all
from tests.matches.pooled import confirm, pool, terms

pytestmark = pytest.mark.django_db


def settled(world: Any) -> Settlement:
    return settlement(Match.objects.get(pk=world.match.pk))


def prize(world: Any, name: str) -> Prize:
    return next(p for p in settled(world).prizes if p.entry == world.entries[name])


def hand_over(world: Any, name: str, *, person: Any = None, **other: Any) -> PrizePaid:
    of = prize(world, name)
    said = {"pence": of.due - of.handed, "key": of.key, **other}
    return prize_hand_over(
        person or world.secretary, match=world.match, entry_id=of.entry.pk, **said
    )


@pytest.fixture
def won(world: Any) -> Any:
    """Maud has 12.00 and Odette, the heavier of section B, 8.00 of the pool, confirmed."""
    pool(world, **{"place-1": "60 %", "place-2": "40 %"})
    weigh_all(world, {"1": 4250, "2": 500, "4": 900, "5": 1200})
    confirm(world)
    return world


def test_a_prize_waits_for_the_confirmed_result(world: Any) -> None:
    pool(world)
    weigh_all(world)
    assert not settled(world).confirmed
    with pytest.raises(Problem, match="Prizes wait for the confirmed result"):
        hand_over(world, "Maud")
    confirm(world)
    assert hand_over(world, "Maud").pence == 2000


def test_the_same_tap_sent_twice_hands_over_once(won: Any) -> None:
    first = prize(won, "Maud")
    again = {"pence": 1200, "key": first.key}
    assert hand_over(won, "Maud") == hand_over(won, "Maud", **again)
    assert PrizePaid.objects.get().pence == 1200
    assert AuditEntry.objects.filter(verb="prize_hand_over").count() == 1
    for other in ({"pence": 1100}, {"key": uuid.uuid4()}, {}):
        with pytest.raises(Problem) as refused:
            hand_over(won, "Maud", **other)
        assert refused.value.code is Code.CONFLICT
    with pytest.raises(Problem):
        hand_over(won, "Odette", **again)
    assert PrizePaid.objects.count() == 1


def test_a_tick_by_mistake_is_taken_back_and_can_be_made_again(won: Any) -> None:
    hand_over(won, "Maud")
    of = prize(won, "Maud")
    said = {"match": won.match, "entry_id": of.entry.pk, "pence": 1200, "key": of.key}
    assert prize_take_back(won.secretary, **said) == prize_take_back(won.secretary, **said)
    assert prize(won, "Maud").to_hand_over == 1200
    hand_over(won, "Maud")
    assert [p.pence for p in PrizePaid.objects.all()] == [1200, -1200, 1200]


def test_a_correction_after_payment_says_what_to_pay_and_what_to_ask_back(won: Any) -> None:
    for name in ("Maud", "Odette"):
        hand_over(won, name)
    late = weigh(won, "4", 5000, supersedes=_standing(won, "4"))
    _settle(won, late)
    assert not settled(won).confirmed
    with pytest.raises(Problem, match="wait for the confirmed result"):
        hand_over(won, "Wilmot")
    confirm(won, reason="Peg 4 was read wrongly.")
    assert (prize(won, "Wilmot").to_hand_over, prize(won, "Maud").to_ask_back) == (1200, 400)
    assert prize(won, "Odette").to_ask_back == 800
    tin = settled(won).tin
    assert (tin.to_hand_over, tin.to_ask_back, tin.handed) == (1200, 1200, 2000)
    for name in ("Wilmot", "Maud", "Odette"):
        hand_over(won, name)
    tin = settled(won).tin
    assert (tin.to_hand_over, tin.to_ask_back, tin.handed) == (0, 0, 2000)


def test_prizes_changed_after_the_confirmation_wait_for_their_bulletin(won: Any) -> None:
    made = Pool.objects.get()
    changed = terms(**{"place-1": "100 %"})
    pool_change(won.secretary, match=won.match, pool_id=made.pk, terms=changed, reason="Voted.")
    assert not settled(won).confirmed
    with pytest.raises(Problem, match="wait for the confirmed result"):
        hand_over(won, "Maud")
    confirm(won, reason="All to the winner, as voted.")
    assert hand_over(won, "Maud").pence == 2000


def _standing(world: Any, peg: str) -> Any:
    return world.match.weigh_ins.get(section_peg=world.pegs[peg], stands=True).fact_id


def _settle(world: Any, late: Any) -> None:
    """Where the correction came after the confirmation, the secretary rules that it stands."""
    for doubt in Disagreement.objects.filter(match=world.match, ruling__isnull=True):
        fact_log_at_desk(
            world.secretary,
            match=world.match,
            kind="ruling",
            peg=doubt.peg,
            body={"disagreement": doubt.pk, "stands": str(late.pk)},
        )


def test_the_whole_cash_of_a_match_is_even_and_says_what_is_open(world: Any) -> None:
    Match.objects.filter(pk=world.match.pk).update(fee_pence=1000)
    match = Match.objects.get(pk=world.match.pk)
    made = pool(world, **{"place-1": "60 %", "place-2": "4.99"})
    for name in ("Maud", "Perrin", "Odette"):
        fee_take(
            world.secretary,
            match=match,
            entry_id=world.entries[name].pk,
            pence=1000,
            key=uuid.uuid4(),
        )
    ids = [world.entries[name].pk for name in ("Maud", "Wilmot", "Perrin")]
    stakes_take(world.secretary, match=match, pool_id=made.pk, entry_ids=ids)
    tin = settled(world).tin
    assert (tin.undecided, tin.comes_in, tin.lies_in) == (2000, 5000, 4500)
    Entry.objects.filter(pk=world.entries["Perrin"].pk).update(status="withdrawn")
    world.pegs["2"].drawn_peg.delete()
    weigh_all(world, {"1": 4250, "4": 900, "5": 1200})
    confirm(world)
    hand_over(world, "Maud")
    tin = settled(world).tin
    assert (tin.fees, tin.stakes, tin.owed) == (3000, 1500, 500)
    assert (tin.handed, tin.to_hand_over, tin.unallocated) == (1200, 499, 301)
    assert (tin.fees_kept, tin.to_give_back, tin.undecided) == (2000, 1000, 0)
    assert tin.comes_in == tin.goes_out == 5000
    assert tin.lies_in == 3300


@pytest.mark.parametrize(
    ("who", "code"),
    [
        ("captain", Code.NOT_ALLOWED),
        ("member", Code.NOT_ALLOWED),
        ("weigher", Code.NOT_ALLOWED),
        ("outsider", Code.NOT_FOUND),
    ],
)
def test_only_the_clubs_secretary_hands_prizes_over(won: Any, who: str, code: Code) -> None:
    of = prize(won, "Maud")
    said = {"match": won.match, "entry_id": of.entry.pk, "pence": 1200, "key": of.key}
    for act in (prize_hand_over, prize_take_back):
        with pytest.raises(Problem) as refused:
            act(getattr(won, who), **said)
        assert refused.value.code is code
    assert not PrizePaid.objects.exists()


def test_a_prize_of_another_match_or_of_nobody_is_not_found(won: Any) -> None:
    with pytest.raises(Problem) as refused:
        prize_hand_over(
            won.secretary,
            match=won.match,
            entry_id=won.entries["Wilmot"].pk,
            pence=1,
            key=uuid.uuid4(),
        )
    assert refused.value.code is Code.NOT_FOUND
    assert not FeePayment.objects.exists()


STATUSES = ("entered", "retired", "absent", "disqualified", "withdrawn")


@st.composite
def moneys(draw: st.DrawFn) -> tuple[MatchMoney, tuple[ResultEntry, ...]]:
    """A match's money and weights of any kind, in memory."""
    match = Match(fee_pence=draw(st.integers(0, 900)), weight_unit="g")
    pence = st.integers(0, 800)
    entries, standing = [], []
    for pk in range(1, draw(st.integers(1, 9))):
        entry = Entry(pk=pk, match=match, status=draw(st.sampled_from(STATUSES)))
        entries.append(entry)
        weight = draw(st.integers(0, 4))
        section = draw(st.sampled_from("AB"))
        if entry.status != "withdrawn" and draw(st.booleans()):
            net = NetWeight(1, weight, "", weight)
            standing.append(
                ResultEntry(pk, "", None, section, str(pk), (net,), status=entry.status)
            )
    accounts = []
    for number in range(1, draw(st.integers(1, 3))):
        stake = draw(st.integers(1, 700))
        frame: list[dict[str, Any]] = [
            {"place": 1, "percent": draw(st.sampled_from(["33.3", "60"]))}
        ]
        if draw(st.booleans()):
            frame.append({"place": 2, "pence": draw(pence)})
        of = Pool(
            pk=number,
            match=match,
            stake_pence=stake,
            frame=frame,
            section_pence=draw(st.integers(0, 300)),
            section_by_default=draw(st.booleans()),
        )
        stakes = []
        for entry in entries:
            paid = draw(pence)
            if entry.status == "withdrawn":
                stakes.append(Stake(entry, False, 0, paid, stays=draw(st.sampled_from([0, paid]))))
            else:
                is_in = draw(st.booleans())
                stakes.append(Stake(entry, is_in, stake if is_in else 0, paid))
        accounts.append(PoolAccount(of, tuple(stakes)))
    fees = {
        e.pk: Fee(0 if e.status == "withdrawn" else match.fee_pence, draw(pence)) for e in entries
    }
    handed = {e.pk: Handed(draw(pence), 1) for e in entries if draw(st.booleans())}
    return MatchMoney(match, tuple(entries), tuple(accounts), fees, handed), tuple(standing)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(moneys())
def test_every_pool_is_paid_or_left_to_the_penny_and_the_tin_is_even(
    of: tuple[MatchMoney, tuple[ResultEntry, ...]],
) -> None:
    money, standing = of
    pools = pool_payouts(money, standing=standing, fish=[])
    for each in pools:
        assert each.paid + each.unallocated + each.undecided == each.account.holds
        assert min(each.paid, each.unallocated, each.undecided) >= 0
    tin = tin_of(money, pools, prizes_of(money, pools))
    assert tin.comes_in == tin.goes_out
