"""Baits, shops, plans and orders over the API, as each role meets them."""

from __future__ import annotations

import uuid
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from bait.models import Bait, Pack, PackBreak, Plan
from bait.writes.orders import order_version_make
from tests.bait.conftest import lot_in
from tests.clients import signed_in

PROBLEM = "application/problem+json"


def raw(version: int = 0, **changes: Any) -> dict[str, Any]:
    return {
        "version": version,
        "spare_percent": 10,
        "stages": [
            {
                "kind": "feed",
                "start_minute": 0,
                "end_minute": 300,
                "every_seconds": 240,
                "feeds": [{"bait": "caster", "amount": "0.04", "unit": "pint"}],
            }
        ],
        **changes,
    }


def put(client: Client, address: str, body: Any) -> Any:
    return client.put(address, body, content_type="application/json")


@pytest.fixture
def plan_url(world: Any) -> str:
    return f"/api/v1/matches/{world.match.pk}/plan"


@pytest.fixture
def order_url(world: Any) -> str:
    return f"/api/v1/teams/{world.alders.pk}/matches/{world.match.pk}/order"


def test_baits_and_shops_are_those_of_ones_clubs(world: Any) -> None:
    Bait.objects.filter(key="hemp").update(bulk_density_kg_per_l="0.7")
    client = signed_in(world.member)
    assert client.get("/api/v1/baits").json() == {
        "baits": [
            {
                "club": "otterbeck",
                "key": "caster",
                "name": "Caster",
                "kind": "animal",
                "unit": "pint",
                "bulk_density_kg_per_l": None,
            },
            {
                "club": "otterbeck",
                "key": "hemp",
                "name": "Hemp",
                "kind": "particle",
                "unit": "pint",
                "bulk_density_kg_per_l": "0.7",
            },
        ]
    }
    (shop,) = client.get("/api/v1/shops").json()["shops"]
    assert (shop["name"], shop["delivery_fee"], shop["currency"]) == ("Hobday's Hut", "0.00", "GBP")
    assert shop["packs"][0] == {
        "id": str(world.packs["caster"].pk),
        "bait": "caster",
        "amount": "1",
        "unit": "pint",
        "price": "4.20",
        "breaks": [{"from_packs": 10, "price": "3.80"}],
        "max_packs": None,
    }
    outsider = signed_in(world.outsider)
    assert outsider.get("/api/v1/baits").json() == {"baits": []}
    assert outsider.get("/api/v1/shops").json() == {"shops": []}


def test_a_plan_goes_in_and_comes_out_with_what_it_comes_to(world: Any, plan_url: str) -> None:
    client = signed_in(world.member)
    before = client.get(plan_url).json()
    assert before == {
        "plan": {
            "version": 0,
            "note": "",
            "spare_percent": 0,
            "mixes": [],
            "stages": [],
            "substitutes": [],
        },
        "totals": [],
        "limits": [],
    }
    answer = put(client, plan_url, raw())
    assert answer.status_code == 200
    # 75 throws of 0.04 pint are 3 pints, with a tenth to spare 3.3: 1.875262125 L.
    assert answer.json()["totals"] == [
        {"bait": "caster", "name": "Caster", "planned": "3", "with_spare": "3.3", "unit": "pint"}
    ]
    assert answer.json()["limits"] == [
        {
            "limit": "groundbait",
            "allowed_l": "20",
            "used_l": "0",
            "within": True,
            "unjudged": [],
        },
        {
            "limit": "bait",
            "allowed_l": "2.5",
            "used_l": "1.8753",
            "within": True,
            "unjudged": [],
        },
    ]
    assert client.get(plan_url).json() == answer.json()
    again = put(client, plan_url, answer.json()["plan"])  # as it was given out
    assert (again.status_code, again.json()["plan"]["version"]) == (200, 2)


def test_a_whole_plan_goes_in_as_it_comes_out(world: Any, plan_url: str) -> None:
    part = {"bait": "hemp", "name": "Hemp", "amount": "2", "unit": "L", "after_rest": False}
    feed = {"bait": "caster", "name": "Caster", "amount": "1", "unit": "pouch"}
    mix = {
        "name": "base",
        "rest_minutes": 25,
        "water_per_dry": "0.45",
        "swell": "1",
        "squeeze": "0.7",
        "packing": "0.6",
        "film_mm": "0.4",
        "parts": [part],
    }
    stage = {"line": "long", "start_minute": -10, "end_minute": 0, "every_seconds": None}
    balls = {"count": 8, "mm": 80, "mix": "base"}
    plan = {
        "version": 0,
        "note": "",
        "spare_percent": 0,
        "mixes": [mix],
        "stages": [{"kind": "opening", **stage, "note": "", "balls": balls, "feeds": [feed]}],
        "substitutes": [{"bait": "caster", "instead": "hemp"}],
    }
    client = signed_in(world.member)
    answer = put(client, plan_url, plan)
    assert (answer.status_code, answer.json()["plan"]) == (200, {**plan, "version": 1})
    assert answer.json()["totals"][0]["planned"] == "0.0704"  # 40 ml of a pint, rounded up
    again = put(client, plan_url, answer.json()["plan"])
    assert again.json()["plan"] == {**plan, "version": 2}


@pytest.mark.parametrize(
    ("who", "get", "save"),
    [
        ("member", 200, 200),
        ("captain", 200, 200),
        ("rival", 200, 200),
        ("secretary", 404, 404),
        ("weigher", 404, 404),
        ("outsider", 404, 404),
    ],
)
def test_own_plans_are_for_those_entered(
    world: Any, plan_url: str, who: str, get: int, save: int
) -> None:
    client = signed_in(getattr(world, who))
    assert client.get(plan_url).status_code == get
    answer = put(client, plan_url, raw())
    assert answer.status_code == save
    if save != 200:
        assert answer["Content-Type"] == PROBLEM
        assert not Plan.objects.exists()


@pytest.mark.parametrize(
    ("path", "value", "pointer"),
    [
        (("stages", 0, "feeds", 0, "unit"), "kg", "/stages/0/feeds/0/unit"),
        (("stages", 0, "feeds", 0, "bait"), "bloodworm", "/stages/0/feeds/0/bait"),
        (("stages", 0, "feeds", 0, "amount"), "-1", "/stages/0/feeds/0/amount"),
        (("stages", 0, "feeds", 0, "amount"), "90000", "/stages/0/feeds/0/amount"),
        (("stages", 0, "feeds", 0, "amount"), 1.5, "/stages/0/feeds/0/amount"),
        (("stages", 0, "feeds", 0, "amount"), "1e3", "/stages/0/feeds/0/amount"),
        (("stages", 0, "every_seconds"), 0, "/stages/0/every_seconds"),
        (("stages", 0, "every_seconds"), 1, "/stages/0/every_seconds"),
        (("stages", 0, "end_minute"), -50, "/stages/0/end_minute"),
        (("stages", 0, "end_minute"), 331, "/stages/0/end_minute"),
        (("stages", 0, "balls"), {"count": 8, "mm": 80, "mix": "x"}, "/stages/0/balls/mix"),
        (("stages", 0, "balls"), {"count": 0, "mm": 80, "mix": ""}, "/stages/0/balls/count"),
        (("stages",), raw()["stages"] * 2, "/stages/1/start_minute"),
        (("stages",), [{}] * 31, "/stages"),
        (("mixes",), [{"name": "a", "parts": []}], "/mixes/0/parts"),
        (("mixes",), [{"name": "a"}], "/mixes/0/parts"),
        (("mixes",), [{}] * 7, "/mixes"),
        (("mixes",), None, "/mixes"),
        (("substitutes",), [{"bait": "caster", "instead": "eel"}], "/substitutes/0/instead"),
        (("substitutes",), [{"bait": "hemp", "instead": "caster"}] * 2, "/substitutes/1/bait"),
        (("colour",), "red", "/colour"),
    ],
)
def test_a_bad_plan_says_where_and_changes_nothing(
    world: Any, plan_url: str, path: tuple[Any, ...], value: Any, pointer: str
) -> None:
    body: Any = raw()
    at = body
    for key in path[:-1]:
        at = at[key]
    at[path[-1]] = value
    answer = put(signed_in(world.member), plan_url, body)
    assert answer.status_code == 400
    assert answer["Content-Type"] == PROBLEM
    assert pointer in [error["pointer"] for error in answer.json()["errors"]]
    assert not Plan.objects.exists()


def test_a_plan_changed_meanwhile_conflicts(world: Any, plan_url: str) -> None:
    client = signed_in(world.member)
    put(client, plan_url, raw())
    answer = put(client, plan_url, raw(note="late"))
    assert (answer.status_code, answer.json()["type"]) == (409, "/problems/conflict")
    assert Plan.objects.get().note == ""


@pytest.mark.parametrize("body", ["{", "[]", "null", '{"version":1,"version":2}', "\xff"])
def test_what_is_no_plan_at_all_is_a_problem(world: Any, plan_url: str, body: str) -> None:
    answer = put(signed_in(world.member), plan_url, body.encode("latin-1"))
    assert (answer.status_code, answer["Content-Type"]) == (400, PROBLEM)


def _asked(world: Any, order_url: str) -> str:
    answer = signed_in(world.captain).post(f"{order_url}/work")
    assert answer.status_code == 202
    return str(answer.json()["id"])


def test_an_order_goes_from_request_to_version(world: Any, order_url: str, plan_url: str) -> None:
    client = signed_in(world.captain)
    assert client.get(order_url).json() == {
        "current": None,
        "placed": None,
        "work": None,
        "versions": [],
    }
    refused = client.post(f"{order_url}/work")
    assert (refused.status_code, refused.json()["type"]) == (409, "/problems/conflict")
    put(signed_in(world.member), plan_url, raw())
    work = _asked(world, order_url)
    waiting = client.get(f"/api/v1/work/{work}")
    assert waiting["Cache-Control"] == "no-store"
    assert (waiting.json()["state"], waiting.json()["percent"]) == ("waiting", 0)
    order_version_make(uuid.UUID(work))
    assert client.get(f"/api/v1/work/{work}").json() == {
        "id": work,
        "state": "done",
        "percent": 100,
        "progress": "",
        "problem": "",
    }
    body = client.get(order_url).json()
    current = body["current"]
    assert (current["number"], current["status"], current["total"]) == (1, "optimal", "16.80")
    assert current["stale"] is False
    assert current["lines"] == [
        {
            "shop": "Hobday's Hut",
            "bait": "caster",
            "pack_amount": "1",
            "unit": "pint",
            "packs": 4,
            "unit_price": "4.20",
            "cost": "16.80",
        }
    ]
    assert current["shares"] == [{"member": "Wilmot Crane", "due": "16.80", "alone": "16.80"}]
    assert [version["number"] for version in body["versions"]] == [1]
    lot_in(world)
    assert client.get(order_url).json()["current"]["stale"] is True


def test_another_teams_or_matchs_order_is_not_there(world: Any) -> None:
    client = signed_in(world.captain)
    for address in (
        f"/api/v1/teams/{world.teals.pk}/matches/{world.match.pk}/order",
        f"/api/v1/teams/999999/matches/{world.match.pk}/order",
        f"/api/v1/teams/{world.alders.pk}/matches/999999/order",
    ):
        assert client.get(address).status_code in (403, 404)
        assert client.post(f"{address}/work").status_code in (403, 404)


def test_lists_take_as_many_queries_for_many_as_for_one(world: Any) -> None:
    client = signed_in(world.member)

    def queries(address: str) -> int:
        with CaptureQueriesContext(connection) as seen:
            assert client.get(address).status_code == 200
        return len(seen)

    addresses = ["/api/v1/baits", "/api/v1/shops"]
    few = [queries(address) for address in addresses]
    for n in range(50):
        bait = Bait.objects.create(
            club=world.club, key=f"b{n}", name=f"Bait {n}", kind="other", unit="kg"
        )
        pack = Pack.objects.create(
            shop=world.shops["hut"], bait=bait, key=f"b{n}", amount=1, unit="kg", price_pence=1
        )
        PackBreak.objects.create(pack=pack, from_packs=5, price_pence=1)
    assert [queries(address) for address in addresses] == few
    assert few == [3, 5]
