"""Matches, the weigh board, bulletins and disagreements over the API, from every role."""

from __future__ import annotations

from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from matches.models import Bulletin
from tests.clients import signed_in
from tests.fished import weigh

pytestmark = pytest.mark.django_db


def at(world: Any, rest: str = "") -> str:
    return f"/api/v1/matches/{world.match.pk}{rest}"


ADDRESSES = ["", "/weigh-board", "/bulletins", "/disagreements"]


@pytest.mark.parametrize("rest", ADDRESSES)
def test_signed_out_every_address_is_a_problem_to_sign_in(world: Any, rest: str) -> None:
    answer = Client().get(at(world, rest))
    assert answer.status_code in (401, 403)
    assert answer.json()["type"] == "/problems/sign-in"


@pytest.mark.parametrize("rest", ADDRESSES)
def test_for_an_outsider_another_clubs_match_does_not_exist(world: Any, rest: str) -> None:
    answer = signed_in(world.outsider).get(at(world, rest))
    assert answer.status_code == 404
    assert answer["Content-Type"] == "application/problem+json"
    assert "June" not in answer.content.decode()


@pytest.mark.parametrize(
    ("who", "seen"),
    [
        ("secretary", [200, 200, 200, 200]),
        ("weigher", [200, 200, 200, 200]),
        ("captain", [200, 403, 200, 403]),
        ("member", [200, 403, 200, 403]),
    ],
)
def test_each_role_reads_what_is_its_own(world: Any, who: str, seen: list[int]) -> None:
    client = signed_in(getattr(world, who))
    assert [client.get(at(world, rest)).status_code for rest in ADDRESSES] == seen


def test_the_list_holds_the_matches_of_ones_own_clubs(world: Any) -> None:
    answer = signed_in(world.member).get("/api/v1/matches").json()
    assert answer == {
        "matches": [
            {
                "id": world.match.pk,
                "name": "June Open",
                "slug": "june-open",
                "club": "otterbeck",
                "venue": "Tolling Meadow",
                "date": "2026-06-20",
                "state": "weighing",
                "weight_unit": "g",
                "called_off": "",
                "draw_at": None,
                "prepare_at": None,
                "feed_at": None,
                "start_at": "2026-06-20T09:00:00Z",
                "end_at": "2026-06-20T14:00:00Z",
                "last_call_min": 5,
            }
        ],
        "next": None,
    }
    assert signed_in(world.outsider).get("/api/v1/matches").json()["matches"] == []


def test_a_long_list_comes_in_pages_with_the_same_queries(world: Any) -> None:
    client = signed_in(world.member)
    with CaptureQueriesContext(connection) as one:
        client.get("/api/v1/matches")
    for n in range(120):
        world.match.pk, world.match.slug = None, f"m-{n}"
        world.match.save()
    with CaptureQueriesContext(connection) as many:
        first = client.get("/api/v1/matches").json()
    assert len(many) == len(one)
    assert (len(first["matches"]), first["next"]) == (100, 100)
    rest = client.get("/api/v1/matches?after=100").json()
    assert (len(rest["matches"]), rest["next"]) == (21, None)
    assert not {m["id"] for m in first["matches"]} & {m["id"] for m in rest["matches"]}


@pytest.mark.parametrize("after", ["-1", "x", "1.5", "²", "99999999999999999999"])
def test_a_page_nobody_gave_is_refused_with_a_pointer(world: Any, after: str) -> None:
    answer = signed_in(world.member).get("/api/v1/matches", {"after": after})
    assert answer.status_code == 400
    assert answer.json()["errors"][0]["pointer"] == "/after"


def test_the_weigh_board_tells_weights_places_and_who_is_to_weigh(world: Any) -> None:
    weigh(world, "1", 4250)
    weigh(world, "1", 150, net=2)
    board = signed_in(world.weigher).get(at(world, "/weigh-board")).json()
    assert (board["weighed"], board["expected"], board["disagreements"]) == (1, 4, 0)
    assert board["biggest"] == {"angler": "Maud Ferris", "peg": "1", "weight": 4400}
    assert [s["to_weigh"] for s in board["sections"]] == [1, 2]
    assert board["sections"][0]["entries"][0] == {
        "peg": "1",
        "angler": "Maud Ferris",
        "team": "Otterbeck Alders",
        "nets": [4250, 150],
        "weight": 4400,
        "counted": 4400,
        "score": None,
        "status": "entered",
        "place": "1",
        "points": "1",
    }
    assert board["sections"][0]["entries"][1]["weight"] is None


def test_the_weigh_board_is_sent_again_only_when_it_changed(world: Any) -> None:
    client = signed_in(world.weigher)
    first = client.get(at(world, "/weigh-board"))
    same = client.get(at(world, "/weigh-board"), headers={"If-None-Match": first["ETag"]})
    assert (same.status_code, same.content) == (304, b"")
    weigh(world, "1", 4250)
    fresh = client.get(at(world, "/weigh-board"), headers={"If-None-Match": first["ETag"]})
    assert fresh.status_code == 200
    assert fresh["ETag"] != first["ETag"]


def test_the_weigh_board_asks_as_many_queries_for_many_weights_as_for_one(world: Any) -> None:
    client = signed_in(world.weigher)
    weigh(world, "1", 1000)
    with CaptureQueriesContext(connection) as few:
        client.get(at(world, "/weigh-board"))
    for peg in "1245":
        for net in range(2, 6):
            weigh(world, peg, 100, net=net)
    with CaptureQueriesContext(connection) as many:
        client.get(at(world, "/weigh-board"))
    assert len(many) == len(few)


def test_disagreements_hold_every_side_with_who_and_which_phone(world: Any) -> None:
    weigh(world, "1", 4250)
    weigh(world, "1", 4520, by=world.secretary)
    (row,) = signed_in(world.secretary).get(at(world, "/disagreements")).json()["disagreements"]
    assert (row["kind"], row["peg"], row["net"]) == ("two_weights", "1", 1)
    assert {(s["weight"], s["author"], s["device"]) for s in row["sides"]} == {
        (4250, "Tamsin Rook", "Desk"),
        (4520, "Idris Pell", "Desk"),
    }


def test_the_secretary_publishes_and_members_read_the_list(world: Any) -> None:
    weigh(world, "1", 4250)
    made = signed_in(world.secretary).post(
        at(world, "/bulletins"), {"confirmed": False}, content_type="application/json"
    )
    assert made.status_code == 201
    assert made.json()["url"] == "/board/otterbeck/june-open/1/"
    listed = signed_in(world.member).get(at(world, "/bulletins")).json()["bulletins"]
    assert listed == [made.json()]
    assert listed[0]["digest"] == Bulletin.objects.get().digest


def test_confirming_with_somebody_to_weigh_is_a_conflict_in_words(world: Any) -> None:
    answer = signed_in(world.secretary).post(
        at(world, "/bulletins"), {"confirmed": True}, content_type="application/json"
    )
    assert answer.status_code == 409
    assert answer.json()["detail"].startswith("Still to weigh: 1 Maud Ferris")


def test_a_correction_without_a_reason_points_at_the_reason(world: Any) -> None:
    client = signed_in(world.secretary)
    client.post(at(world, "/bulletins"), {}, content_type="application/json")
    weigh(world, "1", 100)
    answer = client.post(at(world, "/bulletins"), {}, content_type="application/json")
    assert answer.status_code == 400
    assert answer.json()["errors"][0]["pointer"] == "/reason"


@pytest.mark.parametrize(
    ("body", "pointer"),
    [
        ({"confirmed": "perhaps"}, "/confirmed"),
        ({"reason": "x" * 401}, "/reason"),
        ({"reason": {"a": 1}}, "/reason"),
        ({"confirm": True}, "/confirm"),
    ],
)
def test_a_body_that_does_not_fit_is_refused_with_a_pointer(
    world: Any, body: dict[str, Any], pointer: str
) -> None:
    answer = signed_in(world.secretary).post(
        at(world, "/bulletins"), body, content_type="application/json"
    )
    assert answer.status_code == 400
    assert answer.json()["errors"][0]["pointer"] == pointer
    assert Bulletin.objects.count() == 0


@pytest.mark.parametrize("raw", ["[]", "null", "7", '"x"', "{"])
def test_a_body_that_is_no_object_is_refused(world: Any, raw: str) -> None:
    answer = signed_in(world.secretary).post(
        at(world, "/bulletins"), raw, content_type="application/json"
    )
    assert answer.status_code == 400
    assert answer["Content-Type"] == "application/problem+json"


def test_a_person_is_told_which_teams_are_theirs_and_which_they_order_for(world: Any) -> None:
    def told(person: Any) -> list[tuple[str, bool]]:
        client = signed_in(person)
        found = client.get("/api/v1/teams").json()["teams"]
        assert {team["club"] for team in found} <= {"otterbeck"}
        return [(team["name"], team["orders"]) for team in found]

    assert told(world.captain) == [("Otterbeck Alders", True)]
    assert told(world.member) == [("Otterbeck Alders", False)]
    assert told(world.secretary) == [("Otterbeck Alders", True), ("Otterbeck Teals", True)]
    assert told(world.outsider) == []
