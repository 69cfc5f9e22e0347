"""One's own account: a new password, and signing devices out from afar."""

from __future__ import annotations

import datetime as dt
import re
from importlib import import_module
from typing import Any

import pytest
from django.contrib.sessions.models import Session
from django.test import Client
from django.utils import timezone

from matches.models import AuditEntry, Person, RecoveryCode, SignedIn
from matches.writes.attempts import Door
from matches.writes.passwords import sessions_sweep
from tests.conftest import PASSWORD
from tests.web.phone import URL, Phone

pytestmark = pytest.mark.django_db
NEW = "sedge-by-the-weir"
PAGE = "/desk/account/"
PHONES = "/desk/phones/"
MOBILE = "Any/1.0 (Mobile)"


def signed(name: str = "wilmot", *, password: str = PASSWORD, agent: str = "Any/1.0") -> Client:
    client = Client(headers={"user-agent": agent})
    sent = client.post("/sign-in/", {"username": name, "password": password})
    assert sent.status_code == 302
    return client


def change(client: Client, **more: str) -> Any:
    return client.post(PAGE, {"own": PASSWORD, "password": NEW, "again": NEW, **more}, follow=True)


def is_in(client: Client) -> bool:
    return client.get("/api/v1/me").status_code == 200


def sign_out(client: Client, mark: str, own: str = PASSWORD) -> Any:
    return client.post(PHONES, {"do": "sign-out", "session": mark, "own": own}, follow=True)


def marks(client: Client) -> list[str]:
    return re.findall(r'name="session" value="(\w+)"', client.get(PHONES).content.decode())


# ---- a new password ------------------------------------------------------------------------------


def test_a_new_password_keeps_this_device_in_and_signs_every_other_out(world: Any) -> None:
    here, phone, others = signed(), signed(agent=MOBILE), signed("maud")
    assert "The password is changed" in change(here).content.decode()
    assert (is_in(here), is_in(phone), is_in(others)) == (True, False, True)
    assert SignedIn.objects.filter(person=world.member).count() == 1
    assert is_in(signed(password=NEW))
    assert AuditEntry.objects.get(verb="password_change").club == world.club


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"own": "wrong"}, "not the password you sign in with"),
        ({"own": ""}, "This field is required"),
        ({"again": "another-one-then"}, "type it twice alike"),
        ({"password": "short", "again": "short"}, "too short"),
        ({"password": "password1", "again": "password1"}, "too common"),
    ],
)
def test_what_does_not_fit_is_said_at_its_field_and_nothing_changes(
    world: Any, typed: dict[str, str], words: str
) -> None:
    here, phone = signed(), signed()
    page = change(here, **typed).content.decode()
    assert re.search(rf'class="field-error"[^>]*>[^<]*{words}', page)
    assert is_in(phone)
    assert Person.objects.get(pk=world.member.pk).check_password(PASSWORD)


def test_whoever_found_an_open_desk_guesses_at_its_password_only_so_often(world: Any) -> None:
    here = signed()
    for _n in range(Door.AGAIN.free):
        change(here, own="wrong")
    told = change(here)
    assert (told.status_code, told["Retry-After"]) == (429, "5")
    assert Person.objects.get(pk=world.member.pk).check_password(PASSWORD)
    assert is_in(signed())  # the front door has its own count


# ---- where one is signed in ----------------------------------------------------------------------


def test_a_phone_signed_out_from_afar_is_out_and_sends_what_it_kept_once_it_is_in_again(
    world: Any,
) -> None:
    phone = Phone(world.member, world.match)
    phone.client.logout()
    phone.client, desk = signed(agent=MOBILE), signed()
    first = phone.keep("peg_note", "4", {"note": "deep"})
    assert phone.push([first])[0]["outcome"] == "accepted"
    page = desk.get(PHONES).content.decode()
    assert page.count("Signed in since") == 2
    (mark,) = marks(desk)
    done = desk.post(
        PHONES, {"do": "sign-out", "session": mark, "own": PASSWORD}, follow=True
    ).content.decode()
    assert "That device is signed out." in done
    assert "Not signed in now." in done
    kept = phone.keep("peg_note", "4", {"note": "deeper"})
    assert phone.client.post(URL, "{}", content_type="application/json").status_code == 401
    phone.client = signed(agent=MOBILE)
    assert [o["outcome"] for o in phone.push([first, kept])] == ["duplicate", "accepted"]
    assert AuditEntry.objects.filter(verb="session_end").count() == 1


def test_a_device_that_logs_nothing_is_listed_by_its_kind(world: Any) -> None:
    desk = signed()
    signed(agent=MOBILE)
    page = desk.get(PHONES).content.decode()
    assert [page.count(kind) for kind in (" A phone<", " A computer<", "where you are now")] == [
        1
    ] * 3
    assert len(marks(desk)) == 1


@pytest.mark.parametrize("own", ["", "wrong"])
def test_signing_a_device_out_from_afar_asks_for_the_password(world: Any, own: str) -> None:
    desk, other = signed(), signed()
    (mark,) = marks(desk)
    page = sign_out(desk, mark, own).content.decode()
    assert "not the password you sign in with" in page
    assert is_in(other)


def test_nobody_signs_anothers_device_out(world: Any) -> None:
    mine, theirs, spare = signed(), signed("maud"), signed("maud")
    (mark,) = marks(theirs)
    assert sign_out(mine, mark).status_code == 404
    assert sign_out(mine, "").status_code == 404
    assert is_in(spare)
    sign_out(theirs, mark)
    assert sign_out(theirs, mark).status_code == 404
    assert not is_in(spare)


def test_what_opens_a_session_is_on_no_page(world: Any) -> None:
    desk = signed()
    signed()
    page = desk.get(PHONES).content.decode()
    keys = SignedIn.objects.values_list("session_key", flat=True)
    assert len(keys) == 2
    assert not [key for key in keys if key in page]


def test_signing_out_ends_the_session_on_the_server(world: Any) -> None:
    desk = signed()
    desk.post("/sign-out/")
    assert not SignedIn.objects.filter(person=world.member).exists()


def test_a_session_of_before_is_moved_over_and_stays_signed_in(world: Any) -> None:
    from django.apps import apps

    moved = import_module("matches.migrations.0019_the_door").sessions_move
    client = signed()
    row = SignedIn.objects.get(person=world.member)
    old = {"session_data": row.session_data, "expire_date": row.expire_date}
    Session.objects.create(session_key=row.session_key, **old)
    SignedIn.objects.all().delete()
    Session.objects.create(session_key="late", **old | {"expire_date": timezone.now()})
    Session.objects.create(session_key="torn", **old | {"session_data": "torn"})
    assert not is_in(client)
    client.cookies["sessionid"] = row.session_key
    moved(apps, None)
    assert is_in(client)
    assert list(SignedIn.objects.values_list("person", flat=True)) == [world.member.pk]


def test_codes_of_long_ago_and_sessions_that_were_copied_are_swept(world: Any) -> None:
    client, day = signed(), dt.timedelta(days=1)
    Session.objects.create(session_key="x", session_data="", expire_date=timezone.now() + day)
    for n, ended in enumerate((29, 31)):
        at = timezone.now() - ended * day
        RecoveryCode.objects.create(person=world.member, digest=str(n), made_at=at, ends_at=at)
    sessions_sweep()
    assert is_in(client)
    assert (SignedIn.objects.count(), Session.objects.count()) == (1, 0)
    assert list(RecoveryCode.objects.values_list("digest", flat=True)) == ["0"]
