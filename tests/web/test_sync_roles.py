"""Who may log which fact, and whose it is."""

from __future__ import annotations

import json
from typing import Any

import pytest
from django.test import Client

from matches.models import (
    Disagreement,
    Fact,
    Match,
    Membership,
    Role,
)
from tests.web.pushing import PHONE, URL, fact, outcomes, pointers, push, ruling, words


@pytest.mark.parametrize(
    ("kind", "body", "allowed"),
    [
        ("weigh_in", None, {"secretary", "captain", "weigher", "member", "rival"}),
        ("signal", {"signal": "end"}, {"secretary", "weigher"}),
        ("peg_note", {"note": "deep"}, {"secretary", "captain", "weigher", "member", "rival"}),
    ],
)
@pytest.mark.parametrize("who", ["secretary", "captain", "weigher", "member", "rival", "outsider"])
def test_each_role_may_log_what_it_may(
    world: Any, kind: str, body: Any, allowed: set[str], who: str
) -> None:
    given = {"kind": kind} | ({"body": body} if body else {})
    (word,) = words(push(getattr(world, who), fact(world, 1, **given)))
    assert word == ("accepted" if who in allowed else "refused")
    assert Fact.objects.count() == (who in allowed)


@pytest.mark.parametrize("who", ["captain", "weigher", "member", "rival", "outsider"])
def test_only_the_secretary_rules(world: Any, who: str) -> None:
    push(world.weigher, fact(world, 1))
    push(world.rival, fact(world, 2))
    assert words(push(getattr(world, who), ruling(world, 3, fact(world, 2)["id"]))) == ["refused"]
    assert Disagreement.objects.get().ruling is None


def test_another_clubs_match_looks_like_no_match_at_all(world: Any) -> None:
    theirs = outcomes(push(world.outsider, fact(world, 1)))
    nobodys = outcomes(push(world.outsider, fact(world, 1, match="987654321")))
    assert theirs == nobodys
    assert (theirs[0]["outcome"], pointers(theirs[0])) == ("refused", ["/match"])
    assert not Fact.objects.exists()


def test_another_clubs_fact_looks_like_one_not_yet_here(world: Any) -> None:
    other = Match.objects.get()
    other.pk, other.club, other.slug = None, world.other_club, "away"
    other.save()
    assert words(push(world.outsider, fact(world, 1, match=other.pk, peg="9"))) == ["disagrees"]
    later = fact(world, 2, supersedes=fact(world, 1)["id"])
    assert words(push(world.weigher, later)) == ["waiting"]


def test_the_author_is_the_sessions_person_whatever_the_fact_says(world: Any) -> None:
    claimed = fact(world, 1, author={"id": str(world.secretary.pk), "name": "Idris Pell"}, cseq=77)
    assert words(push(world.member, claimed)) == ["accepted"]
    stored = Fact.objects.get()
    assert (stored.author, stored.cseq) == (world.member, 1)


def test_signed_out_is_a_401_problem(world: Any) -> None:
    body = {"protocol": 1, "device": str(PHONE), "facts": [fact(world, 1)]}
    response = Client().post(URL, json.dumps(body), content_type="application/json")
    assert (response.status_code, response.json()["type"]) == (401, "/problems/sign-in")
    assert response["Content-Type"] == "application/problem+json"
    assert not Fact.objects.exists()


def test_a_weigher_of_another_match_gives_no_signals_here(world: Any) -> None:
    other = Match.objects.get()
    other.pk, other.slug = None, "july-open"
    other.save()
    Membership.objects.create(club=world.club, person=world.rival, role=Role.WEIGHER, match=other)
    sign = {"kind": "signal", "peg": "", "body": {"signal": "end"}}
    there = fact(world, 2, match=other.pk, **sign)
    assert words(push(world.rival, fact(world, 1, **sign), there)) == ["refused", "accepted"]
