"""Pools in a bulletin: who won what by public names, and what of it changed since."""

from __future__ import annotations

from typing import Any

import pytest
from django.test import Client

from matches.models import Angler
from tests.fished import publish, weigh, weigh_all
from tests.matches.pooled import pool

pytestmark = pytest.mark.django_db

AT = "/board/otterbeck/june-open/"


def read(address: str) -> str:
    return Client(HTTP_HOST="localhost").get(AT + address).content.decode()


def test_a_match_without_pools_says_nothing_of_money(world: Any) -> None:
    weigh_all(world)
    body = publish(world).body
    assert "pools" not in body and "currency" not in body
    assert "Pools" not in read("")


def test_the_page_and_the_message_say_who_won_what(world: Any) -> None:
    pool(world, **{"place-1": "10", "rest_to": "the junior section"})
    weigh_all(world)
    (shown,) = publish(world).body["pools"]
    winner = shown["payments"][0]["angler"]
    page = read("")
    assert f"<b>{winner}</b>" in page and "£10.00" in page
    assert "£10.00 nobody won: the junior section" in page
    assert f"{shown['name']}: {winner} £10.00" in read("1/result.txt")


def test_a_junior_wins_by_initials(world: Any) -> None:
    pool(world, **{"place-1": "10"})
    weigh_all(world)
    name = publish(world).body["pools"][0]["payments"][0]["angler"]
    Angler.objects.filter(name=name).update(junior=True)
    publish(world, reason="By initials, as the guardian asked.")
    assert name not in read("2/result.txt") and f"<b>{name}</b>" not in read("2/")


def test_what_a_pool_pays_is_told_when_it_changes(world: Any) -> None:
    pool(world, **{"place-1": "10"})
    weigh_all(world)
    first = publish(world)
    winner = first.body["pools"][0]["payments"][0]["angler"]
    loser = next(i for i in reversed(first.body["individuals"]) if i["angler"] != winner)
    weighed = world.match.weigh_ins.get(section_peg__peg__number=loser["peg"], stands=True)
    weigh(world, loser["peg"], 90_000, by=world.secretary, supersedes=weighed.fact_id)
    second = publish(world, reason="The sheet was read wrongly.")
    change = next(c for c in second.body["changes"] if c["kind"] == "pool")
    assert (change["what"], change["before"]) == ("pays", [[winner, 1000]])
    assert change["after"] == [[loser["angler"], 1000]]
    assert f"<ins>{loser['angler']} 10.00</ins>" in read("")
