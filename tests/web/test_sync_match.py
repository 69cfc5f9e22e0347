"""What a phone takes along for the day, and who it belongs to."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from django.test import Client

from matches.models import DrawnPeg, Entry, Match
from tests.clients import signed_in


def package(person: Any, match: Any, **headers: str) -> Any:
    return signed_in(person).get(f"/api/v1/sync/match/{match.pk}", headers=headers)


def test_the_package_says_the_whole_match(world: Any) -> None:
    body = package(world.member, world.match).json()
    assert body["protocol"] == 1
    assert body["match"] == {
        "id": str(world.match.pk),
        "name": "June Open",
        "slug": "june-open",
        "club": "otterbeck",
        "date": "2026-06-20",
        "state": "weighing",
        "weight_unit": "g",
        "net_cap": None,
        "net_cap_rule": "cap",
        "scored_by": "weight",
        "species": [],
        "called_off": "",
        "draw_at": None,
        "prepare_at": None,
        "feed_at": None,
        "start_at": "2026-06-20T09:00:00.000Z",
        "end_at": "2026-06-20T14:00:00.000Z",
        "last_call_min": 5,
        "timezone": "Europe/London",
        "venue": "Tolling Meadow",
        "water": "Wend",
        "cautions": "Power lines cross below peg 6: keep poles 30 m away.",
        "limits": {
            "groundbait_l": "20.00",
            "groundbait_mine": None,
            "bait_l": "2.50",
            "bait_mine": None,
            "source": "",
            "parts": [],
        },
        "board_url": "/board/otterbeck/june-open/",
    }
    assert body["sections"] == [
        {"label": "A", "pegs": ["1", "2", "3"]},
        {"label": "B", "pegs": ["4", "5", "6"]},
    ]
    assert [p["angler"] for p in body["pegs"]] == [
        "Maud Ferris",
        "Perrin Stoat",
        None,
        "Wilmot Crane",
        "Odette Marl",
        None,
    ]
    assert body["pegs"][3] == {
        "number": "4",
        "section": "B",
        "depth_cm": 180,
        "accessible": False,
        "power_lines": False,
        "steep_bank": False,
        "notes": "",
        "angler": "Wilmot Crane",
        "team": "Otterbeck Alders",
    }
    assert body["mine"] == {
        "peg": "4",
        "section": "B",
        "angler": "Wilmot Crane",
        "team": "Otterbeck Alders",
    }
    assert (body["plan"], body["bag"], body["mixing"]) == (None, [], [])
    assert body["baits"] == [
        {"key": "caster", "name": "Caster", "kind": "animal", "unit": "pint"},
        {"key": "hemp", "name": "Hemp", "kind": "particle", "unit": "pint"},
    ]


@pytest.mark.parametrize(
    ("who", "weigh", "rule"),
    [
        ("secretary", True, True),
        ("weigher", True, False),
        ("captain", False, False),
        ("member", False, False),
    ],
)
def test_it_says_what_the_person_may_do(world: Any, who: str, weigh: bool, rule: bool) -> None:
    person = package(getattr(world, who), world.match).json()["person"]
    assert (person["may_weigh"], person["may_rule"]) == (weigh, rule)


def test_ones_own_plan_and_bag_come_along_and_nobody_elses(world: Any) -> None:
    from bait.models import Plan, Stage, StageFeed

    plan = Plan.objects.create(entry=world.entries["Wilmot"], spare_percent=10)
    stage = Stage.objects.create(
        plan=plan, position=1, kind="opening", start_minute=0, end_minute=10
    )
    StageFeed.objects.create(
        stage=stage, bait=world.baits["caster"], amount=Decimal("0.5"), unit="pint"
    )
    body = package(world.member, world.match).json()
    assert body["plan"]["stages"][0]["feeds"] == [
        {"bait": "caster", "name": "Caster", "amount": "0.5", "unit": "pint"}
    ]
    assert body["bag"] == [{"bait": "caster", "name": "Caster", "amount": "0.55", "unit": "pint"}]
    assert body["mixing"] == []
    assert package(world.rival, world.match).json()["plan"] is None


def test_ones_own_mixes_come_along_to_the_bank(world: Any) -> None:
    from bait.models import Mix, MixPart, Plan

    plan = Plan.objects.create(entry=world.entries["Wilmot"])
    mix = Mix.objects.create(plan=plan, position=1, name="base", rest_minutes=20)
    MixPart.objects.create(mix=mix, bait=world.baits["hemp"], amount=Decimal("2"), unit="L")
    mine = package(world.member, world.match).json()["mixing"]
    assert [(row["name"], row["rest_minutes"], row["water_l"]) for row in mine] == [
        ("base", 20, "0.9")
    ]
    assert package(world.rival, world.match).json()["mixing"] == []


def test_limits_and_their_parts_come_along_with_what_ones_own_plan_uses(world: Any) -> None:
    from bait.models import MatchLimit, Plan, Stage, StageFeed

    MatchLimit.objects.create(
        match=world.match,
        position=1,
        name="Caster for the hook",
        bait=world.baits["caster"],
        counts="any",
        use="hook",
        allowed_l=Decimal("0.25"),
    )
    plan = Plan.objects.create(entry=world.entries["Wilmot"])
    stage = Stage.objects.create(plan=plan, position=1, kind="hook", end_minute=300)
    StageFeed.objects.create(stage=stage, bait=world.baits["caster"], amount=1, unit="pint")
    limits = package(world.member, world.match).json()["match"]["limits"]
    assert limits["bait_mine"] == {"used_l": "0.5683", "within": True}
    assert limits["groundbait_mine"] == {"used_l": "0", "within": True}
    mine = limits["parts"]
    # A pint is 0.56826125 L, rounded up at the fourth place.
    assert mine == [
        {"name": "Caster for the hook", "allowed_l": "0.25", "used_l": "0.5683", "within": False}
    ]
    for other in (world.rival, world.weigher):  # no plan; not entered
        theirs = package(other, world.match).json()["match"]["limits"]["parts"]
        assert theirs == [{**mine[0], "used_l": None, "within": None}]


def test_a_junior_is_shown_by_initials_but_to_who_weighs(world: Any) -> None:
    world.entries["Odette"].angler.junior = True
    world.entries["Odette"].angler.save()
    assert package(world.member, world.match).json()["pegs"][4]["angler"] == "O. M."
    assert package(world.weigher, world.match).json()["pegs"][4]["angler"] == "Odette Marl"


def test_unchanged_is_a_304_and_a_change_is_not(world: Any) -> None:
    first = package(world.member, world.match)
    tag = first["ETag"]
    assert first["Cache-Control"] == "private, no-cache"
    for held in (tag, f"W/{tag}", f'"old", {tag}', "*"):
        same = package(world.member, world.match, **{"If-None-Match": held})
        assert (same.status_code, same.content, same["ETag"]) == (304, b"", tag)
    assert package(world.rival, world.match, **{"If-None-Match": tag}).status_code == 200
    Match.objects.update(state="provisional")
    changed = package(world.member, world.match, **{"If-None-Match": tag})
    assert (changed.status_code, changed.json()["match"]["state"]) == (200, "provisional")


@pytest.mark.parametrize("number", [987654321, 10**30])
def test_another_clubs_match_looks_like_no_match_at_all(world: Any, number: int) -> None:
    theirs = package(world.outsider, world.match)
    nobodys = signed_in(world.outsider).get(f"/api/v1/sync/match/{number}")
    assert theirs.status_code == nobodys.status_code == 404
    assert theirs.json() == nobodys.json()


def test_the_package_names_whose_weigh_ins_take_the_place_of_anothers(world: Any) -> None:
    officials = package(world.member, world.match).json()["officials"]
    assert str(world.weigher.pk) in officials and str(world.secretary.pk) in officials
    assert str(world.member.pk) not in officials and str(world.captain.pk) not in officials


def test_queries_do_not_grow_with_entries(world: Any, django_assert_num_queries: Any) -> None:
    client = signed_in(world.member)
    with django_assert_num_queries(15):
        client.get(f"/api/v1/sync/match/{world.match.pk}")
    DrawnPeg.objects.exclude(entry__angler__person=world.member).delete()
    Entry.objects.exclude(angler__person=world.member).delete()
    with django_assert_num_queries(15):
        client.get(f"/api/v1/sync/match/{world.match.pk}")


def test_me_says_who_one_is_where_and_gives_the_token(world: Any) -> None:
    response = signed_in(world.captain).get("/api/v1/me")
    assert response.json() == {
        "protocol": 1,
        "person": {
            "id": str(world.captain.pk),
            "name": "Maud Ferris",
            "language": "",
            "measures": "written",
        },
        "clubs": [
            {
                "slug": "otterbeck",
                "name": "Otterbeck Piscatorials",
                "roles": ["captain", "member"],
            }
        ],
        "matches": [
            {
                "id": str(world.match.pk),
                "name": "June Open",
                "date": "2026-06-20",
                "state": "weighing",
                "called_off": "",
                "venue": "Tolling Meadow",
                "timezone": "Europe/London",
                "club": "otterbeck",
            }
        ],
    }
    assert response.cookies["csrftoken"].value


def test_signed_out_me_is_a_401_problem(world: Any) -> None:
    response = Client().get("/api/v1/me")
    assert (response.status_code, response.json()["type"]) == (401, "/problems/sign-in")


def test_signed_out_me_says_nobody_to_who_asks_for_that(world: Any) -> None:
    response = Client().get("/api/v1/me?or_nobody=1")
    nobody = {"protocol": 1, "person": None, "clubs": [], "matches": []}
    assert (response.status_code, response.json()) == (200, nobody)
    assert response.cookies["csrftoken"].value
    known = signed_in(world.captain).get("/api/v1/me?or_nobody=1").json()
    assert known["person"]["name"] == "Maud Ferris"
