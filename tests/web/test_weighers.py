"""Who weighs in a match, over HTTP: every role, whom one may name, and what the trail says."""

from __future__ import annotations

from typing import Any

import pytest
from django.test import Client

from matches.models import AuditEntry, Match, Membership, Role
from matches.problems import Code, Problem
from matches.reads.access import is_weigher
from matches.writes.weighers import weigher_name, weigher_take_back
from tests.clients import read, signed_in
from tests.web.test_match_pages import RUN, at, send

pytestmark = pytest.mark.django_db


@pytest.fixture
def desk(world: Any) -> Client:
    return signed_in(world.secretary)


@pytest.mark.parametrize("who", list(RUN))
def test_only_the_secretary_reads_names_and_takes_back(world: Any, who: str) -> None:
    client = signed_in(getattr(world, who))
    page = at(world, "weighers/")
    assert client.get(page).status_code == RUN[who]
    assert Client().get(page).status_code == 302
    linked = f'href="{page}"'
    for place in ("", "weigh/"):
        assert (linked in client.get(at(world, place)).content.decode()) == (who == "secretary")
    if who == "secretary":
        return
    for do in ("name", "take-back"):
        answer = client.post(page, {"do": do, "person": world.member.pk})
        assert answer.status_code == RUN[who]
    for write in (weigher_name, weigher_take_back):
        with pytest.raises(Problem) as refused:
            write(getattr(world, who), match=world.match, weigher_id=world.weigher.pk)
        code = Code.NOT_FOUND if who == "outsider" else Code.NOT_ALLOWED
        assert refused.value.code is code
    assert is_weigher(world.weigher, match=world.match)
    assert not is_weigher(world.member, match=world.match)
    assert not AuditEntry.objects.exists()


def test_who_is_named_weighs_until_it_is_taken_back_and_may_be_named_again(
    world: Any, desk: Client
) -> None:
    page, theirs = at(world, "weighers/"), signed_in(world.member)
    board = at(world, "weigh/")
    assert theirs.get(board).status_code == 403
    chosen = {"person": world.member.pk}
    for do, said, status in [
        ("name", "Wilmot Crane may weigh now.", 200),
        ("take-back", "Wilmot Crane is no weigher of this match any more.", 403),
        ("name", "Wilmot Crane may weigh now.", 200),
    ]:
        for _tap in range(2):
            assert said in send(desk, page, do=do, **chosen)
        assert theirs.get(board).status_code == status
    rows = AuditEntry.objects.order_by("pk").values_list("verb", "person", "detail")
    detail = {"match": world.match.pk, "person": world.member.pk}
    verbs = ["weigher_name", "weigher_take_back", "weigher_name"]
    assert list(rows) == [(verb, world.secretary.pk, detail) for verb in verbs]
    role = Membership.objects.get(person=world.member, role=Role.WEIGHER)
    assert (role.match, role.ended_at) == (world.match, None)


def test_a_weigher_weighs_in_the_match_they_are_named_for_only(world: Any) -> None:
    match = world.match
    other = Match.objects.create(
        club=world.club,
        venue=world.venue,
        name="Other",
        slug="other",
        date=match.date,
        start_at=match.start_at,
        end_at=match.end_at,
    )
    weigher_name(world.secretary, match=other, weigher_id=world.member.pk)
    assert is_weigher(world.member, match=other) and not is_weigher(world.member, match=match)
    with pytest.raises(Problem, match="one of the match"):
        weigher_take_back(world.secretary, match=match, weigher_id=world.member.pk)
    assert is_weigher(world.member, match=other)


def test_only_people_who_are_in_the_club_now_can_be_named(world: Any, desk: Client) -> None:
    page = at(world, "weighers/")
    Membership.objects.filter(person=world.rival).update(ended_at="2026-01-01T00:00Z")
    text = read(desk, page)
    assert "Wilmot Crane" in text
    for person in (world.outsider, world.rival):
        assert person.get_full_name() not in text
        assert "Choose somebody of the club." in send(desk, page, do="name", person=person.pk)
        assert not is_weigher(person, match=world.match)
    assert "Choose somebody of the club." in send(desk, page, do="name", person="")
    assert "load the page again" in send(desk, page, do="name", person="x")
    assert "Press one of the buttons" in send(desk, page, do="", person=world.member.pk)


def test_the_page_asks_little(world: Any, desk: Client, django_assert_max_num_queries: Any) -> None:
    with django_assert_max_num_queries(7):
        read(desk, at(world, "weighers/"))
