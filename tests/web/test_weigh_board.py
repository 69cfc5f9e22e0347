"""The weigh board: net by net, who is next, what moved, and only what changed sent again."""

from __future__ import annotations

from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from matches.models import (
    AuditEntry,
    Disagreement,
    Fact,
    MatchState,
    NetCapRule,
    ScoredBy,
    WeighIn,
)
from matches.reads.moves import moves, standing_of_result
from matches.reads.results import match_result
from matches.reckon.walking import Stop, walk
from matches.writes.bulletins import bulletin_publish
from matches.writes.facts import fact_log_at_desk
from tests.big_match import big_match_make
from tests.clients import signed_in
from tests.fished import weigh

pytestmark = pytest.mark.django_db

QUERIES_MOST = 10


def at(world: Any, page: str = "") -> str:
    return f"/desk/matches/{world.match.pk}/weigh/{page}"


def read(client: Client, world: Any) -> str:
    return client.get(at(world)).content.decode()


def typed(peg: str = "1", kg: str = "4", g: str = "250", **more: str) -> dict[str, str]:
    return {"peg": peg, "net": "1", "kg": kg, "g": g, **more}


# ---- seen by two ---------------------------------------------------------------------------------


def test_an_equal_weight_from_another_says_that_two_have_seen_it(world: Any) -> None:
    weigh(world, "1", 4250)
    client = signed_in(world.secretary)
    assert "seen by two" not in read(client, world)
    weigh(world, "1", 4250)  # the same weigher again is still one
    assert "seen by two" not in read(client, world)
    weigh(world, "1", 4250, by=world.secretary)
    assert 'seen by two<span class="wide-only">: Tamsin Rook, Idris Pell' in read(client, world)
    assert Disagreement.objects.count() == 0


def test_who_took_their_weight_back_has_not_seen_it(world: Any) -> None:
    weigh(world, "1", 4250)
    second = weigh(world, "1", 4250, by=world.secretary)
    fact_log_at_desk(
        world.secretary,
        match=world.match,
        kind="scratch",
        peg="1",
        body={"why": "the wrong peg"},
        supersedes=second.pk,
    )
    assert "seen by two" not in read(signed_in(world.secretary), world)


def test_another_weight_is_no_second_pair_of_eyes(world: Any) -> None:
    weigh(world, "1", 4250)
    weigh(world, "1", 4251, by=world.secretary)
    page = read(signed_in(world.secretary), world)
    assert "seen by two" not in page
    assert "To settle" in page


# ---- who is next ---------------------------------------------------------------------------------


def test_the_walk_goes_on_from_the_last_peg_then_back_then_over_to_the_other_bank() -> None:
    stops = [
        Stop("1", "left", waits=True),
        Stop("2", "left", waits=False),
        Stop("3", "right", waits=True),
        Stop("4", "left", waits=True),
    ]
    assert walk(stops, after="2") == ["4", "1", "3"]
    assert walk(stops, after=None) == ["1", "4", "3"]
    assert walk(stops, after="3") == ["3", "1", "4"]
    assert walk([], after="9") == []


def test_the_next_peg_is_chosen_on_from_where_somebody_weighed_last(world: Any) -> None:
    weigh(world, "4", 100)
    page = read(signed_in(world.weigher), world)
    assert '<option value="5" selected>' in page
    assert "<b>5</b> Odette Marl" in page
    assert "<b>1</b> Maud Ferris</a>, then 2" in " ".join(page.split())


# ---- a weight at the desk ------------------------------------------------------------------------


def test_a_tonne_of_roach_is_asked_about_and_logged_once_somebody_says_yes(world: Any) -> None:
    client = signed_in(world.weigher)
    asked = client.post(at(world), typed(kg="1000", g="0"))
    assert asked.status_code == 400
    page = asked.content.decode()
    assert "1000.000 kg is far above what is usual here. Look at the scales again." in page
    assert 'name="kg" value="1000"' in page
    assert Fact.objects.count() == 0
    # The yes was for that weight and no other.
    again = client.post(at(world), typed(kg="900", g="0", sure="1000000"))
    assert "900.000 kg is far above" in again.content.decode()
    assert client.post(at(world), typed(kg="1000", g="0", sure="1000000")).status_code == 302
    assert WeighIn.objects.get().weight == 1_000_000
    assert "far above the rest: look again" in read(client, world)


def test_weighed_again_replaces_the_first_even_if_lower_and_says_so(world: Any) -> None:
    weigh(world, "1", 4250)
    client = signed_in(world.weigher)
    client.post(at(world), typed(kg="4", g="100", corrects="reweigh"))
    assert WeighIn.objects.get(stands=True).weight == 4100
    assert Fact.objects.get(body__weight=4100).body["reweigh"] is True
    page = read(client, world)
    assert "weighed again" in page
    assert "4.250 kg" in page  # the first stays in the trail
    assert Disagreement.objects.count() == 0


@pytest.mark.parametrize(
    ("chosen", "witness"),
    [
        ({"witness_of": "angler"}, "Maud Ferris"),
        ({"witness_of": "Tamsin Rook"}, "Tamsin Rook"),
        ({"witness_of": "angler", "witness": " the bailiff "}, "the bailiff"),
        ({}, None),
    ],
)
def test_who_saw_it_is_chosen_or_written(world: Any, chosen: Any, witness: str | None) -> None:
    client = signed_in(world.weigher)
    assert '<option value="Tamsin Rook"' in read(client, world)
    client.post(at(world), typed(**chosen))
    assert Fact.objects.get().body["witness"] == witness


def test_a_junior_at_the_peg_is_a_witness_by_initials(world: Any) -> None:
    world.entries["Maud"].angler.junior = True
    world.entries["Maud"].angler.save()
    signed_in(world.weigher).post(at(world), typed(witness_of="angler"))
    assert "Ferris" not in Fact.objects.get().body["witness"]


def test_a_weight_after_confirmation_is_said_not_to_count(world: Any) -> None:
    world.match.state = MatchState.CONFIRMED
    world.match.save()
    client = signed_in(world.secretary)
    page = client.post(at(world), typed(), follow=True).content.decode()
    assert "is kept but does not count: the result was confirmed" in page
    assert "logged." not in page
    assert "It came too late: nothing stands" in page
    row = Disagreement.objects.get()
    client.post(at(world, "settle/"), {"disagreement": row.pk, "stands": ""})
    row.refresh_from_db()
    assert row.ruling is not None
    assert Fact.objects.filter(kind="weigh_in").count() == 1
    assert not WeighIn.objects.filter(stands=True).exists()


def test_a_second_weight_is_said_to_stand_beside_the_first(world: Any) -> None:
    weigh(world, "1", 4000)
    answer = signed_in(world.secretary).post(at(world), typed(), follow=True)
    assert "is kept beside another weight for net 1" in answer.content.decode()


def test_two_secretaries_settle_at_once_and_the_second_is_told(world: Any) -> None:
    first = weigh(world, "1", 4250)
    weigh(world, "1", 4520, by=world.secretary)
    row = Disagreement.objects.get()
    client = signed_in(world.secretary)
    asked = {"disagreement": row.pk, "stands": str(first.pk)}
    client.post(at(world, "settle/"), asked)
    answer = client.post(at(world, "settle/"), asked, follow=True)
    assert "That was settled already: look at the board again." in answer.content.decode()
    assert Fact.objects.filter(kind="ruling").count() == 1
    assert AuditEntry.objects.filter(verb="disagreement_rule").count() == 1


# ---- cap and fish --------------------------------------------------------------------------------


def test_the_cap_is_said_and_a_net_over_it_is_shown_as_weighed_and_as_counted(world: Any) -> None:
    world.match.net_cap, world.match.net_cap_rule = 5000, NetCapRule.CAP
    world.match.save()
    weigh(world, "1", 6000)
    weigh(world, "1", 1000, net=2)
    page = " ".join(read(signed_in(world.weigher), world).split())
    assert "A net over 5.000 kg counts 5.000 kg." in page
    assert "counts <b>6.000 kg</b>" in page
    assert "net 1: 6.000 kg, counts 5.000 kg" in page
    assert "net 2: 1.000 kg" in page


def test_fish_are_typed_by_species_and_a_missing_count_is_said(world: Any) -> None:
    world.match.scored_by = ScoredBy.FISH
    world.match.species = [{"name": "Roach", "points": 1}, {"name": "Perch", "points": 3}]
    world.match.save()
    client = signed_in(world.weigher)
    client.post(at(world), typed(**{"fish-1": "12", "fish-2": ""}))
    assert Fact.objects.get().body["fish"] == [["Roach", 12], ["Perch", 0]]
    client.post(at(world), typed(peg="2"))
    page = read(client, world)
    assert "12 fish, 12 points" in page
    assert "fish not counted yet" in page
    bad = client.post(at(world), typed(peg="4", **{"fish-1": "-1", "fish-2": "3"}))
    assert "Roach: count 0 to 10,000 whole fish." in bad.content.decode()
    assert 'name="fish-2" type="number" min="0" max="10000" value="3"' in bad.content.decode()


def test_the_biggest_fish_is_the_heaviest_single_one_noted(world: Any) -> None:
    for count, weight in [(1, 900), (1, 1250), (3, 5000)]:
        note = fact_log_at_desk(
            world.member,
            match=world.match,
            kind="fish_note",
            peg="4",
            body={"species": "Chub", "count": count, "weight": weight},
        )
    page = " ".join(read(signed_in(world.weigher), world).split())
    assert "<b>1.250 kg</b> Chub · Wilmot Crane · peg 4" in page
    assert note.body["count"] == 3


def test_a_fish_nobody_weighed_is_not_the_biggest(world: Any) -> None:
    fact_log_at_desk(
        world.member,
        match=world.match,
        kind="fish_note",
        peg="4",
        body={"species": "Chub", "count": 1, "weight": None, "size": "good", "about": 1500},
    )
    page = signed_in(world.weigher).get(at(world))
    assert page.status_code == 200
    assert "Biggest fish" not in page.content.decode()


# ---- what moved ----------------------------------------------------------------------------------


def test_the_board_says_what_moved_since_it_was_looked_at(world: Any) -> None:
    weigh(world, "1", 1000)
    weigh(world, "2", 900)
    client = signed_in(world.secretary)
    assert "Moved since" not in read(client, world)
    client.post(at(world), typed(peg="2", kg="2", g="0", corrects="yes"))
    page = read(client, world)
    assert "Section A: Perrin Stoat 2nd → 1st" in page
    assert "Section A: Maud Ferris 1st → 2nd" in page
    assert "1 place moved along with it" in page
    client.post(at(world, "seen/"))
    assert "Moved since" not in read(client, world)


def test_many_moves_are_folded_so_that_the_scales_stay_near(world: Any) -> None:
    client = signed_in(world.secretary)
    read(client, world)
    for peg in "1245":
        weigh(world, peg, 1000)
    assert "<summary>All 6 moves</summary>" in read(client, world)


def test_moves_compare_two_results_and_name_own_changes_first(world: Any) -> None:
    weigh(world, "1", 1000)
    before = standing_of_result(match_result(world.match))
    weigh(world, "2", 2000)
    world.entries["Wilmot"].status = "absent"
    world.entries["Wilmot"].save()
    found = moves(before, standing_of_result(match_result(world.match)))
    assert [(m.section, m.who, m.before, m.after, m.mended) for m in found if m.section] == [
        ("A", "Perrin Stoat", None, "1", True),
        ("A", "Maud Ferris", "1", "2", False),
        ("B", "Wilmot Crane", None, "3", True),
    ]
    assert moves(before, before) == []


# ---- only what changed ---------------------------------------------------------------------------


def parts_of(client: Client, world: Any, have: str = "", **headers: str) -> Any:
    return client.get(at(world, "changes/"), {"have": have}, **headers)  # type: ignore[arg-type]


def test_only_the_parts_that_changed_are_sent_and_nothing_when_nothing_came(world: Any) -> None:
    client = signed_in(world.weigher)
    read(client, world)
    all_of = parts_of(client, world)
    have = "~".join(f"{p['name']}.{p['digest']}" for p in all_of.json()["parts"])
    assert [p["name"] for p in all_of.json()["parts"]] == all_of.json()["names"]
    assert parts_of(client, world, have).json()["parts"] == []
    nothing = parts_of(client, world, have, HTTP_IF_NONE_MATCH=all_of["ETag"])
    assert (nothing.status_code, nothing.content) == (304, b"")
    weigh(world, "4", 777)
    came = parts_of(client, world, have, HTTP_IF_NONE_MATCH=all_of["ETag"])
    names = {p["name"] for p in came.json()["parts"]}
    assert "section-2" in names
    assert not names & {"section-1", "settle"}


def test_the_page_and_the_changes_are_cut_from_the_same_cloth(world: Any) -> None:
    weigh(world, "1", 4250)
    weigh(world, "1", 4520, by=world.secretary)  # forms with tokens
    client = signed_in(world.secretary)
    page = read(client, world)
    for part in parts_of(client, world).json()["parts"]:
        assert f'data-live="{part["name"]}" data-digest="{part["digest"]}"' in page


@pytest.mark.parametrize("have", ["~~", ".", "section-1", "section-1.x.y~progress", "é.ü"])
def test_what_a_page_says_it_has_may_be_anything(world: Any, have: str) -> None:
    answer = parts_of(signed_in(world.weigher), world, have)
    assert answer.status_code == 200
    assert len(answer.json()["parts"]) == len(answer.json()["names"])


def test_two_hundred_pegs_take_ten_queries_and_nothing_new_takes_three() -> None:
    world = big_match_make()
    client = signed_in(world.secretary)
    client.get(at(world))
    tag = parts_of(client, world)["ETag"]
    with CaptureQueriesContext(connection) as page:
        body = read(client, world)
    with CaptureQueriesContext(connection) as nothing:
        assert parts_of(client, world, HTTP_IF_NONE_MATCH=tag).status_code == 304
    assert len(page) <= QUERIES_MOST
    assert len(nothing) <= 3
    assert "160 of 200 weighed" in body
    assert body.count("stands</button>") == 8


# ---- publishing ----------------------------------------------------------------------------------


def test_the_publish_page_says_what_moved_since_the_last_bulletin(world: Any) -> None:
    weigh(world, "1", 1000)
    weigh(world, "2", 900)
    bulletin_publish(world.secretary, match=world.match)
    client = signed_in(world.secretary)
    address = f"/desk/matches/{world.match.pk}/publish/"
    assert "Moved since" not in client.get(address).content.decode()
    client.post(at(world), typed(peg="2", kg="2", g="0", corrects="yes"))
    page = client.get(address).content.decode()
    assert "Moved since bulletin 1" in page
    assert "Section A: Perrin Stoat 2nd → 1st" in page


def test_a_bulletin_shows_weighed_and_counted_fish_and_what_parted_a_tie(world: Any) -> None:
    world.match.net_cap, world.match.net_cap_rule = 5000, NetCapRule.CAP
    world.match.save()
    for peg, weight in [("1", 6000), ("2", 900), ("4", 100), ("5", 800)]:
        weigh(world, peg, weight)
    bulletin_publish(world.secretary, match=world.match)
    page = " ".join(Client().get("/board/otterbeck/june-open/").content.decode().split())
    assert "A net over 5.000 kg counts 5.000 kg." in page
    assert "counts 5.000 kg" in page
    assert "first on weight: 5.100 kg to 1.700 kg of Otterbeck Teals" in page
    assert "By weight" in page
    weigh(world, "1", 500, net=2)
    bulletin_publish(world.secretary, match=world.match, reason="A second net.")
    page = " ".join(Client().get("/board/otterbeck/june-open/").content.decode().split())
    assert "weight that counts <del>5.000 kg</del> <ins>5.500 kg</ins>" in page


def test_a_bulletin_of_a_fish_match_names_species_and_points(world: Any) -> None:
    world.match.scored_by = ScoredBy.FISH
    world.match.species = [{"name": "Roach", "points": 1}, {"name": "Perch", "points": 3}]
    world.match.save()
    weigh(world, "1", 500, fish=[["Roach", 2], ["Perch", 1]])
    bulletin_publish(world.secretary, match=world.match)
    page = " ".join(Client().get("/board/otterbeck/june-open/").content.decode().split())
    assert "Fish are scored: Roach 1, Perch 3." in page
    assert "1 Perch, 2 Roach, 5 points" in page
