"""Facts given out: in the club's order, a page at a time, and never another club's."""

from __future__ import annotations

import uuid
from typing import Any

import pytest
from django.test import Client
from django.utils import timezone

from matches.models import Club, Fact, Match, Membership
from matches.writes.facts import facts_store, match_body_checks
from tests.clients import signed_in

URL = "/api/v1/sync/facts"
PHONE = "01890a5d-ac96-7000-8000-00000000beef"


def notes_store(person: Any, match: Any, *, count: int, start: int = 1) -> None:
    facts = [
        {
            "id": str(uuid.uuid5(uuid.NAMESPACE_URL, f"{match.pk} {n}")),
            "device": PHONE,
            "seq": n,
            "kind": "peg_note",
            "match": str(match.pk),
            "peg": "1",
            "recorded_at": "2026-06-20T13:05:11.250Z",
            "body": {"note": f"note {n}"},
        }
        for n in range(start, start + count)
    ]
    for outcome in facts_store(person, facts=facts, body_checks=match_body_checks()):
        assert outcome.stored


def other_match(world: Any, *, club: Any = None) -> Any:
    other = Match.objects.get(pk=world.match.pk)
    other.pk, other.slug, other.club = None, "july-open", club or world.club
    other.save()
    return other


def pull(person: Any, **query: Any) -> Any:
    client = signed_in(person)
    return client.get(URL, query)


def test_pages_follow_each_other_without_a_hole(world: Any) -> None:
    notes_store(world.member, world.match, count=7)
    seen, after = [], ""
    for more in (True, True, True, False):
        page = pull(world.rival, match=world.match.pk, limit=2, after=after).json()
        assert (page["protocol"], page["more"]) == (1, more)
        seen += page["facts"]
        after = page["next"]
    assert [f["cseq"] for f in seen] == [1, 2, 3, 4, 5, 6, 7]
    last = pull(world.rival, match=world.match.pk, after=after).json()
    assert (last["facts"], last["more"], last["next"]) == ([], False, after)


def test_a_pulled_fact_is_the_fact_as_it_was_written_and_can_be_handed_in_again(
    world: Any,
) -> None:
    notes_store(world.member, world.match, count=1)
    (given,) = pull(world.rival, match=world.match.pk).json()["facts"]
    stored = Fact.objects.get()
    assert given.pop("received_at").endswith("Z")
    assert given == {
        "id": str(stored.pk),
        "device": PHONE,
        "seq": 1,
        "kind": "peg_note",
        "match": str(world.match.pk),
        "peg": "1",
        "recorded_at": "2026-06-20T13:05:11.250Z",
        "clock_offset_ms": 0,
        "supersedes": None,
        "body": {"note": "note 1"},
        "cseq": 1,
        "author": {"id": str(world.member.pk), "name": "Wilmot Crane"},
    }
    (again,) = facts_store(world.member, facts=[given], body_checks=match_body_checks())
    assert again.verdict == "duplicate"


def test_a_match_gives_its_own_facts_and_the_club_all_of_them(world: Any) -> None:
    july = other_match(world)
    notes_store(world.member, world.match, count=1)
    notes_store(world.member, july, count=1)
    notes_store(world.member, world.match, count=1, start=2)
    of_match = pull(world.member, match=world.match.pk).json()["facts"]
    assert [f["cseq"] for f in of_match] == [1, 3]
    for query in ({}, {"club": "otterbeck"}):
        assert [f["cseq"] for f in pull(world.member, **query).json()["facts"]] == [1, 2, 3]


def test_another_clubs_facts_are_not_to_be_had(world: Any) -> None:
    away = other_match(world, club=world.other_club)
    notes_store(world.outsider, away, count=2)
    notes_store(world.member, world.match, count=1)
    assert [f["cseq"] for f in pull(world.outsider).json()["facts"]] == [1, 2]
    unknown = pull(world.member, match=987654321)
    theirs = pull(world.member, match=away.pk)
    assert theirs.status_code == unknown.status_code == 404
    assert theirs.json() == unknown.json()
    assert pull(world.member, club="larkmill").status_code == 404


def test_who_left_the_club_sees_no_more_of_it(world: Any) -> None:
    notes_store(world.member, world.match, count=1)
    Membership.objects.filter(person=world.member).update(ended_at=timezone.now())
    assert pull(world.member, match=world.match.pk).status_code == 404
    assert pull(world.member).status_code == 404


def test_who_is_in_two_clubs_names_one(world: Any) -> None:
    Membership.objects.create(club=world.other_club, person=world.member, role="member")
    response = pull(world.member)
    assert response.status_code == 400
    assert response.json()["errors"][0]["pointer"] == "/club"
    assert pull(world.member, club="larkmill").json()["facts"] == []


def test_a_new_epoch_begins_again_from_the_start(world: Any) -> None:
    notes_store(world.member, world.match, count=3)
    first = pull(world.member, match=world.match.pk).json()
    Club.objects.filter(pk=world.club.pk).update(epoch=uuid.uuid4())
    second = pull(world.member, match=world.match.pk, after=first["next"]).json()
    assert second["epoch"] != first["epoch"]
    assert [f["cseq"] for f in second["facts"]] == [1, 2, 3]


@pytest.mark.parametrize(
    ("query", "pointer"),
    [
        ({"after": "soon"}, "/after"),
        ({"after": "é"}, "/after"),
        ({"after": "W10"}, "/after"),
        ({"after": "WzEsMiwzXQ"}, "/after"),
        ({"limit": "0"}, "/limit"),
        ({"limit": "501"}, "/limit"),
        ({"limit": "-1"}, "/limit"),
        ({"limit": "many"}, "/limit"),
        ({"limit": "9" * 5000}, "/limit"),
        ({"match": "june-open"}, "/match"),
        ({"match": "0"}, "/match"),
        ({"match": "9" * 30}, "/match"),
    ],
)
def test_a_question_that_cannot_be_read_is_a_problem(
    world: Any, query: dict[str, str], pointer: str
) -> None:
    response = pull(world.member, **query)
    assert response.status_code == 400
    assert response.json()["errors"][0]["pointer"] == pointer


def test_a_cursor_of_a_match_does_not_fit_the_club(world: Any) -> None:
    notes_store(world.member, world.match, count=1)
    after = pull(world.member, match=world.match.pk).json()["next"]
    assert pull(world.member, after=after).status_code == 400


def test_signed_out_is_a_401_problem(world: Any) -> None:
    response = Client().get(URL)
    assert (response.status_code, response.json()["type"]) == (401, "/problems/sign-in")


def test_a_pull_of_fifty_takes_as_many_queries_as_of_one(
    world: Any, django_assert_num_queries: Any
) -> None:
    client = signed_in(world.member)
    notes_store(world.member, world.match, count=50)
    for limit in (1, 50):
        with django_assert_num_queries(6):
            page = client.get(URL, {"match": world.match.pk, "limit": limit}).json()
        assert len(page["facts"]) == limit
