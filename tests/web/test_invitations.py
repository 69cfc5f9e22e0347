"""A match's invitation over HTTP: made, shown as a link and a QR, taken, ended."""

from __future__ import annotations

import datetime as dt
import re
from typing import Any

import pytest
import segno
from django.test import Client
from django.utils import timezone

from matches.models import AuditEntry, Invitation, Membership, Person, Role
from matches.problems import Code, Problem
from matches.reads.access import matches_of
from matches.reads.invitations import invitation_code
from matches.writes.invitations import invitation_end, invitation_make, invitation_take
from tests.clients import read, signed_in
from tests.conftest import PASSWORD
from tests.web.test_match_pages import RUN, at, send

pytestmark = pytest.mark.django_db

NEW = {
    "do": "account",
    "first_name": "Hester",
    "last_name": "Vane",
    "username": "hester",
    "password1": "sedge-by-the-weir",
    "password2": "sedge-by-the-weir",
}


@pytest.fixture
def desk(world: Any) -> Client:
    return signed_in(world.secretary)


@pytest.fixture
def made(world: Any) -> Invitation:
    return invitation_make(world.secretary, match=world.match, days=14)


def link(invitation: Invitation) -> str:
    return f"/join/{invitation_code(invitation)}/"


@pytest.mark.parametrize("who", list(RUN))
def test_only_the_secretary_makes_reads_and_ends(world: Any, who: str) -> None:
    client = signed_in(getattr(world, who))
    pages = [at(world, "invitation/"), at(world, "invitation/qr.svg")]
    if who == "secretary":
        send(client, pages[0], do="make", days="7")
    for page in pages:
        assert client.get(page).status_code == RUN[who]
        assert Client().get(page).status_code == 302
    linked = f'href="{pages[0]}"'
    assert (linked in client.get(at(world)).content.decode()) == (who == "secretary")
    if who == "secretary":
        return
    assert client.post(pages[0], {"do": "make", "days": "7"}).status_code == RUN[who]
    code = Code.NOT_FOUND if who == "outsider" else Code.NOT_ALLOWED
    for write, more in ((invitation_make, {"days": 7}), (invitation_end, {})):
        with pytest.raises(Problem) as refused:
            write(getattr(world, who), match=world.match, **more)
        assert refused.value.code is code
    assert not Invitation.objects.exists()


def test_the_link_and_its_qr_are_shown_while_it_stands(world: Any, desk: Client) -> None:
    page = at(world, "invitation/")
    assert "Make an invitation" in read(desk, page)
    assert "The invitation stands." in send(desk, page, do="make", days="14")
    shown = read(desk, page)
    address = re.search(r'href="(http[^"]+/join/[^"]+)"', shown)
    assert address
    picture = desk.get(at(world, "invitation/qr.svg"))
    assert (picture["Content-Type"], picture["Cache-Control"]) == ("image/svg+xml", "no-store")
    code = segno.make(address[1], error="m", micro=False)
    assert f'width="{(code.symbol_size()[0]) * 8}"' in picture.content.decode()
    assert "The invitation has ended." in send(desk, page, do="end")
    assert "Make an invitation" in read(desk, page)
    assert desk.get(at(world, "invitation/qr.svg")).status_code == 404


def test_days_are_bounded_and_a_second_press_makes_no_second_one(world: Any, desk: Client) -> None:
    page = at(world, "invitation/")
    for days in ("0", "61", "", "a", "-1"):
        send(desk, page, do="make", days=days)
        assert not Invitation.objects.exists()
    for _tap in range(2):
        send(desk, page, do="make", days="60")
    assert Invitation.objects.count() == 1
    assert list(AuditEntry.objects.values_list("verb", flat=True)) == ["invitation_make"]


def test_a_stranger_makes_an_account_and_has_the_match(world: Any, made: Invitation) -> None:
    client = Client()
    assert "Otterbeck Piscatorials" in read(client, link(made))
    shown = send(client, link(made), **NEW)
    assert f'href="/bank/#/match/{world.match.pk}"' in shown
    assert "home screen" in shown
    hester = Person.objects.get(username="hester")
    assert hester.check_password(NEW["password1"])
    assert list(matches_of(hester)) == [world.match]
    roles = Membership.objects.filter(person=hester).values_list("role", "club", "ended_at")
    assert list(roles) == [(Role.MEMBER, world.club.pk, None)]
    phone = client.get("/api/v1/me").json()
    assert [m["id"] for m in phone["matches"]] == [str(world.match.pk)]
    taken = AuditEntry.objects.get(verb="invitation_take")
    assert (taken.person, taken.detail["match"]) == (hester, world.match.pk)


def test_what_is_wrong_with_a_new_account_is_said_at_its_field_and_nothing_is_made(
    made: Invitation,
) -> None:
    people = Person.objects.count()
    for wrong in (
        {"username": "idris"},
        {"password2": "another-one-then"},
        {"password1": "short", "password2": "short"},
        {"first_name": ""},
    ):
        client = Client()
        shown = send(client, link(made), **{**NEW, **wrong})
        assert 'class="field-error"' in shown, wrong
        assert 'value="Vane"' in shown
        assert client.get("/api/v1/me").status_code == 401
    assert Person.objects.count() == people


def test_somebody_of_another_club_joins_with_the_account_they_have(
    world: Any, made: Invitation
) -> None:
    client = Client()
    shown = read(client, link(made))
    sign_in = re.search(r'href="(/sign-in/\?next=[^"]+)"', shown)
    assert sign_in
    after = client.post(sign_in[1], {"username": "ned", "password": PASSWORD, "next": link(made)})
    assert after["Location"] == link(made)
    assert "Join as Ned Outwell" in read(client, link(made))
    for _tap in range(2):
        assert "You are in" in send(client, link(made), do="join")
    assert Membership.objects.filter(person=world.outsider, club=world.club).count() == 1


def test_who_is_in_the_club_already_is_shown_the_way_and_nothing_changes(
    world: Any, made: Invitation
) -> None:
    before = Membership.objects.count()
    client = signed_in(world.member)
    assert "You are in" in read(client, link(made))
    assert "You are in" in send(client, link(made), do="join")
    assert Membership.objects.count() == before


def test_a_link_that_is_none_has_ended_or_was_changed_is_refused_in_words(
    world: Any, made: Invitation
) -> None:
    address = link(made)
    other = Invitation.objects.create(
        match=world.match, made_at=timezone.now(), ends_at=timezone.now()
    )
    forged = address.replace(f"/{made.pk}:", f"/{other.pk}:")
    for wrong in ("/join/1/", "/join/water.example/", forged, f"{address[:-3]}x/"):
        answer = Client().get(wrong)
        assert answer.status_code == 404, wrong
        assert "This is no invitation of this site." in answer.content.decode()
    assert "has ended" in Client().get(link(other)).content.decode()
    invitation_end(world.secretary, match=world.match)
    for answer in (Client().get(address), Client().post(address, NEW)):
        assert answer.status_code == 410
        assert "has ended. Ask the secretary of" in answer.content.decode()
    assert not Person.objects.filter(username="hester").exists()


def test_whom_the_secretary_took_off_comes_back_only_by_an_invitation_made_since(
    world: Any, made: Invitation
) -> None:
    held = Membership.objects.filter(person=world.member, club=world.club)
    held.update(ended_at=timezone.now() + dt.timedelta(seconds=1))
    with pytest.raises(Problem) as refused:
        invitation_take(world.member, code=invitation_code(made))
    assert refused.value.code is Code.NOT_ALLOWED
    held.update(ended_at=made.made_at - dt.timedelta(days=1))
    invitation_take(world.member, code=invitation_code(made))
    assert list(matches_of(world.member)) == [world.match]


def test_joining_without_signing_in_is_refused(made: Invitation) -> None:
    assert Client().post(link(made), {"do": "join"}).status_code == 403
