"""Facts handed in over HTTP: what is stored, what is said of each, and what is refused."""

from __future__ import annotations

import datetime as dt
import gzip
import json
from typing import Any

import pytest
from django.test import Client

from matches.models import (
    Device,
    Fact,
    Match,
    MatchState,
    WeighIn,
)
from tests.clients import signed_in
from tests.web.pushing import PHONE, URL, fact, outcomes, pointers, push, words

# ---- stored ------------------------------------------------------------------------------------


def test_a_weigh_in_is_stored_numbered_and_stands(world: Any) -> None:
    (outcome,) = outcomes(push(world.weigher, fact(world, 41)))
    assert outcome == {"id": fact(world, 41)["id"], "outcome": "accepted", "cseq": 1}
    stored = Fact.objects.get()
    assert (stored.author, stored.cseq, stored.seq, stored.device) == (world.weigher, 1, 41, PHONE)
    assert stored.recorded_at == dt.datetime(2026, 6, 20, 13, 5, 11, 250_000, dt.UTC)
    standing = WeighIn.objects.get()
    assert (standing.section_peg, standing.net, standing.weight, standing.stands) == (
        world.pegs["1"],
        1,
        4100,
        True,
    )
    assert Device.objects.get(pk=PHONE).person == world.weigher


def test_the_same_fact_again_is_a_duplicate_with_the_first_number(world: Any) -> None:
    push(world.weigher, fact(world, 1))
    (outcome,) = outcomes(push(world.weigher, fact(world, 1)))
    assert outcome == {"id": fact(world, 1)["id"], "outcome": "duplicate", "cseq": 1}
    assert Fact.objects.count() == WeighIn.objects.count() == 1


@pytest.mark.fault("same id with other content")
def test_the_same_id_with_other_content_clashes_and_the_first_is_kept(world: Any) -> None:
    push(world.weigher, fact(world, 1))
    (outcome,) = outcomes(push(world.weigher, fact(world, 1, peg="2")))
    assert outcome["outcome"] == "clash"
    assert pointers(outcome) == ["/id"]
    assert Fact.objects.get().peg == "1"


def test_a_fact_twice_in_one_batch_is_stored_once(world: Any) -> None:
    batch = [fact(world, 1), fact(world, 1), fact(world, 1, peg="2"), fact(world, 2, peg="2")]
    assert words(push(world.weigher, *batch)) == ["accepted", "duplicate", "clash", "accepted"]
    assert list(Fact.objects.values_list("cseq", flat=True)) == [1, 2]


def test_the_first_weigh_in_moves_a_drawn_match_to_weighing(world: Any) -> None:
    Match.objects.update(state=MatchState.DRAWN)
    push(world.member, fact(world, 1, kind="peg_note", body={"depth_cm": 180, "note": ""}))
    assert Match.objects.get().state == MatchState.DRAWN
    push(world.member, fact(world, 2))
    assert Match.objects.get().state == MatchState.WEIGHING


def test_every_kind_is_accepted(world: Any) -> None:
    notes = [
        fact(world, 1, kind="feed_note", body={"bait": "caster", "amount": "0.25", "unit": "pint"}),
        fact(world, 2, kind="fish_note", body={"species": "roach", "count": 2, "weight": 120}),
        fact(
            world,
            3,
            kind="peg_note",
            body={"float_run": {"distance_cm": 500, "ms": 9000}, "rig_settles_cm": 40},
        ),
        fact(world, 4, kind="signal", peg="", body={"signal": "start"}),
        fact(world, 5, kind="weigh_in"),
        fact(world, 6, kind="scratch", supersedes=fact(world, 5)["id"], body={"why": "peg 2"}),
        fact(world, 7, kind="line_note", body={"line": "short"}),
    ]
    assert words(push(world.weigher, *notes)) == ["accepted"] * 7
    assert not WeighIn.objects.exists()


# ---- one bad fact ------------------------------------------------------------------------------

BAD = [
    ("no object", lambda f: [f], [""]),
    ("null", lambda f: None, [""]),
    ("a word", lambda f: "weigh_in", [""]),
    ("id not a uuid", lambda f: f | {"id": "41"}, ["/id"]),
    ("id with braces", lambda f: f | {"id": "{" + f["id"] + "}"}, ["/id"]),
    ("id half a character", lambda f: f | {"id": "\ud800"}, ["/id"]),
    ("id a number", lambda f: f | {"id": 41}, ["/id"]),
    ("device missing", lambda f: {k: v for k, v in f.items() if k != "device"}, ["/device"]),
    ("seq 0", lambda f: f | {"seq": 0}, ["/seq"]),
    ("seq true", lambda f: f | {"seq": True}, ["/seq"]),
    ("seq half", lambda f: f | {"seq": 1.5}, ["/seq"]),
    ("seq too large", lambda f: f | {"seq": 2**31}, ["/seq"]),
    ("kind unknown", lambda f: f | {"kind": "guess"}, ["/kind"]),
    ("kind a list", lambda f: f | {"kind": ["weigh_in"]}, ["/kind"]),
    ("match missing", lambda f: {k: v for k, v in f.items() if k != "match"}, ["/match"]),
    ("match 0", lambda f: f | {"match": 0}, ["/match"]),
    ("match true", lambda f: f | {"match": True}, ["/match"]),
    ("match huge", lambda f: f | {"match": "9" * 40}, ["/match"]),
    ("match in other digits", lambda f: f | {"match": "٣"}, ["/match"]),
    ("peg a number", lambda f: f | {"peg": 12}, ["/peg"]),
    ("peg too long", lambda f: f | {"peg": "123456789"}, ["/peg"]),
    ("peg with a null byte", lambda f: f | {"peg": "1\x00"}, ["/peg"]),
    ("peg with a bell", lambda f: f | {"peg": "1\x07"}, ["/peg"]),
    ("peg half a character", lambda f: f | {"peg": "\udfff"}, ["/peg"]),
    ("weigh-in without peg", lambda f: f | {"peg": ""}, ["/peg"]),
    ("time without zone", lambda f: f | {"recorded_at": "2026-06-20T13:05:11"}, ["/recorded_at"]),
    ("no such day", lambda f: f | {"recorded_at": "2026-02-30T13:05:11Z"}, ["/recorded_at"]),
    ("year 1", lambda f: f | {"recorded_at": "0001-01-01T00:00:00+14:00"}, ["/recorded_at"]),
    ("time a number", lambda f: f | {"recorded_at": 1_781_960_711}, ["/recorded_at"]),
    ("offset absurd", lambda f: f | {"clock_offset_ms": 10**30}, ["/clock_offset_ms"]),
    ("offset false", lambda f: f | {"clock_offset_ms": False}, ["/clock_offset_ms"]),
    ("supersedes itself", lambda f: f | {"supersedes": f["id"]}, ["/supersedes"]),
    ("supersedes no uuid", lambda f: f | {"supersedes": ""}, ["/supersedes"]),
    ("unknown key", lambda f: f | {"colour": "red"}, ["/colour"]),
    ("key with a slash", lambda f: f | {"a/b~c": 1}, ["/a~1b~0c"]),
    ("no body", lambda f: f | {"body": None}, ["/body"]),
    ("net 0", lambda f: f | {"body": f["body"] | {"net": 0}}, ["/body/net"]),
    ("net 10", lambda f: f | {"body": f["body"] | {"net": 10}}, ["/body/net"]),
    ("net true", lambda f: f | {"body": f["body"] | {"net": True}}, ["/body/net"]),
    ("weight below 0", lambda f: f | {"body": f["body"] | {"weight": -1}}, ["/body/weight"]),
    (
        "weight above all",
        lambda f: f | {"body": f["body"] | {"weight": 2_000_001}},
        ["/body/weight"],
    ),
    ("weight words", lambda f: f | {"body": f["body"] | {"weight": "4.2"}}, ["/body/weight"]),
    ("weight half", lambda f: f | {"body": f["body"] | {"weight": 4.5}}, ["/body/weight"]),
    ("weight infinite", lambda f: f | {"body": f["body"] | {"weight": float("1e999")}}, None),
    (
        "witness who turns the text round",
        lambda f: f | {"body": f["body"] | {"witness": "Nessa \u202eKnoc"}},
        ["/body/witness"],
    ),
    ("unit drams", lambda f: f | {"body": f["body"] | {"unit": "dr"}}, ["/body/unit"]),
    ("unit stones", lambda f: f | {"body": f["body"] | {"unit": "st"}}, ["/body/unit"]),
    ("unknown body key", lambda f: f | {"body": f["body"] | {"fish": 3}}, ["/body/fish"]),
    ("witness a list", lambda f: f | {"body": f["body"] | {"witness": []}}, ["/body/witness"]),
    (
        "two faults at once",
        lambda f: f | {"seq": 0, "peg": 1},
        ["/seq", "/peg"],
    ),
    (
        "bait unknown",
        lambda f: f | {"kind": "feed_note", "body": {"bait": "x", "amount": "1", "unit": "pint"}},
        ["/body/bait"],
    ),
    (
        "amount a float",
        lambda f: (
            f | {"kind": "feed_note", "body": {"bait": "hemp", "amount": 0.5, "unit": "pint"}}
        ),
        ["/body/amount"],
    ),
    (
        "feed unit unknown",
        lambda f: f | {"kind": "feed_note", "body": {"bait": "hemp", "amount": "1", "unit": "cup"}},
        ["/body/unit"],
    ),
    (
        "no fish counted",
        lambda f: f | {"kind": "fish_note", "body": {"species": "roach", "count": 0}},
        ["/body/count"],
    ),
    (
        "notes with controls",
        lambda f: (
            f | {"kind": "peg_note", "body": {"note": "weed\x1b[2J", "snags": "\u2066branch"}}
        ),
        ["/body/snags", "/body/note"],
    ),
    (
        "line that is no name",
        lambda f: f | {"kind": "line_note", "body": {"line": None}},
        ["/body/line"],
    ),
    (
        "float run of no time",
        lambda f: f | {"kind": "peg_note", "body": {"float_run": {"distance_cm": 500, "ms": 0}}},
        ["/body/float_run/ms"],
    ),
    (
        "unknown signal",
        lambda f: f | {"kind": "signal", "body": {"signal": "go"}},
        ["/body/signal"],
    ),
    ("scratch of nothing", lambda f: f | {"kind": "scratch", "body": {"why": ""}}, ["/supersedes"]),
]


@pytest.mark.fault("poison fact")
@pytest.mark.parametrize(("spoil", "where"), [b[1:] for b in BAD], ids=[b[0] for b in BAD])
def test_one_bad_fact_is_refused_and_the_others_stored(world: Any, spoil: Any, where: Any) -> None:
    batch = [fact(world, 1), spoil(fact(world, 2)), fact(world, 3, peg="2")]
    response = push(world.weigher, *batch)
    if where is None:  # written as Infinity, which is no JSON
        assert (response.status_code, Fact.objects.count()) == (400, 0)
        return
    first, bad, last = outcomes(response)
    assert (first["outcome"], bad["outcome"], last["outcome"]) == (
        "accepted",
        "refused",
        "accepted",
    )
    assert pointers(bad) == where
    assert (first["cseq"], last["cseq"]) == (1, 2)
    assert Fact.objects.count() == 2


def test_a_key_twice_in_one_fact_refuses_that_fact_alone(world: Any) -> None:
    good, bad = json.dumps(fact(world, 1)), json.dumps(fact(world, 2))
    bad = bad.replace('"weight": 200', '"weight": 200, "weight": 300')
    raw = f'{{"protocol": 1, "device": "{PHONE}", "facts": [{good}, {bad}]}}'
    response = signed_in(world.weigher).post(URL, raw, content_type="application/json")
    assert words(response) == ["accepted", "refused"]
    assert pointers(outcomes(response)[1]) == ["/body"]


def test_what_supersedes_another_kind_or_match_is_refused(world: Any) -> None:
    note = fact(world, 1, kind="peg_note", body={"note": "deep"})
    push(world.weigher, note)
    (outcome,) = outcomes(push(world.weigher, fact(world, 2, supersedes=note["id"])))
    assert (outcome["outcome"], pointers(outcome)) == ("refused", ["/supersedes"])


# ---- the whole request -------------------------------------------------------------------------


@pytest.mark.fault("body cut short")
@pytest.mark.parametrize(
    ("raw", "status", "kind"),
    [
        (b"", 400, "bad-input"),
        (b"{", 400, "malformed"),
        (b'{"protocol":1,"facts":[{"id":"0189', 400, "malformed"),
        (b"\xff\xfe", 400, "malformed"),
        (b"NaN", 400, "malformed"),
        (b'{"protocol":NaN}', 400, "malformed"),
        (b"[" * 200_000, 400, "malformed"),
        (b'{"a":' * 40_000, 400, "malformed"),
        (b"[" * 400 + b"]" * 400, 400, "bad-input"),
        (b"1" * 10_000, 400, "malformed"),
        (b"null", 400, "bad-input"),
        (b"[]", 400, "bad-input"),
        (b" " * 262_145, 413, "too-large"),
        (b" " * 2_000_000, 413, "too-large"),
    ],
)
def test_a_body_that_cannot_be_read_is_a_problem_and_stores_nothing(
    world: Any, raw: bytes, status: int, kind: str
) -> None:
    response = signed_in(world.weigher).post(URL, raw, content_type="application/json")
    assert (response.status_code, response.json()["type"]) == (status, f"/problems/{kind}")
    assert response["Content-Type"] == "application/problem+json"
    assert not Fact.objects.exists()


@pytest.mark.parametrize(
    ("envelope", "where"),
    [
        ({"protocol": 2}, ["/protocol"]),
        ({"protocol": True}, ["/protocol"]),
        ({"protocol": "1"}, ["/protocol"]),
        ({"device": "phone"}, ["/device"]),
        ({"app": 3}, ["/app"]),
        ({"facts": {}}, ["/facts"]),
        ({"more": 1}, ["/more"]),
    ],
)
def test_an_envelope_that_does_not_fit_is_refused_with_pointers(
    world: Any, envelope: dict[str, Any], where: list[str]
) -> None:
    response = push(world.weigher, fact(world, 1), **envelope)
    assert response.status_code == 400
    assert [e["pointer"] for e in response.json()["errors"]] == where
    assert not Fact.objects.exists()


def test_more_than_500_facts_are_to_be_halved(world: Any) -> None:
    response = push(world.weigher, *[0] * 501)
    assert (response.status_code, response.json()["errors"][0]["pointer"]) == (413, "/facts")


def test_an_empty_batch_is_answered(world: Any) -> None:
    assert words(push(world.weigher)) == []


def gzipped(client: Client, packed: bytes, encoding: str = "gzip") -> Any:
    return client.post(
        URL, packed, content_type="application/json", headers={"Content-Encoding": encoding}
    )


@pytest.mark.fault("gzip bomb")
def test_gzip_is_accepted_and_bounded_after_unpacking(world: Any) -> None:
    client = signed_in(world.weigher)
    plain = json.dumps({"protocol": 1, "device": str(PHONE), "facts": [fact(world, 1)]}).encode()
    assert words(gzipped(client, gzip.compress(plain))) == ["accepted"]
    bomb = gzip.compress(b" " * 50_000_000)
    assert len(bomb) < 60_000
    assert gzipped(client, bomb).status_code == 413
    for broken in (gzip.compress(plain)[:-9], gzip.compress(plain) + b"x", plain, b""):
        assert gzipped(client, broken).status_code == 400
    assert gzipped(client, plain, "br").status_code == 415
    assert Fact.objects.count() == 1


def test_other_media_types_are_named(world: Any) -> None:
    response = signed_in(world.weigher).post(URL, "protocol=1", content_type="text/plain")
    assert (response.status_code, response.json()["type"]) == (415, "/problems/media-type")


def test_without_a_csrf_token_nothing_is_stored(world: Any) -> None:
    client = Client(enforce_csrf_checks=True)
    client.force_login(world.weigher)
    body = {"protocol": 1, "device": str(PHONE), "facts": [fact(world, 1)]}
    send = {"data": json.dumps(body), "content_type": "application/json"}
    assert client.post(URL, **send).status_code == 403
    assert not Fact.objects.exists()
    token = client.get("/api/v1/me").cookies["csrftoken"].value
    assert words(client.post(URL, **send, headers={"X-CSRFToken": token})) == ["accepted"]


def test_a_phone_that_calls_often_is_noted_once_a_minute_and_with_each_new_build(
    world: Any,
) -> None:
    push(world.member, fact(world, 1))
    first = Device.objects.get().last_seen_at
    push(world.member, fact(world, 2))
    assert Device.objects.get().last_seen_at == first
    push(world.member, fact(world, 3), app="b2")
    noted = Device.objects.get()
    assert (noted.app_build, noted.last_seen_at > first) == ("b2", True)
    Device.objects.update(last_seen_at=first - dt.timedelta(minutes=2))
    push(world.member, fact(world, 4), app="b2")
    assert Device.objects.get().last_seen_at > first
    push(world.rival, fact(world, 5), app="b9")
    assert Device.objects.get().app_build == "b2"


# ---- speed -------------------------------------------------------------------------------------


@pytest.mark.parametrize("kind", ["weigh_in", "peg_note"])
def test_fifty_facts_take_as_many_queries_as_one(
    world: Any, kind: str, django_assert_num_queries: Any
) -> None:
    expected = {"weigh_in": 22, "peg_note": 15}[kind]
    client = signed_in(world.weigher)
    first = {"protocol": 1, "device": str(PHONE), "app": "b1", "facts": [fact(world, 999, peg="5")]}
    client.post(URL, json.dumps(first), content_type="application/json")
    for size in (1, 50):
        facts = [
            fact(
                world,
                size + n,
                kind=kind,
                peg=str([1, 2, 4][n % 3]),
                body={"net": n % 9 + 1, "weight": 5, "unit": "g"}
                if kind == "weigh_in"
                else {"note": "x"},
            )
            for n in range(size)
        ]
        body = {"protocol": 1, "device": str(PHONE), "app": "b1", "facts": facts}
        with django_assert_num_queries(expected):
            response = client.post(URL, json.dumps(body), content_type="application/json")
        assert words(response) == ["accepted"] * size
