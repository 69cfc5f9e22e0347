"""Leagues as they are kept: tables come with bulletins, are corrected with a trace, and stay."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any

import pytest
from django.db import IntegrityError, connection, transaction
from django.test.utils import CaptureQueriesContext

from matches.models import AuditEntry, Entry, EntryStatus, League, LeagueTable
from matches.problems import Code, Problem
from matches.reads.league_rounds import league_rounds_read
from matches.reckon.canonical import canonical_digest
from matches.reckon.errors import BadInput
from matches.writes.entries import entry_status_set
from matches.writes.leagues import league_delete, league_edit, league_make, league_rounds_set
from tests.league_season import LOW, correct, league_of, match_again, publish, season, weigh

pytestmark = pytest.mark.django_db


def latest(league: League) -> LeagueTable:
    return league.tables.order_by("-number")[0]


def ranks(table: LeagueTable) -> list[tuple[Any, str, str]]:
    return [(row["rank"], row["name"], row["total"]) for row in table.body["table"]]


def test_each_bulletin_of_a_round_brings_on_a_table(world: Any) -> None:
    league, _ = season(world)
    tables = list(league.tables.order_by("number"))
    assert [t.number for t in tables] == [1, 2]
    assert ranks(tables[0]) == [
        (1, "Maud Ferris", "1"),
        (2, "Wilmot Crane", "1"),
        (3, "Perrin Stoat", "2"),
        (4, "Odette Marl", "2"),
    ]
    assert ranks(tables[1]) == [
        (1, "Wilmot Crane", "2"),
        (2, "Maud Ferris", "3"),
        (3, "Perrin Stoat", "3"),
        (4, "Odette Marl", "4"),
    ]
    assert tables[1].bulletin.match.name == "July Open"
    assert tables[1].body["before"] == tables[0].digest


def test_a_late_correction_makes_a_new_table_that_says_who_moved_and_why(world: Any) -> None:
    league, rounds = season(world)
    old = latest(league)
    body = json.dumps(old.body, sort_keys=True)
    correct(world, rounds[1], "Maud", 2000)
    publish(world, rounds[1], confirmed=True, reason="The sheet for peg 1 was read wrongly.")
    new = latest(league)
    assert new.number == old.number + 1
    assert ranks(new)[:2] == [(1, "Maud Ferris", "2"), (2, "Wilmot Crane", "2")]
    assert new.body["because"] == {
        "kind": "bulletin",
        "match": "July Open",
        "slug": "july-open",
        "bulletin": 2,
        "reason": "The sheet for peg 1 was read wrongly.",
    }
    moved = {change["name"]: change for change in new.body["changes"]}
    assert set(moved) == {"Maud Ferris", "Wilmot Crane", "Perrin Stoat"}
    assert moved["Maud Ferris"]["before"] == {"rank": 2, "total": "3"}
    assert moved["Maud Ferris"]["after"] == {"rank": 1, "total": "2"}
    assert [
        (r["round"], r["before"]["points"], r["after"]["points"])
        for r in moved["Maud Ferris"]["rounds"]
    ] == [("2", "2", "1")]
    old.refresh_from_db()
    assert json.dumps(old.body, sort_keys=True) == body


def test_the_database_refuses_to_change_a_table(world: Any) -> None:
    table = latest(season(world)[0])
    table.body = {}
    with pytest.raises(IntegrityError, match="fixed once written"), transaction.atomic():
        table.save()


def test_the_digest_is_of_the_body_as_it_comes_back_from_the_database(world: Any) -> None:
    table = LeagueTable.objects.get(pk=latest(season(world)[0]).pk)
    assert table.digest == canonical_digest(table.body)


def test_a_bulletin_that_changes_nothing_in_the_league_makes_no_table(world: Any) -> None:
    league, rounds = season(world)
    world.venue.water = "Wend, the lower beat"
    world.venue.save()
    assert publish(world, rounds[0], confirmed=True, reason="The beat was wrong.").number == 2
    assert latest(league).number == 2
    assert latest(league).body["rounds"][0]["bulletin"] == 1
    friendly = match_again(world, name="Friendly", days=2)
    weigh(world, friendly, {"Maud": 10})
    publish(world, friendly)
    assert latest(league).number == 2


def test_a_round_that_is_only_confirmed_is_marked_so_in_a_new_table(world: Any) -> None:
    weigh(world, world.match, {"Maud": 4, "Perrin": 3, "Wilmot": 2, "Odette": 1})
    publish(world, world.match)
    league = league_of(world, world.match)
    assert latest(league).body["provisional"] is True
    publish(world, world.match, confirmed=True)
    assert latest(league).body["provisional"] is False
    assert latest(league).body["changes"] == []


def test_who_is_still_to_weigh_is_not_charged_with_a_missed_round(world: Any) -> None:
    weigh(world, world.match, {"Maud": 4000})
    publish(world, world.match)
    rows = {row["name"]: row for row in latest(league_of(world, world.match)).body["table"]}
    assert rows["Perrin Stoat"]["total"] == "0"
    assert rows["Perrin Stoat"]["rounds"][0]["status"] == "to_weigh"


def test_an_angler_is_known_again_under_another_name(world: Any) -> None:
    """A junior's name is hidden after the first round: the season goes on in the same row."""
    league, rounds = season(world)
    angler = world.entries["Odette"].angler
    angler.junior = True
    angler.save()
    weigh(world, rounds[2], {"Maud": 5, "Perrin": 4, "Wilmot": 3, "Odette": 9})
    publish(world, rounds[2], confirmed=True)
    row = next(r for r in latest(league).body["table"] if r["id"] == str(angler.pk))
    assert row["name"] == "O. M."
    assert [r["points"] for r in row["rounds"]] == ["2", "2", "1"]
    assert len(latest(league).body["table"]) == 4


def test_the_oldest_bulletins_without_entry_numbers_are_read_by_their_pegs(world: Any) -> None:
    league, _ = season(world)
    league = League.objects.get(pk=league.pk)
    rounds, named = league_rounds_read(league)
    for held in rounds:
        if held.bulletin:
            for section in held.bulletin.body["sections"]:
                for entry in section["entries"]:
                    assert (
                        entry["entry"]
                        == Entry.objects.get(match=held.match, angler__name=entry["angler"]).pk
                    )
    bulletin = rounds[0].bulletin
    assert bulletin is not None
    for section in bulletin.body["sections"]:
        for entry in section["entries"]:
            del entry["entry"]
    from matches.reads import league_rounds as reads

    known = reads._Known.of(league, [world.match.pk])
    of_old = list(reads._anglers(world.match, bulletin.body, "points", known, named))
    assert of_old == list(rounds[0].entries)


def test_a_match_called_off_is_nobodys_missed_round(world: Any) -> None:
    league, rounds = season(world)
    rounds[0].called_off = "The river is in the fields."
    rounds[0].save()
    weigh(world, rounds[2], {"Maud": 5, "Perrin": 4, "Wilmot": 3, "Odette": 9})
    publish(world, rounds[2])
    body = latest(league).body
    assert [r["state"] for r in body["rounds"]] == ["called_off", "counted", "counted"]
    assert all(len(row["rounds"]) == 2 for row in body["table"])


def test_teams_are_ranked_by_their_points_or_by_their_places(world: Any) -> None:
    league, rounds = season(world)
    by_points = league_of(world, *rounds, of="teams")
    assert ranks(latest(by_points)) == [(1, "Otterbeck Alders", "5"), (2, "Otterbeck Teals", "7")]
    by_places = league_of(world, *rounds, of="teams", counts="places")
    # Round 2 is level on points; the weight decides between the teams: Alders 1.9 kg, Teals 1.5.
    assert ranks(latest(by_places)) == [(1, "Otterbeck Alders", "2"), (2, "Otterbeck Teals", "4")]
    assert league.slug != by_points.slug != by_places.slug


def test_places_over_all_share_what_equals_fill(world: Any) -> None:
    weigh(world, world.match, {"Maud": 4000, "Perrin": 3000, "Wilmot": 4000, "Odette": 1000})
    publish(world, world.match)
    table = latest(league_of(world, world.match, counts="places"))
    assert ranks(table) == [
        (1, "Maud Ferris", "1.5"),
        (1, "Wilmot Crane", "1.5"),
        (3, "Perrin Stoat", "3"),
        (4, "Odette Marl", "4"),
    ]


def test_the_disqualified_keep_their_points_and_no_weight(world: Any) -> None:
    weigh(world, world.match, {"Maud": 4000, "Perrin": 3000, "Wilmot": 2000, "Odette": 1000})
    entry_status_set(
        world.secretary,
        match=world.match,
        entry_id=world.entries["Maud"].pk,
        status=EntryStatus.DISQUALIFIED,
        reason="Fished two rods.",
    )
    publish(world, world.match)
    row = next(
        r for r in latest(league_of(world, world.match)).body["table"] if r["name"] == "Maud Ferris"
    )
    assert (row["total"], row["rounds"][0]["weight"]) == ("3", 0)
    assert row["rounds"][0]["status"] == "disqualified"


def test_other_rules_need_a_reason_once_a_table_is_out_and_make_a_new_one(world: Any) -> None:
    league, _ = season(world)
    rules = {**LOW, "drop_worst": 1}
    with pytest.raises(BadInput) as refused:
        league_edit(world.secretary, league=league, name=league.name, rules=rules)
    assert [f.pointer for f in refused.value.faults] == ["/reason"]
    league_edit(
        world.secretary, league=league, name=league.name, rules=rules, reason="Agreed in May."
    )
    table = latest(league)
    assert table.body["because"] == {"kind": "rules", "reason": "Agreed in May."}
    assert [r["dropped"] for r in table.body["table"][0]["rounds"]].count(None) == 1
    assert table.bulletin is None


def test_another_name_needs_no_reason_and_is_told_apart_from_other_rules(world: Any) -> None:
    league, _ = season(world)
    league_edit(world.secretary, league=league, name="Wend Season", rules=league.rules)
    assert latest(league).body["because"] == {"kind": "name", "reason": ""}
    assert latest(league).body["league"]["name"] == "Wend Season"
    assert league.tables.get(number=2).body["league"]["name"] == "Wend League"


def test_a_round_taken_out_makes_a_new_table_with_the_reason(world: Any) -> None:
    league, rounds = season(world)
    keep = [rounds[1].pk, rounds[2].pk]
    with pytest.raises(BadInput):
        league_rounds_set(world.secretary, league=league, matches=keep)
    league_rounds_set(
        world.secretary, league=league, matches=keep, reason="The water was closed by noon."
    )
    table = latest(league)
    assert [r["match"] for r in table.body["rounds"]] == ["July Open", "August Open"]
    assert table.body["because"]["kind"] == "rounds"
    number = table.number
    league_rounds_set(world.secretary, league=league, matches=keep)
    assert latest(league).number == number


def test_a_match_that_gives_points_the_other_way_is_no_round(world: Any) -> None:
    high = match_again(world, name="Points Up", days=3)
    high.scheme = {"direction": "high"}
    high.save()
    league = league_of(world, world.match)
    with pytest.raises(BadInput, match="gives points the other way round") as refused:
        league_rounds_set(world.secretary, league=league, matches=[world.match.pk, high.pk])
    assert [f.pointer for f in refused.value.faults] == ["/matches/1"]
    by_places = league_of(world, world.match, high, counts="places")
    assert by_places.rounds.count() == 2


def test_a_scoring_changed_to_the_other_way_stops_no_bulletin_and_is_not_added_up(
    world: Any,
) -> None:
    league, rounds = season(world)
    rounds[2].scheme = {"direction": "high"}
    rounds[2].save()
    weigh(world, rounds[2], {"Maud": 5, "Perrin": 4, "Wilmot": 3, "Odette": 9})
    publish(world, rounds[2])
    body = latest(league).body
    assert body["rounds"][2]["state"] == "other_way"
    assert all(len(row["rounds"]) == 2 for row in body["table"])


@pytest.mark.parametrize(
    ("given", "pointers"),
    [
        ({"name": " "}, ["/name"]),
        ({"name": "x" * 121}, ["/name"]),
        ({"name": "nul\x00"}, ["/name"]),
        ({"of": "boats"}, ["/of"]),
        ({"rules": {"drop_worst": 1, "best_of": 2}}, ["/rules/best_of"]),
        ({"rules": {"missed": "not_counted"}}, ["/rules/missed"]),
        ({"rules": {"counts": "luck"}}, ["/rules/counts"]),
        ({"rules": {"counts": "places", "points": "high"}}, ["/rules/points"]),
    ],
)
def test_a_league_that_makes_no_sense_is_refused_at_its_fields(
    world: Any, given: dict[str, Any], pointers: list[str]
) -> None:
    content = {"name": "Wend League", "of": "anglers", "rules": LOW, **given}
    with pytest.raises(BadInput) as refused:
        league_make(world.secretary, club=world.club, **content)
    assert [f.pointer for f in refused.value.faults] == pointers
    assert not League.objects.exists()


def test_leagues_of_one_name_have_addresses_of_their_own(world: Any) -> None:
    slugs = [league_of(world).slug for _ in range(3)]
    assert slugs == ["wend-league", "wend-league-2", "wend-league-3"]


def test_a_match_stands_once_and_is_of_the_club(world: Any) -> None:
    league = league_of(world)
    strange = match_again(world, name="Elsewhere", days=1)
    strange.club = world.other_club
    strange.save()
    with pytest.raises(BadInput) as refused:
        league_rounds_set(
            world.secretary, league=league, matches=[world.match.pk, world.match.pk, strange.pk]
        )
    assert [f.pointer for f in refused.value.faults] == ["/matches/1", "/matches/2"]
    assert not league.rounds.exists()


def test_a_league_made_by_mistake_goes_one_with_a_table_stays(world: Any) -> None:
    league_delete(world.secretary, league=league_of(world, world.match))
    assert not League.objects.exists()
    league, _ = season(world)
    with pytest.raises(Problem, match="it stays readable"):
        league_delete(world.secretary, league=league)


ACTS: dict[str, Callable[[Any, Any, League], Any]] = {
    "make": lambda w, who, _l: league_make(who, club=w.club, name="Mine", of="teams", rules=LOW),
    "edit": lambda w, who, league: league_edit(who, league=league, name="Mine", rules=LOW),
    "rounds": lambda w, who, league: league_rounds_set(who, league=league, matches=[]),
    "delete": lambda w, who, league: league_delete(who, league=league),
}


@pytest.mark.parametrize("act", ACTS)
@pytest.mark.parametrize("who", ["weigher", "captain", "member", "rival"])
def test_no_other_role_keeps_leagues(world: Any, act: str, who: str) -> None:
    league = league_of(world, world.match)
    trail = AuditEntry.objects.count()
    with pytest.raises(Problem) as refused:
        ACTS[act](world, getattr(world, who), league)
    assert refused.value.code is Code.NOT_ALLOWED
    assert AuditEntry.objects.count() == trail


@pytest.mark.parametrize("act", ACTS)
def test_for_an_outsider_the_league_does_not_exist(world: Any, act: str) -> None:
    league = league_of(world, world.match)
    with pytest.raises(Problem) as refused:
        ACTS[act](world, world.outsider, league)
    assert refused.value.code is Code.NOT_FOUND


def test_every_write_leaves_its_rows_in_the_trail(world: Any) -> None:
    league, _ = season(world)
    league_edit(world.secretary, league=league, name="Wend Season", rules=league.rules)
    verbs = AuditEntry.objects.filter(verb__startswith="league").order_by("pk")
    assert [v.verb for v in verbs] == [
        "league_make",
        "league_rounds_set",
        "league_table_make",
        "league_table_make",
        "league_edit",
        "league_table_make",
    ]


def test_the_queries_do_not_grow_with_rounds(world: Any) -> None:
    league, rounds = season(world)
    with CaptureQueriesContext(connection) as two:
        league_rounds_read(league)
    weigh(world, rounds[2], {"Maud": 5, "Perrin": 4, "Wilmot": 3, "Odette": 9})
    publish(world, rounds[2])
    with CaptureQueriesContext(connection) as three:
        league_rounds_read(league)
    assert len(two) == len(three) <= 5
