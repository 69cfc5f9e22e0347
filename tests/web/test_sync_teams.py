"""A member put in another team: their phones begin again, with what the new team found out."""

from __future__ import annotations

from typing import Any

import pytest

from matches.models import Angler, Membership, Role, Team
from tests.signing_phone import SigningPhone
from tests.web.pushing import push, words
from tests.web.test_sync_match import package
from tests.web.test_sync_pull import pull


def timed(person: Any, world: Any, *, ms: int) -> None:
    """A jar test of theirs, which is their team's alone."""
    test = SigningPhone(person, world.match).fact(
        kind="feed_test", body={"bait": "caster", "jar_cm": 30, "ms": ms}
    )
    assert words(push(person, test)) == ["accepted"]


def moved(person: Any, team: Team) -> None:
    Angler.objects.filter(person=person).update(team=team)


@pytest.fixture
def tested(world: Any) -> Any:
    """One of the Alders and one of the Teals have each timed a feed."""
    timed(world.captain, world, ms=6000)
    timed(world.rival, world, ms=7000)
    return world


def test_who_changes_team_begins_again_with_what_the_new_team_found_out(tested: Any) -> None:
    world = tested
    first = pull(world.member, match=world.match.pk).json()
    assert [fact["body"]["ms"] for fact in first["facts"]] == [6000]
    moved(world.member, world.teals)
    second = pull(world.member, match=world.match.pk, after=first["next"]).json()
    assert second["epoch"] != first["epoch"]
    assert [fact["body"]["ms"] for fact in second["facts"]] == [7000]
    again = pull(world.member, match=world.match.pk, after=second["next"]).json()
    assert (again["epoch"], again["facts"]) == (second["epoch"], [])


def test_the_teams_left_and_joined_begin_again_too_and_nobody_else(tested: Any) -> None:
    world = tested
    people = [world.captain, world.rival, world.secretary, world.weigher]
    before = [pull(person, match=world.match.pk).json()["epoch"] for person in people]
    moved(world.member, world.teals)
    after = [pull(person, match=world.match.pk).json()["epoch"] for person in people]
    assert [a != b for a, b in zip(after, before, strict=True)] == [True, True, False, False]


def test_who_becomes_a_weigher_begins_again_for_names_are_told_in_full(world: Any) -> None:
    before = pull(world.rival, match=world.match.pk).json()["epoch"]
    Membership.objects.create(
        club=world.club, person=world.rival, role=Role.WEIGHER, match=world.match
    )
    assert pull(world.rival, match=world.match.pk).json()["epoch"] != before


def test_the_match_says_the_same_epoch_as_its_facts(world: Any) -> None:
    for person in (world.member, world.weigher):
        told = package(person, world.match).json()["epoch"]
        assert told == pull(person, match=world.match.pk).json()["epoch"]
