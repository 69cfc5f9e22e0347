"""Jar tests and throws: taken in like every fact, shown to the team and to nobody else."""

from __future__ import annotations

from typing import Any

import pytest

from matches.models import Angler, Fact
from tests.web.pushing import fact, outcomes, pointers, push, words
from tests.web.test_phone_feeding import match_before
from tests.web.test_sync_match import package
from tests.web.test_sync_pull import pull

DROP = {"bait": "caster", "jar_cm": 30, "ms": 6000}
THROW = {"bait": "caster", "upstream_cm": 640, "out_cm": 1200, "rod_cm": 390}


def drop(world: Any, n: int, match: Any = None, **body: Any) -> dict[str, Any]:
    where = str((match or world.match).pk)
    return fact(world, n, kind="feed_test", peg="4", match=where, body={**DROP, **body})


@pytest.mark.parametrize(
    ("kind", "body"),
    [
        ("feed_test", DROP),
        ("feed_test", {"bait": "caster", "floats": True}),
        ("feed_test", {"bait": "caster", "aside": {"match": "3", "author": "8"}}),
        ("feed_throw", THROW),
        ("feed_throw", {"ball_mm": 80, "upstream_cm": -60, "out_cm": None, "rod_cm": None}),
        ("peg_note", {"celsius_tenths": 94, "rig_settles_cm": 300, "rig_settles_ms": 8200}),
    ],
)
def test_what_is_measured_is_stored_once(world: Any, kind: str, body: dict[str, Any]) -> None:
    one = fact(world, 1, kind=kind, peg="4", body=body)
    assert words(push(world.member, one)) == ["accepted"]
    assert words(push(world.member, one)) == ["duplicate"]
    assert Fact.objects.get().body == body


@pytest.mark.parametrize(
    ("kind", "body", "at"),
    [
        ("feed_test", {**DROP, "ms": 0}, "/body/ms"),
        ("feed_test", {**DROP, "ms": -6000}, "/body/ms"),
        ("feed_test", {**DROP, "ms": True}, "/body/ms"),
        ("feed_test", {**DROP, "ms": [6000]}, "/body/ms"),
        ("feed_test", {**DROP, "ms": 10**9}, "/body/ms"),
        ("feed_test", {**DROP, "jar_cm": 0}, "/body/jar_cm"),
        ("feed_test", {**DROP, "jar_cm": 200, "ms": 200}, "/body/ms"),
        ("feed_test", {**DROP, "jar_cm": 5, "ms": 500_000}, "/body/ms"),
        ("feed_test", {**DROP, "floats": True}, "/body"),
        ("feed_test", {"bait": "caster", "floats": False}, "/body/floats"),
        ("feed_test", {"bait": "caster"}, "/body"),
        ("feed_test", {**DROP, "bait": "nobody's"}, "/body/bait"),
        ("feed_test", {"bait": "caster", "aside": {"match": "3"}}, "/body/aside/author"),
        (
            "feed_test",
            {"bait": "caster", "again": {"match": 3, "author": "8"}},
            "/body/again/match",
        ),
        ("feed_test", [DROP], "/body"),
        ("feed_throw", {**THROW, "ball_mm": 80}, "/body"),
        ("feed_throw", {"upstream_cm": 1}, "/body"),
        ("feed_throw", {**THROW, "upstream_cm": None}, "/body/upstream_cm"),
        ("feed_throw", {**THROW, "upstream_cm": 10**6}, "/body/upstream_cm"),
        ("feed_throw", {**THROW, "rod_cm": 1}, "/body/rod_cm"),
        ("peg_note", {"celsius_tenths": 500}, "/body/celsius_tenths"),
        ("peg_note", {"rig_settles_ms": -1}, "/body/rig_settles_ms"),
        ("jar_of_next_year", {}, "/kind"),
    ],
)
def test_nonsense_is_refused_in_words_where_it_stands(
    world: Any, kind: str, body: Any, at: str
) -> None:
    answer = push(world.member, fact(world, 1, kind=kind, body=body), drop(world, 2))
    refused, kept = outcomes(answer)
    assert (refused["outcome"], pointers(refused)[:1]) == ("refused", [at])
    assert kept["outcome"] == "accepted"


def test_a_jar_test_comes_down_to_the_team_and_to_nobody_else(world: Any) -> None:
    throw = fact(world, 2, kind="feed_throw", peg="4", body=THROW)
    note = fact(world, 3, kind="peg_note", peg="4", body={"note": "deep"})
    assert words(push(world.member, drop(world, 1), throw, note)) == ["accepted"] * 3
    kinds = {
        who: [f["kind"] for f in pull(getattr(world, who), match=world.match.pk).json()["facts"]]
        for who in ("member", "captain", "rival", "weigher", "secretary")
    }
    assert kinds.pop("member") == kinds.pop("captain") == ["feed_test", "feed_throw", "peg_note"]
    assert kinds == {who: ["peg_note"] for who in kinds}
    club = pull(world.rival, club=world.club.slug).json()["facts"]
    assert [f["kind"] for f in club] == ["peg_note"]


def test_a_mates_test_of_an_earlier_match_is_in_the_package_with_whose_and_when(world: Any) -> None:
    before = match_before(world, days=14)
    back = {"kind": "scratch", "body": {"why": "a slip"}, "match": str(before.pk)}
    drops = [drop(world, n, before, ms=6000 + n) for n in (1, 2, 3)]
    floats = fact(
        world, 5, kind="feed_test", match=str(before.pk), body={"bait": "hemp", "floats": True}
    )
    push(world.captain, *drops, fact(world, 4, supersedes=drops[1]["id"], **back), floats)
    aside = {"bait": "hemp", "aside": {"match": str(before.pk), "author": str(world.captain.pk)}}
    push(world.member, fact(world, 6, kind="feed_test", body=aside, match=str(before.pk)))
    found = package(world.member, world.match).json()
    by = {"match": str(before.pk), "date": before.date.isoformat()}
    maud = {"id": str(world.captain.pk), "name": "Maud Ferris"}
    assert found["feed_tests"] == [
        {"bait": "hemp", **by, "author": maud, "drops": [[5, None]], "aside": True},
        {"bait": "caster", **by, "author": maud, "drops": [[30, 6001], [30, 6003]], "aside": False},
    ]
    assert str(world.captain.pk) in found["mates"]
    again = {"bait": "hemp", "again": aside["aside"]}
    push(world.member, fact(world, 7, kind="feed_test", body=again, match=str(before.pk)))
    assert package(world.member, world.match).json()["feed_tests"][0]["aside"] is False
    theirs = package(world.rival, world.match).json()
    assert (theirs["feed_tests"], str(world.captain.pk) in theirs["mates"]) == ([], False)


def test_an_erased_drop_and_a_juniors_name_are_not_given_out(world: Any) -> None:
    before = match_before(world, days=14)
    push(world.captain, drop(world, 1, before), drop(world, 2, before))
    Fact.objects.filter(seq=1).update(body={})
    Angler.objects.filter(person=world.captain).update(junior=True)
    (test,) = package(world.member, world.match).json()["feed_tests"]
    assert (test["author"]["name"], test["drops"]) == ("M. F.", [[30, 6000]])


def test_who_leaves_the_team_sees_the_own_tests_only(world: Any) -> None:
    before = match_before(world, days=14)
    push(world.captain, drop(world, 1, before))
    push(world.member, drop(world, 2, before))
    Angler.objects.filter(person=world.member).update(team=None)
    (test,) = package(world.member, world.match).json()["feed_tests"]
    assert test["author"]["id"] == str(world.member.pk)
