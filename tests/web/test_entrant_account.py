"""Whose account an angler of the book is: set by the secretary, and who may log a peg by it."""

from __future__ import annotations

from typing import Any

import pytest
from django.test import Client

from matches.models import Angler, AuditEntry, Membership, Person, Role
from matches.problems import Code, Problem
from matches.reads.access import own_entry
from matches.writes.anglers import angler_account_set
from tests.clients import signed_in
from tests.web.test_match_pages import RUN, at

pytestmark = pytest.mark.django_db


@pytest.fixture
def joined(world: Any) -> Person:
    """Somebody who came by an invitation: a member whom the book does not know."""
    person = Person.objects.create_user("corin", first_name="Corin", last_name="Hale")
    Membership.objects.create(club=world.club, person=person, role=Role.MEMBER)
    return person


def page(world: Any, first: str) -> str:
    return str(at(world, f"entrants/{world.entries[first].pk}/"))


def sent(client: Client, world: Any, first: str, account: object) -> Any:
    return client.post(page(world, first), {"do": "account", "account": account}, follow=True)


def angler(world: Any, first: str) -> Angler:
    return Angler.objects.get(pk=world.entries[first].angler_id)


def test_who_joined_logs_the_peg_of_the_angler_they_are_named_as(
    world: Any, joined: Person
) -> None:
    perrin = world.entries["Perrin"]
    Angler.objects.filter(pk=perrin.angler_id).update(person=None)
    assert own_entry(joined, match=world.match) is None
    client = signed_in(world.secretary)
    answer = sent(client, world, "Perrin", joined.pk)
    assert "Who signs in as corin logs for" in answer.content.decode()
    assert own_entry(joined, match=world.match) == perrin
    assert (
        f'<option value="{joined.pk}" selected>'
        in client.get(page(world, "Perrin")).content.decode()
    )
    row = AuditEntry.objects.get(verb="angler_account_set")
    assert row.detail == {"angler": perrin.angler_id, "account": joined.pk}
    sent(client, world, "Perrin", joined.pk)
    assert AuditEntry.objects.filter(verb="angler_account_set").count() == 1


def test_an_angler_may_be_nobodys_account_again(world: Any) -> None:
    answer = sent(signed_in(world.secretary), world, "Wilmot", "")
    assert "Nobody’s phone logs for" in answer.content.decode()
    assert own_entry(world.member, match=world.match) is None


def test_one_account_is_one_angler_and_only_a_members(world: Any) -> None:
    client = signed_in(world.secretary)
    before = {first: angler(world, first).person for first in ("Maud", "Wilmot")}
    answer = sent(client, world, "Maud", world.member.pk)
    assert "in the book already" in answer.content.decode()
    for account in (world.outsider.pk, 10**9, "me"):
        assert "Choose" in sent(client, world, "Maud", account).content.decode()
    assert {first: angler(world, first).person for first in before} == before


@pytest.mark.parametrize("who", [name for name in RUN if name != "secretary"])
def test_nobody_but_the_secretary_says_who_an_angler_is(world: Any, who: str) -> None:
    person = getattr(world, who)
    before = angler(world, "Maud").person
    assert sent(signed_in(person), world, "Maud", "").status_code == RUN[who]
    with pytest.raises(Problem) as refused:
        angler_account_set(
            person, club=world.club, angler_id=angler(world, "Maud").pk, account_id=None
        )
    assert refused.value.code in (Code.NOT_ALLOWED, Code.NOT_FOUND)
    assert angler(world, "Maud").person == before


def test_another_clubs_angler_is_none(world: Any) -> None:
    stranger = Angler.objects.create(club=world.other_club, name="Ned Pike")
    with pytest.raises(Problem) as refused:
        angler_account_set(world.secretary, club=world.club, angler_id=stranger.pk, account_id=None)
    assert refused.value.code == Code.NOT_FOUND
