"""Keys of phones over HTTP and on the desk: made known, listed, and taken off the list."""

from __future__ import annotations

import json
import uuid
from typing import Any

import pytest
from django.test import Client

from matches.models import AuditEntry, Device, DeviceKey
from matches.writes import device_keys
from tests.clients import signed_in
from tests.signing_phone import SigningPhone

KEYS = "/api/v1/sync/keys"
PAGE = "/desk/phones/"


def give(person: Any, phone: SigningPhone, **given: Any) -> Any:
    body = {"protocol": 1, "device": str(phone.device), "key": phone.public_key} | given
    return signed_in(person).post(KEYS, json.dumps(body), content_type="application/json")


@pytest.fixture
def phone(world: Any) -> SigningPhone:
    return SigningPhone(world.member, world.match)


# ---- made known ----------------------------------------------------------------------------------


def test_a_key_is_made_known_once_however_often_it_is_sent(world: Any, phone: SigningPhone) -> None:
    first = give(world.member, phone).json()
    assert first["protocol"] == 1
    assert first["key"]["key"] == phone.public_key
    assert first["key"]["revoked_at"] is None
    assert give(world.member, phone).json() == first
    row = DeviceKey.objects.get()
    assert (row.person, row.device_id) == (world.member, phone.device)
    assert AuditEntry.objects.get(verb="device_key_add").club == world.club


def test_a_phone_that_sent_facts_before_keeps_its_row(world: Any, phone: SigningPhone) -> None:
    Device.objects.create(pk=phone.device, person=world.member, label="Blue one")
    assert give(world.member, phone).status_code == 200
    assert Device.objects.get(pk=phone.device).label == "Blue one"


def test_anothers_phone_or_key_is_refused_in_words(world: Any, phone: SigningPhone) -> None:
    give(world.member, phone)
    other = SigningPhone(world.rival, world.match)
    taken = give(world.rival, other, device=str(phone.device))
    assert (taken.status_code, taken.json()["detail"]) == (
        409,
        "This phone is another person’s already.",
    )
    same = give(world.rival, other, key=phone.public_key)
    assert (same.status_code, same.json()["detail"]) == (
        409,
        "This key is another phone’s already.",
    )
    assert DeviceKey.objects.count() == 1


def test_a_desks_id_is_no_phones(world: Any, phone: SigningPhone) -> None:
    refused = give(world.rival, phone, device=str(uuid.uuid5(uuid.NAMESPACE_URL, "desk")))
    assert refused.status_code == 400
    assert [e["pointer"] for e in refused.json()["errors"]] == ["/device"]
    assert not Device.objects.exists()


@pytest.mark.parametrize(
    ("given", "at"),
    [
        ({"key": "A" * 87}, "/key"),
        ({"key": ""}, "/key"),
        ({"key": 7}, "/key"),
        ({"device": "phone"}, "/device"),
        ({"protocol": 2}, "/protocol"),
        ({"protocol": True}, "/protocol"),
        ({"label": "Blue one"}, "/label"),
    ],
)
def test_what_is_no_key_is_pointed_at_and_nothing_is_kept(
    world: Any, phone: SigningPhone, given: dict[str, Any], at: str
) -> None:
    refused = give(world.member, phone, **given)
    assert refused.status_code == 400
    assert [e["pointer"] for e in refused.json()["errors"]] == [at]
    assert not DeviceKey.objects.exists()


def test_a_person_has_so_many_phones_and_makes_room_by_taking_one_off(
    world: Any, phone: SigningPhone, monkeypatch: Any
) -> None:
    monkeypatch.setattr(device_keys, "KEYS_MOST", 1)
    give(world.member, SigningPhone(world.member, world.match))
    assert give(world.member, phone).status_code == 409
    device_keys.device_key_revoke(world.member, key_id=DeviceKey.objects.get().pk)
    assert give(world.member, phone).status_code == 200


def test_nobody_signed_in_makes_no_key_known(world: Any, phone: SigningPhone) -> None:
    assert Client().get(KEYS).status_code == 401
    assert Client().post(KEYS, "{}", content_type="application/json").status_code == 401


# ---- listed and taken off ------------------------------------------------------------------------


def test_a_person_sees_and_revokes_own_keys_and_no_others(world: Any, phone: SigningPhone) -> None:
    key = phone.join()
    SigningPhone(world.rival, world.match).join()
    listed = signed_in(world.member).get(KEYS)
    assert [k["id"] for k in listed.json()["keys"]] == [key.pk]
    assert "no-store" in listed["Cache-Control"]
    assert signed_in(world.rival).delete(f"{KEYS}/{key.pk}").status_code == 404
    gone = signed_in(world.member).delete(f"{KEYS}/{key.pk}").json()["key"]["revoked_at"]
    assert gone is not None
    again = signed_in(world.member).delete(f"{KEYS}/{key.pk}").json()["key"]["revoked_at"]
    assert again == gone
    assert AuditEntry.objects.filter(verb="device_key_revoke").count() == 1


def test_a_key_taken_off_the_list_stays_off_it(world: Any, phone: SigningPhone) -> None:
    device_keys.device_key_revoke(world.member, key_id=phone.join().pk)
    assert give(world.member, phone).json()["key"]["revoked_at"] is not None


def test_the_page_lists_own_phones_and_takes_one_off(world: Any, phone: SigningPhone) -> None:
    key = phone.join()
    others = SigningPhone(world.rival, world.match).join()
    client = signed_in(world.member)
    page = client.get(PAGE).content.decode()
    assert page.count("Take off the list") == 1
    assert f'value="{others.pk}"' not in page
    done = client.post(PAGE, {"key": key.pk}, follow=True).content.decode()
    assert "hands over facts no more" in done
    assert "Off the list since" in done
    assert client.post(PAGE, {"key": others.pk}).status_code == 404
    assert client.post(PAGE, {"key": "x"}).status_code == 400


def test_the_page_of_somebody_without_a_phone_says_what_to_do(world: Any) -> None:
    assert "Open the app on your phone once" in signed_in(world.rival).get(PAGE).content.decode()


def test_the_page_is_for_who_signed_in(world: Any) -> None:
    assert Client().get(PAGE).status_code == 302


def test_twenty_phones_take_as_many_queries_as_one(
    world: Any, django_assert_num_queries: Any
) -> None:
    client = signed_in(world.member)
    for many in (1, 19):
        for _ in range(many):
            SigningPhone(world.member, world.match).join()
        with django_assert_num_queries(5):
            client.get(PAGE)
