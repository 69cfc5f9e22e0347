"""Signing in: tries that do not fit are counted, waited for in words, and forgotten."""

from __future__ import annotations

from typing import Any

import pytest
from django.test import Client

from matches.models import Attempts, Person
from matches.problems import MustWait
from matches.writes.attempts import (
    LONGEST_WAIT,
    Door,
    Tally,
    attempt_begin,
    attempt_fitted,
    attempts_sweep,
)
from tests.conftest import PASSWORD
from tests.web.conftest import Clock

pytestmark = pytest.mark.django_db
IDRIS = Tally(Door.ACCOUNT, "idris")


def sign_in(
    name: str = "idris", password: str = "wrong", *, client: Client | None = None, **more: Any
) -> Any:
    typed = {"username": name, "password": password}
    return (client or Client()).post("/sign-in/", typed, **more)


def fail(times: int, name: str = "idris", **more: Any) -> None:
    for _n in range(times):
        assert sign_in(name, **more).status_code == 200


# ---- the count -----------------------------------------------------------------------------------


def test_the_first_tries_are_free_then_each_waits_twice_as_long_up_to_a_quarter_hour(
    db: None, clock: Clock
) -> None:
    waits = []
    for _n in range(16):
        try:
            attempt_begin(IDRIS)
        except MustWait as must:
            waits.append(must.wait)
            clock.on(must.wait)
            attempt_begin(IDRIS)
    assert waits == [5, 10, 20, 40, 80, 160, 320, 640, LONGEST_WAIT, LONGEST_WAIT, LONGEST_WAIT]


def test_what_is_tried_during_a_wait_makes_it_no_longer(db: None, clock: Clock) -> None:
    for _n in range(5):
        attempt_begin(IDRIS)
    for left in (5, 4, 3, 2, 1):
        with pytest.raises(MustWait) as must:
            attempt_begin(IDRIS)
        assert must.value.wait == left
        clock.on(1)
    attempt_begin(IDRIS)
    assert Attempts.objects.get().failures == 6


def test_a_count_is_forgotten_a_day_after_the_last_try_and_swept(db: None, clock: Clock) -> None:
    for _n in range(5):
        attempt_begin(IDRIS)
    clock.on(24 * 3600)
    attempt_begin(IDRIS)
    assert Attempts.objects.get().failures == 1
    attempt_begin(Tally(Door.ADDRESS, "192.0.2.1"))
    clock.on(24 * 3600 - 1)
    assert attempts_sweep() == 0
    clock.on(1)
    assert attempts_sweep() == 2


def test_a_fit_gives_an_address_its_own_try_back_and_no_more(db: None, clock: Clock) -> None:
    place = Tally(Door.ADDRESS, "192.0.2.1")
    for _n in range(3):
        attempt_begin(place)
    attempt_fitted(forget=IDRIS, give_back=place)
    assert Attempts.objects.get().failures == 2


# ---- the page ------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["idris", "nobody-of-that-name"])
def test_who_tried_too_often_is_told_how_long_to_wait_and_a_right_password_is_not_tried(
    world: Any, clock: Clock, name: str
) -> None:
    """An account that there is and one that there is not are answered alike."""
    fail(5, name)
    told = sign_in(name, PASSWORD)
    page = told.content.decode()
    assert (told.status_code, told["Retry-After"]) == (429, "5")
    assert "Wait 5 seconds, then try again" in page
    assert f'value="{name}"' in page
    assert PASSWORD not in page
    clock.on(5)
    assert sign_in(name).status_code == 200
    assert "Wait 10 seconds" in sign_in(name).content.decode()


def test_a_password_that_fits_begins_the_count_anew(world: Any, clock: Clock) -> None:
    fail(4)
    assert sign_in("idris", PASSWORD).status_code == 302
    fail(4)
    assert sign_in("idris", PASSWORD).status_code == 302
    assert not Attempts.objects.filter(key=IDRIS.key).exists()


def test_other_ways_to_write_a_name_are_the_same_count(world: Any, clock: Clock) -> None:
    for name in ("idris", "Idris", " IDRIS ", "ｉｄｒｉｓ", "iDRIS"):
        fail(1, name)
    assert sign_in("idris", PASSWORD).status_code == 429


def test_one_address_tries_many_names_only_so_often_and_others_go_on(
    world: Any, clock: Clock
) -> None:
    for n in range(30):
        fail(1, f"angler{n}", REMOTE_ADDR="192.0.2.7")
    assert sign_in("idris", PASSWORD, REMOTE_ADDR="192.0.2.7").status_code == 429
    assert sign_in("idris", PASSWORD, REMOTE_ADDR="192.0.2.8").status_code == 302


@pytest.mark.parametrize(
    ("one", "other", "same"),
    [
        ("2001:db8:1:2::5", "2001:db8:1:2:ffff::9", True),
        ("2001:db8:1:2::5", "2001:db8:1:3::5", False),
        ("::ffff:192.0.2.7", "192.0.2.7", True),
    ],
)
def test_an_ipv6_address_is_counted_by_its_network(
    world: Any, clock: Clock, one: str, other: str, same: bool
) -> None:
    for n in range(30):
        fail(1, f"angler{n}", REMOTE_ADDR=one)
    assert sign_in("idris", PASSWORD, REMOTE_ADDR=other).status_code == (429 if same else 302)


@pytest.mark.parametrize(("proxies", "status"), [(0, 429), (1, 302)])
def test_the_address_is_the_proxys_word_only_behind_our_own_proxy(
    world: Any, clock: Clock, settings: Any, proxies: int, status: int
) -> None:
    settings.REST_FRAMEWORK = settings.REST_FRAMEWORK | {"NUM_PROXIES": proxies}
    for n in range(30):
        fail(1, f"angler{n}", headers={"x-forwarded-for": f"203.0.113.9, 198.51.100.{n}"})
    more = {"headers": {"x-forwarded-for": "203.0.113.9, 198.51.100.99"}}
    assert sign_in("idris", PASSWORD, **more).status_code == status


def test_a_phone_that_is_signed_in_goes_on_while_others_guess(world: Any, clock: Clock) -> None:
    phone = Client()
    sign_in("idris", PASSWORD, client=phone)
    fail(5)
    assert sign_in("idris", PASSWORD).status_code == 429
    assert phone.get("/api/v1/me").status_code == 200


def test_no_name_and_no_address_is_kept(world: Any, clock: Clock, settings: Any) -> None:
    fail(1, "idris", REMOTE_ADDR="192.0.2.7")
    keys = set(Attempts.objects.values_list("key", flat=True))
    assert len(keys) == 2
    assert all(len(key) == 64 and int(key, 16) for key in keys)
    settings.SECRET_KEY = "another-key-that-is-long-enough-for-it"
    assert IDRIS.key not in keys


def test_a_closed_account_is_answered_as_a_wrong_password(world: Any, clock: Clock) -> None:
    Person.objects.filter(pk=world.secretary.pk).update(is_active=False)
    assert "do not go together" in sign_in("idris", PASSWORD).content.decode()
    assert Attempts.objects.get(key=IDRIS.key).failures == 1


# ---- the site keeper's side ----------------------------------------------------------------------


def test_the_keepers_side_is_entered_by_the_same_door(world: Any, clock: Clock) -> None:
    Person.objects.create_superuser("keeper", password=PASSWORD)
    client = Client()
    for verb in (client.get, client.post):
        sent = verb("/admin/login/?next=/admin/matches/club/")
        assert sent["Location"] == "/sign-in/?next=/admin/matches/club/"
    onward = {"username": "keeper", "password": PASSWORD, "next": "/admin/matches/club/"}
    assert client.post("/sign-in/", onward)["Location"] == "/admin/matches/club/"
    assert client.get("/admin/login/").status_code == 403  # a second factor is wanted too
    fail(5, "keeper")
    assert Client().post("/admin/login/", onward)["Location"] == "/sign-in/?next=/admin/"
    assert sign_in("keeper", PASSWORD).status_code == 429
