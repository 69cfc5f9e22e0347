"""Pools and prizes over HTTP: every role, what is said, what is asked."""

from __future__ import annotations

import re
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from matches.models import Angler, Entry, FeePayment, Match, Pool, PoolEntry, PrizePaid
from matches.reads.prizes import settlement
from matches.writes.pool_terms import pool_typed
from tests.clients import read, signed_in
from tests.fished import weigh_all
from tests.matches.pooled import coming, confirm, pool
from tests.web.test_match_pages import RUN, at, send

pytestmark = pytest.mark.django_db


@pytest.fixture
def desk(world: Any) -> Client:
    return signed_in(world.secretary)


def address(world: Any, made: Pool) -> str:
    return at(world, f"pools/{made.pk}/")


@pytest.mark.parametrize("who", list(RUN))
def test_each_role_reads_and_sends_what_it_may(world: Any, who: str) -> None:
    made = pool(world)
    weigh_all(world)
    confirm(world)
    maud = world.entries["Maud"].pk
    prize = settlement(world.match).prizes[0]
    client = signed_in(getattr(world, who))
    sent = {"do": "hand-over", "entry": maud, "pence": 2000, "key": str(prize.key)}
    for page in ("pools/", "pools/new/", f"pools/{made.pk}/", "payouts/", f"payouts/{maud}/"):
        assert client.get(at(world, page)).status_code == RUN[who], page
        assert Client().get(at(world, page)).status_code == 302
    if who != "secretary":
        for page in ("pools/new/", f"pools/{made.pk}/", "payouts/"):
            answer = client.post(at(world, page), {**pool_typed(made), **sent, "reason": "x"})
            assert answer.status_code == RUN[who], page
        assert Pool.objects.count() == 1 and not PrizePaid.objects.exists()


def test_another_matchs_pool_is_not_found(world: Any, desk: Client) -> None:
    made = pool(world)
    other = Match.objects.get(pk=world.match.pk)
    other.pk, other.slug = None, "other"
    other.save()
    assert desk.get(f"/desk/matches/{other.pk}/pools/{made.pk}/").status_code == 404


def test_a_pool_is_set_up_from_a_preset_and_nothing_typed_is_lost(world: Any, desk: Client) -> None:
    coming(world.match)
    text = read(desk, at(world, "pools/"))
    assert "No pools yet" in text and "Common practice, no source." in text
    text = read(desk, at(world, "pools/new/?preset=frame-sections"))
    assert 'name="place-1" value="35 %"' in text and 'name="section" value="6.00"' in text
    typed = {
        "name": "Frame and sections",
        "stake": "10",
        "who": "all",
        "won_by": "weight",
        "place-1": "35 %",
        "section": "20",
        "by_default": "yes",
    }
    text = send(desk, at(world, "pools/new/"), **typed)
    assert "The prizes come to 54.00, the pool holds 40.00 (4 in at 10.00)" in text
    assert 'name="place-1" value="35 %"' in text and 'aria-invalid="true"' in text
    text = send(desk, at(world, "pools/new/"), **{**typed, "section": "6"})
    assert "Frame and sections is set up." in text
    made = Pool.objects.get()
    assert (made.frame, made.section_pence) == ([{"place": 1, "percent": "35"}], 600)


def test_who_is_in_and_who_paid_is_ticked(world: Any, desk: Client) -> None:
    made = pool(world, who="opt_in")
    maud, odette = world.entries["Maud"].pk, world.entries["Odette"].pk
    page = address(world, made)
    text = send(desk, page, do="choose", entry=[maud, odette])
    assert "The match has started: say why" in text
    assert f'value="{maud}" checked' in text and not PoolEntry.objects.exists()
    assert "Noted who is in." in send(
        desk, page, do="choose", entry=[maud, odette], reason="Chosen at the draw."
    )
    assert "1 stake taken: £5.00." in send(desk, page, do="take", entry=[maud])
    assert "None of them owes anything" in send(desk, page, do="take", entry=[maud])
    assert FeePayment.objects.get().pence == 500
    text = read(desk, at(world, "pools/"))
    assert "£5.00 owed by 1" in text and "even to the penny" in text
    Entry.objects.filter(pk=maud).update(status="withdrawn")
    assert "Maud Ferris withdrew: the £5.00 stays in the pool" in read(desk, page)
    assert "Noted as given back: £5.00." in send(desk, page, do="give-back", entry=maud)
    assert "Nothing of theirs is left" in send(desk, page, do="give-back", entry=maud)


def test_every_stake_that_is_owed_is_taken_by_one_press(world: Any, desk: Client) -> None:
    made = pool(world)
    page = address(world, made)
    listed = re.findall(r'name="everybody" value="(\d+)"', read(desk, page))
    assert {int(pk) for pk in listed} == {entry.pk for entry in world.entries.values()}
    text = send(desk, page, do="take-all", everybody=listed)
    assert "4 stakes taken: £20.00." in text and "everybody who is in has paid" in text
    assert "None of them owes" in send(desk, page, do="take-all", everybody=listed)


def test_terms_are_changed_and_a_pool_without_money_is_taken_away(world: Any, desk: Client) -> None:
    made = pool(world)
    page = address(world, made)
    typed = {**pool_typed(made), "place-1": "21", "do": "save", "reason": "Voted."}
    text = send(desk, page, **typed)
    assert "The prizes come to 21.00, the pool holds 20.00" in text
    assert 'name="place-1" value="21"' in text
    assert "Saved." in send(desk, page, **{**typed, "place-1": "19"})
    assert "say why" in send(desk, page, do="remove")
    assert "Frame is taken away." in send(desk, page, do="remove", reason="A mistake.")
    assert not Pool.objects.exists()


def test_a_fish_is_logged_by_the_scales_and_taken_back(world: Any, desk: Client) -> None:
    made = pool(world, won_by="biggest_fish")
    weigh_all(world)
    page = address(world, made)
    text = send(desk, page, do="fish", peg="5", kg="1", g="250", species="Chub")
    assert "The fish is logged." in text and "1.250 kg" in text
    assert "Odette Marl" in read(desk, at(world, "payouts/"))
    assert "weight" in send(desk, page, do="fish", peg="5", kg="x", g="")
    fact = world.match.facts.get(kind="fish_note").pk
    assert "this fish does not count" in send(desk, page, do="fish-back", fact=fact)
    assert "taken back already" in send(desk, page, do="fish-back", fact=fact)
    assert "Nobody has won anything yet." in read(desk, at(world, "payouts/"))


def test_prizes_are_provisional_then_handed_over_once_with_a_receipt(
    world: Any, desk: Client
) -> None:
    pool(world, **{"place-1": "10", "place-2": "6.01", "place-3": "2", "rest_to": "the club"})
    weigh_all(world)
    text = read(desk, at(world, "payouts/"))
    assert "nothing to hand over yet" in text and "Hand over" not in text
    confirm(world)
    text = read(desk, at(world, "payouts/"))
    assert "as bulletin 1 confirms it" in text and "Hand over £4.01" in text
    assert "2nd and 3rd tied: 6.01 + 2.00 shared by 2, £4.01" in text
    maud = next(p for p in settlement(world.match).prizes if p.entry == world.entries["Maud"])
    sent = {"entry": maud.entry.pk, "pence": 1000, "key": str(maud.key), "do": "hand-over"}
    for _tap in range(2):
        assert "Noted as handed over." in send(desk, at(world, "payouts/"), **sent)
    assert PrizePaid.objects.get().pence == 1000
    assert "look at the list again" in send(desk, at(world, "payouts/"), **{**sent, "pence": 9})
    assert "Load the page again" in send(desk, at(world, "payouts/"), **{**sent, "key": "x"})
    assert "Press one of the buttons" in send(desk, at(world, "payouts/"), **{**sent, "do": "x"})
    text = read(desk, at(world, f"payouts/{maud.entry.pk}/"))
    assert "<b>Maud Ferris</b>" in text and "Frame: 1st" in text and "Nothing is open." in text
    assert "goes to the club" in read(desk, at(world, "pools/"))
    assert desk.get(at(world, f"payouts/{world.entries['Odette'].pk}/")).status_code == 404


def test_a_result_changed_after_the_confirmation_waits_for_its_bulletin(
    world: Any, desk: Client
) -> None:
    pool(world)
    weigh_all(world)
    confirm(world)
    Entry.objects.filter(pk=world.entries["Maud"].pk).update(status="disqualified")
    text = read(desk, at(world, "payouts/"))
    assert "The result has changed since bulletin 1." in text and "Hand over" not in text


def test_the_pages_ask_little_and_no_more_for_many(
    world: Any, desk: Client, django_assert_max_num_queries: Any
) -> None:
    made = pool(world)
    pool(world, name="Biggest", won_by="biggest_fish", who="opt_in")
    weigh_all(world)
    confirm(world)
    maud = world.entries["Maud"].pk
    pages = ["pools/", "pools/new/", f"pools/{made.pk}/", "payouts/", f"payouts/{maud}/"]
    for page in pages:
        with django_assert_max_num_queries(10):
            read(desk, at(world, page))
    with CaptureQueriesContext(connection) as few:
        read(desk, at(world, "pools/"))
    for n in range(30):
        angler = Angler.objects.create(club=world.club, name=f"Angler {n}", team=world.alders)
        Entry.objects.create(match=world.match, angler=angler, team=world.alders)
    with CaptureQueriesContext(connection) as many:
        read(desk, at(world, "pools/"))
    assert len(many) == len(few)


def test_only_the_secretary_is_led_to_the_pools(world: Any, desk: Client) -> None:
    link = f'href="{at(world, "pools/")}"'
    assert link in read(desk, at(world)) and link in read(desk, at(world, "entries/"))
    member = signed_in(world.member)
    assert link not in read(member, at(world)) and link not in read(member, at(world, "entries/"))


def test_the_api_says_who_wins_what_by_public_names_in_the_club_only(world: Any) -> None:
    pool(world, **{"place-1": "10", "section": "2", "by_default": "yes", "rest_to": "the club"})
    Angler.objects.filter(name="Maud Ferris").update(junior=True)
    weigh_all(world)
    where = f"/api/v1/matches/{world.match.pk}/pools"
    body = signed_in(world.member).get(where).json()
    assert body["currency"] == "GBP"
    (shown,) = body["pools"]
    assert (shown["holds"], shown["unallocated"], shown["open"]) == (2000, 600, False)
    assert [(p["angler"], p["for"], p["pence"]) for p in shown["payments"]] == [
        ("M. F.", "frame", 1000),
        ("Perrin Stoat", "section", 200),
        ("Wilmot Crane", "section", 200),
    ]
    assert signed_in(world.outsider).get(where).status_code == 404
    assert Client().get(where).status_code == 401
