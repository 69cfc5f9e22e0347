"""What somebody tries who means no good: refused in words, in bounded time, and nothing leaks."""

from __future__ import annotations

import json
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client

from tests.clients import served
from tests.steps import steps_counted

JSON = "application/json"
DEEP = b"[" * 10_000 + b"]" * 10_000
DIGITS = "9" * 5_000
#: Ten times the input may take so many times the steps; what grows with its square takes a hundred.
STEEP = 12


@pytest.fixture(autouse=True)
def fresh_throttle() -> None:
    from django.core.cache import cache

    cache.clear()


def test_json_nested_too_deep_is_refused_where_bulletins_are_asked_for(world: Any) -> None:
    url = f"/api/v1/matches/{world.match.pk}/bulletins"
    answer = served(world.secretary).post(url, DEEP, content_type=JSON)
    assert answer.status_code == 400
    assert answer.json()["type"] == "/problems/malformed"


@pytest.mark.parametrize("field", ["note", "line"])
def test_half_a_character_in_a_plan_is_refused_at_its_place(world: Any, field: str) -> None:
    stage = {"kind": "feed", "end_minute": 60, "feeds": []}
    plan: dict[str, Any] = {"version": 0, "note": "", "stages": [stage]}
    (plan if field == "note" else stage)[field] = "\ud800"
    answer = served(world.member).put(
        f"/api/v1/matches/{world.match.pk}/plan", json.dumps(plan), content_type=JSON
    )
    assert answer.status_code == 400
    where = "/note" if field == "note" else "/stages/0/line"
    assert [e["pointer"] for e in answer.json()["errors"]] == [where]


def test_a_character_no_database_holds_is_refused_in_a_clubs_short_name(world: Any) -> None:
    answer = served(world.secretary).get("/api/v1/sync/facts?club=otter%00beck")
    assert answer.status_code == 404


@pytest.mark.parametrize(
    ("page", "typed"),
    [
        ("entrants/{entry}/", {"do": "status", "status": "disqualified", "why": "a\x00b"}),
        ("draw/", {"mode": "open", "reason": "a\x00b"}),
        ("publish/", {"reason": "a\x00b"}),
    ],
)
def test_a_character_no_database_holds_is_refused_in_a_reason(
    world: Any, page: str, typed: dict[str, str]
) -> None:
    from matches.models import AuditEntry, Bulletin, Draw, Match, MatchState

    Match.objects.filter(pk=world.match.pk).update(state=MatchState.DRAWN)
    client = served(world.secretary)
    base = f"/desk/matches/{world.match.pk}/"
    client.post(base + "publish/", {"reason": ""})
    Draw.objects.create(
        match=world.match, number=1, mode="team", seed="00" * 32, commitment="00" * 32
    )
    before = (AuditEntry.objects.count(), Bulletin.objects.count(), Draw.objects.count())
    answer = client.post(base + page.format(entry=world.entries["Wilmot"].pk), typed)
    assert answer.status_code in (200, 302, 400)
    assert before == (
        AuditEntry.objects.count(),
        Bulletin.objects.count(),
        Draw.objects.count(),
    )


def test_thousands_of_digits_are_no_net_and_no_row(world: Any) -> None:
    weigh = f"/desk/matches/{world.match.pk}/weigh/"
    answer = served(world.secretary).post(weigh, {"peg": "1", "net": DIGITS, "kg": "1"})
    assert answer.status_code == 400
    plan = served(world.member).post(
        f"/desk/plans/{world.match.pk}/",
        {"version": DIGITS, "do": f"drop-stage-{DIGITS}", "stage-0-kind": "feed"},
    )
    assert plan.status_code == 200


def faults_took(count: int) -> int:
    body = b'{"sections":[' + b"0," * count + b"0]}"
    with steps_counted() as steps:
        answer = Client().post("/api/v1/reckon/placings", body, content_type=JSON)
    assert answer.status_code == 400
    assert len(answer.content) < 200_000
    return steps.taken


def test_ten_times_the_faults_take_about_ten_times_the_steps(db: None) -> None:
    faults_took(1)  # what is loaded once is loaded
    assert faults_took(200_000) < STEEP * faults_took(20_000)


def order_ask(**parts: Any) -> Any:
    body = {"suppliers": [{"id": "s"}], "compare_alone": False, **parts}
    return Client(raise_request_exception=False).post(
        "/api/v1/reckon/order", json.dumps(body), content_type=JSON
    )


def reading_took(demands: int) -> int:
    demand = {"member": "m", "bait": "b", "amount": "1", "unit": "L"}
    packs = [
        {"id": str(n), "supplier": "s", "bait": "b", "amount": "0.1", "unit": "L", "price": "1"}
        for n in range(demands * 2 // 5)
    ]
    # More packs would be needed than may be asked for, so that nothing is worked out.
    with steps_counted() as steps:
        answer = order_ask(demands=[{**demand, "amount": "99999"}] * demands, packs=packs)
    assert answer.status_code == 400
    return steps.taken


def test_as_many_demands_and_packs_as_are_taken_are_read_in_as_many_steps(db: None) -> None:
    reading_took(5)
    assert reading_took(5_000) < STEEP * reading_took(500)


def test_two_thousand_packs_of_one_bait_are_worked_out(db: None) -> None:
    packs = [
        {
            "id": str(n),
            "supplier": "s",
            "bait": "b",
            "amount": f"{1 + n}",
            "unit": "L",
            "price": f"{1 + n}.{n % 100:02d}",
        }
        for n in range(2_000)
    ]
    demand = {"member": "m", "bait": "b", "amount": "9", "unit": "L"}
    answer = order_ask(demands=[demand], packs=packs)
    assert answer.status_code == 200
    assert answer.json()["total"] == "9.00"  # nine of the pack at 1.00, the only one without pence


def test_a_juniors_name_stays_with_those_who_weigh(world: Any) -> None:
    angler = world.entries["Wilmot"].angler
    angler.junior = True
    angler.save()
    fact: dict[str, Any] = {
        "id": str(uuid4()),
        "device": str(uuid4()),
        "seq": 1,
        "kind": "weigh_in",
        "match": str(world.match.pk),
        "peg": "4",
        "recorded_at": "2026-06-20T12:00:00Z",
        "body": {"net": 1, "weight": 900, "unit": "g", "witness": None},
    }
    push: dict[str, Any] = {"protocol": 1, "device": fact["device"], "facts": [fact]}
    served(world.member).post("/api/v1/sync/facts", json.dumps(push), content_type=JSON)
    url = f"/api/v1/sync/facts?match={world.match.pk}"
    seen = {
        who: served(getattr(world, who)).get(url).json()["facts"][0]["author"]["name"]
        for who in ("rival", "weigher", "member")
    }
    assert seen == {"rival": "W. C.", "weigher": "Wilmot Crane", "member": "Wilmot Crane"}
    told = {}
    for weight, who in enumerate(("rival", "weigher"), 901):
        fact |= {"id": str(uuid4()), "body": {**fact["body"], "weight": weight}}
        push["facts"] = [fact]
        answer = served(getattr(world, who)).post(
            "/api/v1/sync/facts", json.dumps(push), content_type=JSON
        )
        rivals = answer.json()["outcomes"][0]["rivals"]
        told[who] = [rival["author"] for rival in rivals if rival["author"][0] == "W"]
    assert told == {"rival": ["W. C."], "weigher": ["Wilmot Crane"]}
