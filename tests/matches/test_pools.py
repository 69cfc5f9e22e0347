"""Pools: set up, chosen, paid into and won, always to the penny."""

from __future__ import annotations

import datetime as dt
from copy import copy
from fractions import Fraction
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from matches.models import Angler, AuditEntry, Entry, FeePayment, Match, Pool, PoolEntry
from matches.problems import Code, Problem
from matches.reads.board_match import board_match
from matches.reads.pool_accounts import PoolAccount, match_money
from matches.reads.pools import pools_shown
from matches.reads.prizes import settlement
from matches.reads.results import match_result
from matches.reckon.errors import BadInput
from matches.reckon.pool_presets import PRESETS, frame_percents
from matches.writes.entries import entry_status_set
from matches.writes.facts import fact_log_at_desk
from matches.writes.pool_terms import pool_terms_parse, pool_typed, preset_typed
from matches.writes.pools import pool_add, pool_change, pool_entries_set, pool_remove
from matches.writes.stakes import stake_give_back, stakes_take
from tests.fished import weigh, weigh_all
from tests.matches.pooled import coming, confirm, pool, terms
from tests.web.phone import Phone
from web.pool_words import payment_words

pytestmark = pytest.mark.django_db


def account(world: Any) -> PoolAccount:
    return match_money(Match.objects.get(pk=world.match.pk)).accounts[0]


def choose(world: Any, made: Pool, *names: str, reason: str = "As agreed.") -> int:
    ids = [world.entries[name].pk for name in names]
    return pool_entries_set(
        world.secretary, match=world.match, pool_id=made.pk, entry_ids=ids, reason=reason
    )


def take(world: Any, made: Pool, *names: str) -> list[FeePayment]:
    ids = [world.entries[name].pk for name in names]
    return stakes_take(world.secretary, match=world.match, pool_id=made.pk, entry_ids=ids)


def give_back(world: Any, made: Pool, name: str) -> FeePayment | None:
    return stake_give_back(
        world.secretary, match=world.match, pool_id=made.pk, entry_id=world.entries[name].pk
    )


def fish(world: Any, peg: str, weight: int, *, by: Any = None, count: int = 1) -> Any:
    return fact_log_at_desk(
        by or world.secretary,
        match=world.match,
        kind="fish_note",
        peg=peg,
        body={"species": "Chub", "count": count, "weight": weight},
    )


def won(world: Any) -> dict[str, list[tuple[str, int]]]:
    """What each wins of the first pool, by first name, and for what."""
    found: dict[str, list[tuple[str, int]]] = {}
    for one in settlement(Match.objects.get(pk=world.match.pk)).pools[0].won:
        words = (payment_words(one.payment), one.payment.amount)
        found.setdefault(one.entry.angler.name.split()[0], []).append(words)
    return found


@pytest.mark.parametrize("preset", PRESETS, ids=lambda p: p.key)
@pytest.mark.parametrize("entries", [0, 1, 7, 8, 19, 20, 39, 40, 200])
def test_every_preset_fits_its_pool_and_is_read_as_it_is_typed(preset: Any, entries: int) -> None:
    typed = preset_typed(preset, name=preset.name, entries=entries, sections=3)
    percents = [row["percent"] for row in _terms_or_none(typed).get("frame", [])]
    assert tuple(percents) == frame_percents(preset, entries=entries)
    assert sum(Fraction(p) for p in percents) + preset.sections_percent <= 100


def _terms_or_none(typed: dict[str, str]) -> dict[str, Any]:
    try:
        read = pool_terms_parse(typed)
    except BadInput as bad:
        assert [f.pointer for f in bad.faults] == ["/place-1"] and not typed["section"]
        return {}
    return {"frame": read.frame}


def test_what_is_wrong_in_a_pool_stands_at_its_field() -> None:
    with pytest.raises(BadInput) as refused:
        terms(
            **{"name": " ", "stake": "x", "who": "some", "won_by": "luck", "place-1": "60 %"},
            **{"place-2": "60 %", "place-3": "0 %", "section": "-1"},
        )
    pointers = sorted(f.pointer for f in refused.value.faults)
    assert pointers == sorted(
        ["/name", "/stake", "/who", "/won_by", "/place-2", "/place-3", "/section"]
    )
    with pytest.raises(BadInput, match="Say what is won"):
        terms(**{"place-1": ""})
    with pytest.raises(BadInput, match=r"from 0\.01"):
        terms(stake="0")


def test_prizes_above_the_pool_are_refused_in_words_and_percentages_always_fit(world: Any) -> None:
    with pytest.raises(BadInput, match=r"come to 20\.01, the pool holds 20\.00 \(4 in at 5\.00\)"):
        pool(world, **{"place-1": "20.01"})
    with pytest.raises(BadInput, match=r"come to 24\.00, the pool holds 20\.00"):
        pool(world, **{"place-1": "50 %", "section": "7"})
    assert not Pool.objects.exists() and not AuditEntry.objects.filter(verb="pool_add").exists()
    made = pool(world, **{"place-1": "50 %", "section": "5"})
    stands = pool_typed(made)
    assert (stands["place-1"], stands["section"], stands["stake"]) == ("50 %", "5.00", "5.00")
    assert pool_terms_parse(stands).changed_in(made) == []


def test_a_pool_that_shrank_below_its_prizes_pays_nothing_until_they_are_lowered(
    world: Any,
) -> None:
    made = pool(world, **{"place-1": "20"})
    weigh_all(world)
    Entry.objects.filter(pk=world.entries["Odette"].pk).update(status="withdrawn")
    (found,) = settlement(world.match).pools
    assert found.is_over and found.won == () and found.undecided == 1500
    pool_change(
        world.secretary,
        match=world.match,
        pool_id=made.pk,
        terms=terms(**{"place-1": "15"}),
        reason="One fewer.",
    )
    assert won(world) == {"Maud": [("1st", 1500)]}


def test_ties_share_the_prizes_of_their_places_and_say_so(world: Any) -> None:
    pool(world, **{"place-1": "5", "place-2": "6.01", "place-3": "4"})
    weigh_all(world)
    words = "2nd and 3rd tied: 6.01 + 4.00 shared by 2"
    assert won(world) == {
        "Maud": [("1st", 500)],
        "Perrin": [(words, 501)],
        "Wilmot": [(words, 500)],
    }
    (found,) = settlement(world.match).pools
    assert (found.paid, found.unallocated) == (1501, 499)


def test_a_section_prize_goes_on_by_default_from_who_is_in_the_frame(world: Any) -> None:
    pool(world, **{"place-1": "10", "section": "5", "by_default": "yes"})
    weigh_all(world)
    words = "best of section A by default: who was ahead is in the frame"
    assert won(world) == {
        "Maud": [("1st", 1000)],
        "Perrin": [(words, 500)],
        "Wilmot": [("best of section B", 500)],
    }


def test_absent_disqualified_and_blank_win_nothing_and_their_stakes_stay(world: Any) -> None:
    pool(world, **{"place-1": "50 %", "place-2": "50 %"})
    weigh_all(world, {"1": 4250, "2": 3000, "4": 0, "5": 1200})
    for name, status in (("Maud", "disqualified"), ("Odette", "absent")):
        entry_status_set(
            world.secretary,
            match=world.match,
            entry_id=world.entries[name].pk,
            status=status,
            reason="Rule 5.",
        )
    assert won(world) == {"Perrin": [("1st", 1000)]}
    (found,) = settlement(world.match).pools
    assert (found.account.holds, found.unallocated) == (2000, 1000)


def test_a_net_over_the_cap_wins_by_what_it_counts(world: Any) -> None:
    pool(world, **{"place-1": "8", "place-2": "4"})
    Match.objects.filter(pk=world.match.pk).update(net_cap=3000)
    weigh_all(world)
    assert {name: of[0][1] for name, of in won(world).items()} == {
        "Maud": 400,
        "Perrin": 400,
        "Wilmot": 400,
    }


def test_an_opt_in_pool_is_placed_among_those_in_it_only(world: Any) -> None:
    made = pool(world, who="opt_in", **{"place-1": "70 %", "place-2": "30 %"})
    assert account(world).holds == 0
    assert choose(world, made, "Odette", "Perrin") == 2
    assert choose(world, made, "Odette", "Perrin") == 0
    assert AuditEntry.objects.filter(verb="pool_entries_set").count() == 1
    weigh_all(world)
    assert won(world) == {"Perrin": [("1st", 700)], "Odette": [("2nd", 300)]}
    assert choose(world, made, "Perrin") == 1
    assert PoolEntry.objects.get().entry == world.entries["Perrin"]


def test_the_biggest_fish_is_what_the_scales_logged_and_nobody_took_back(world: Any) -> None:
    made = pool(world, won_by="biggest_fish", **{"place-1": "100 %"})
    weigh_all(world)
    fish(world, "1", 900, by=world.weigher)
    fish(world, "2", 900)
    fish(world, "1", 700)
    fish(world, "4", 5000, count=3)
    fish(world, "4", 4000, by=world.member)
    mistaken = fish(world, "5", 2000)
    assert won(world) == {"Odette": [("1st", 2000)]}
    fact_log_at_desk(
        world.secretary,
        match=world.match,
        kind="scratch",
        peg="5",
        body={"why": "It was two fish."},
        supersedes=mistaken.pk,
    )
    words = "1st tied: 20.00 shared by 2"
    assert won(world) == {"Maud": [(words, 1000)], "Perrin": [(words, 1000)]}
    assert made.won_by == "biggest_fish"


def test_nobody_of_another_club_takes_a_fish_back(world: Any) -> None:
    """A phone may hand in what withdraws a fact that is not here; of another club none ever is."""
    pool(world, won_by="biggest_fish", **{"place-1": "100 %"})
    weigh_all(world)
    caught = fish(world, "5", 2000)
    theirs = copy(world.match)
    theirs.pk, theirs.club = None, world.other_club
    theirs.save()
    theirs.section_pegs.create(
        section=theirs.sections.create(label="A", position=1), peg=world.pegs["5"].peg
    )
    outsider = Phone(world.outsider, theirs)
    withdrawn = outsider.keep("scratch", "", {"why": "gone"}, supersedes=str(caught.pk))
    (outcome,) = outsider.push([withdrawn])
    assert outcome["outcome"] == "waiting"
    assert won(world) == {"Odette": [("1st", 2000)]}
    seen = board_match(world.secretary, match_id=world.match.pk)
    assert seen.biggest_fish == caught.pk


def test_nobody_takes_back_a_fish_of_others_by_being_quicker(world: Any) -> None:
    """Whoever carries a weigher's facts knows what they are called before they are handed in."""
    pool(world, won_by="biggest_fish", **{"place-1": "100 %"})
    weigh_all(world)
    carried = Phone(world.weigher, world.match)
    caught = carried.keep("fish_note", "5", {"species": "Chub", "count": 1, "weight": 2000})
    quick = Phone(world.rival, world.match)
    taken_back = quick.keep("scratch", "5", {"why": "gone"}, supersedes=caught["id"])
    assert [one["outcome"] for one in quick.push([taken_back])] == ["waiting"]
    assert [one["outcome"] for one in carried.push([caught])] == ["accepted"]
    assert won(world) == {"Odette": [("1st", 2000)]}
    slip = carried.keep("scratch", "5", {"why": "two fish"}, supersedes=caught["id"])
    assert [one["outcome"] for one in carried.push([slip])] == ["accepted"]
    assert won(world) == {}


def test_what_a_weigher_takes_back_late_is_gone_though_the_role_has_ended(world: Any) -> None:
    pool(world, won_by="biggest_fish", **{"place-1": "100 %"})
    weigh_all(world)
    caught = fish(world, "5", 2000)
    late = Phone(world.weigher, world.match)
    slip = late.keep("scratch", "5", {"why": "two fish"}, supersedes=str(caught.pk))
    world.weigher.memberships.update(ended_at=caught.received_at)
    assert [one["outcome"] for one in late.push([slip])] == ["accepted"]
    assert won(world) == {}


def test_nothing_is_won_before_a_weight_came_in(world: Any) -> None:
    pool(world)
    (found,) = settlement(world.match).pools
    assert (found.is_open, found.undecided, found.unallocated) == (True, 2000, 0)


def test_a_pool_nobody_won_is_left_once_the_result_is_confirmed(world: Any) -> None:
    pool(world, won_by="biggest_fish", rest_to="the club")
    weigh_all(world)
    assert pools_shown(world.match)[0]["open"] is True
    assert pools_shown(world.match, is_final=True)[0]["unallocated"] == 2000
    confirm(world)
    (found,) = settlement(world.match).pools
    assert (found.is_open, found.undecided, found.unallocated) == (False, 0, 2000)


def test_where_fish_are_scored_the_points_win(world: Any) -> None:
    pool(world, **{"place-1": "60 %", "place-2": "40 %"})
    Match.objects.filter(pk=world.match.pk).update(
        scored_by="fish", species=[{"name": "Roach", "points": 1}, {"name": "Chub", "points": 5}]
    )
    for peg, of in {"1": ["Roach", 4], "2": ["Chub", 1], "4": ["Roach", 2]}.items():
        weigh(world, peg, 900, by=world.secretary, fish=[of])
    assert won(world) == {"Perrin": [("1st", 1200)], "Maud": [("2nd", 800)]}


def test_stakes_are_taken_once_from_who_owes_them(world: Any) -> None:
    made = pool(world)
    assert [p.pence for p in take(world, made, "Maud", "Perrin")] == [500, 500]
    assert [p.entry for p in take(world, made, "Maud", "Odette")] == [world.entries["Odette"]]
    found = account(world)
    assert (found.holds, found.taken, found.owed) == (2000, 1500, 500)
    assert AuditEntry.objects.filter(verb="stakes_take").count() == 2


def test_who_withdraws_leaves_the_stake_in_the_pool_until_it_is_given_back(world: Any) -> None:
    made = pool(world)
    take(world, made, "Maud", "Perrin")
    Entry.objects.filter(pk=world.entries["Maud"].pk).update(status="withdrawn")
    found = account(world)
    assert (found.holds, found.stays, found.owed) == (2000, 500, 1000)
    returned = give_back(world, made, "Maud")
    assert returned is not None and returned.pence == -500
    assert give_back(world, made, "Maud") is None
    assert (account(world).holds, account(world).taken) == (1500, 500)


def test_who_is_ticked_out_or_a_match_called_off_gets_the_stake_back(world: Any) -> None:
    made = pool(world, who="opt_in")
    choose(world, made, "Maud", "Perrin")
    take(world, made, "Maud", "Perrin")
    choose(world, made, "Perrin")
    assert (account(world).holds, account(world).to_give_back) == (500, 500)
    Match.objects.filter(pk=world.match.pk).update(called_off="The river is over the bank.")
    assert (account(world).holds, account(world).to_give_back) == (0, 1000)


def test_from_the_start_on_every_change_of_a_pool_needs_a_reason(world: Any) -> None:
    with pytest.raises(BadInput, match="The match has started: say why"):
        pool_add(world.secretary, match=world.match, terms=terms())
    made = pool(world, who="opt_in")
    this: dict[str, Any] = {"match": world.match, "pool_id": made.pk}
    for change in (
        lambda: pool_change(world.secretary, **this, terms=terms(stake="6", who="opt_in")),
        lambda: choose(world, made, "Maud", reason=" "),
        lambda: pool_remove(world.secretary, **this),
    ):
        with pytest.raises(BadInput, match="The match has started: say why"):
            change()
    match = coming(world.match)
    pool_add(world.secretary, match=match, terms=terms())
    assert choose(world, made, "Maud", reason="") == 1
    assert [p.key for p in Pool.objects.all()] == ["frame", "frame-2"]
    assert match.start_at > dt.datetime.now(dt.UTC)


def test_a_pool_stays_once_a_stake_was_noted(world: Any) -> None:
    made, other = pool(world), pool(world, name="Extra")
    take(world, made, "Maud")
    with pytest.raises(Problem, match="it stays, so that the money can be followed"):
        pool_remove(world.secretary, match=world.match, pool_id=made.pk, reason="A mistake.")
    pool_remove(world.secretary, match=world.match, pool_id=other.pk, reason="A mistake.")
    assert list(Pool.objects.all()) == [made]


def test_a_bulletin_can_show_the_pools_with_public_names(world: Any) -> None:
    pool(world, **{"place-1": "10", "rest_to": "the junior section"})
    Angler.objects.filter(name="Maud Ferris").update(junior=True)
    weigh_all(world)
    match = Match.objects.get(pk=world.match.pk)
    (shown,) = pools_shown(match, result=match_result(match))
    assert shown == pools_shown(match)[0]
    assert (shown["holds"], shown["unallocated"]) == (2000, 1000)
    assert shown["rest_to"] == "the junior section"
    assert shown["payments"] == [
        {
            "entry": world.entries["Maud"].pk,
            "angler": "M. F.",
            "for": "frame",
            "pence": 1000,
            "equals": 1,
            "prizes": [[1, 1000]],
        }
    ]


def test_the_settlement_asks_as_much_for_many_as_for_few(world: Any) -> None:
    pool(world)
    pool(world, name="Biggest", who="opt_in", won_by="biggest_fish")
    weigh_all(world)
    with CaptureQueriesContext(connection) as few:
        settlement(world.match)
    for n in range(30):
        angler = Angler.objects.create(club=world.club, name=f"Angler {n}")
        Entry.objects.create(match=world.match, angler=angler)
    with CaptureQueriesContext(connection) as many:
        settlement(world.match)
    assert len(many) == len(few) <= 7


ROLES = [
    ("captain", Code.NOT_ALLOWED),
    ("member", Code.NOT_ALLOWED),
    ("weigher", Code.NOT_ALLOWED),
    ("outsider", Code.NOT_FOUND),
]


@pytest.mark.parametrize(("who", "code"), ROLES)
def test_only_the_clubs_secretary_touches_a_pool(world: Any, who: str, code: Code) -> None:
    made = pool(world, who="opt_in")
    person, maud = getattr(world, who), world.entries["Maud"].pk
    this: dict[str, Any] = {"match": world.match, "pool_id": made.pk}
    for act in (
        lambda: pool_add(person, match=world.match, terms=terms(), reason="x"),
        lambda: pool_change(person, **this, terms=terms(stake="9"), reason="x"),
        lambda: pool_remove(person, **this, reason="x"),
        lambda: pool_entries_set(person, **this, entry_ids=[maud], reason="x"),
        lambda: stakes_take(person, **this, entry_ids=[maud]),
        lambda: stake_give_back(person, **this, entry_id=maud),
    ):
        with pytest.raises(Problem) as refused:
            act()
        assert refused.value.code is code
    assert Pool.objects.get().stake_pence == 500 and not PoolEntry.objects.exists()
    assert not FeePayment.objects.exists()
