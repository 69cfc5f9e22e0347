"""Codes besides the password: turned on and off, asked for at every way in, each used once."""

from __future__ import annotations

import datetime as dt
import re
from typing import Any

import pyotp
import pytest
from django.core.management import CommandError, call_command
from django.test import Client
from django.utils import timezone

from matches import models as m
from matches.second_codes import STEP_SECONDS, secret_lock, secret_open, step_of
from matches.sessions import SECOND
from matches.writes.attempts import Door
from matches.writes.recovery import recovery_make
from matches.writes.second_factor import second_begin, second_confirm
from tests.clients import signed_in
from tests.conftest import PASSWORD
from tests.web.conftest import Clock

pytestmark = pytest.mark.django_db
PAGE, STEP = "/desk/account/codes/", "/sign-in/code/"
NEW = "sedge-by-the-weir"


class App:
    """The app on a phone: it knows the secret and the time."""

    def __init__(self, person: Any, clock: Clock) -> None:
        self.clock = clock
        row = m.SecondFactor.objects.get(person=person)
        self.secret = secret_open(row.secret) or ""

    def shows(self, *, off: int = 0) -> str:
        return pyotp.TOTP(self.secret).at(self.clock.at, counter_offset=off)


@pytest.fixture
def app(world: Any, clock: Clock) -> App:
    """Wilmot has codes on since a while."""
    second_begin(world.member)
    made = App(world.member, clock)
    world.spares = second_confirm(world.member, code=made.shows())
    m.Notice.objects.all().delete()
    clock.on(3600)
    return made


def password_given(name: str = "wilmot", *, to: str = "", password: str = PASSWORD) -> Client:
    client = Client()
    sent = client.post("/sign-in/", {"username": name, "password": password, "next": to})
    assert sent.status_code == 302
    return client


def is_in(client: Client) -> bool:
    return client.get("/api/v1/me").status_code == 200


# ---- the codes -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("seconds", "eight"),
    [
        (59, "94287082"),
        (1111111109, "07081804"),
        (1111111111, "14050471"),
        (1234567890, "89005924"),
        (2000000000, "69279037"),
        (20000000000, "65353130"),
    ],
)
def test_codes_are_those_of_the_rfcs_table(seconds: int, eight: str) -> None:
    """RFC 6238, appendix B, SHA-1: of its eight digits an app shows the last six."""
    secret = pyotp.random_base32()
    given = "GEZDGNBVGY3TQOJQGEZDGNBVGY3TQOJQ"  # "12345678901234567890" in base32
    assert step_of(eight[2:], secret=given, at=seconds, after=0) == seconds // STEP_SECONDS
    assert step_of(eight[2:], secret=secret, at=seconds, after=0) is None
    assert step_of(eight[2:], secret=given, at=seconds, after=seconds // STEP_SECONDS) is None


def test_a_secret_is_kept_encrypted_under_the_sites_key(settings: Any) -> None:
    locked = secret_lock("ABCD")
    assert "ABCD" not in locked
    assert (secret_open(locked), secret_lock("ABCD") == locked) == ("ABCD", False)
    settings.SECRET_KEY = "another" * 8
    assert secret_open(locked) is None


# ---- turning it on and off -----------------------------------------------------------------------


def test_it_is_on_after_a_first_code_and_spare_ones_are_shown_once(
    world: Any, clock: Clock
) -> None:
    desk, phone = password_given(), password_given()
    desk.post(PAGE, {"do": "begin", "own": "wrong"})
    assert not m.SecondFactor.objects.exists()
    page = desk.post(PAGE, {"do": "begin", "own": PASSWORD}, follow=True).content.decode()
    app = App(world.member, clock)
    assert "data:image/svg+xml" in page
    assert app.secret in re.sub(" ", "", re.findall(r"secret-text.>([A-Z2-7 ]+)<", page)[0])
    assert is_in(password_given())  # nothing is asked for yet
    page = desk.post(PAGE, {"do": "confirm", "code": "000000"}, follow=True).content.decode()
    assert "does not fit" in page
    page = desk.post(PAGE, {"do": "confirm", "code": app.shows()}).content.decode()
    spares = re.findall(r"<li><code>([-\w]{14})</code>", page)
    assert len(set(spares)) == 10
    after = desk.get(PAGE).content.decode()
    row = m.SecondFactor.objects.get()
    for secret in (app.secret, *spares):
        assert secret not in after and secret not in f"{row.secret} {row.spares}"
    assert is_in(phone) and is_in(desk)
    assert not is_in(password_given())
    assert m.AuditEntry.objects.get(verb="second_factor_on").person == world.member
    told = desk.get("/desk/").content.decode()
    assert "was turned on" in told
    desk.post("/desk/account/notices/")
    assert "was turned on" not in desk.get("/desk/").content.decode()


def test_a_secret_that_nobody_confirmed_in_a_quarter_of_an_hour_is_worth_nothing(
    world: Any, clock: Clock
) -> None:
    desk = password_given()
    desk.post(PAGE, {"do": "begin", "own": PASSWORD})
    app = App(world.member, clock)
    clock.on(15 * 60)
    assert app.secret[:4] not in desk.get(PAGE).content.decode()
    desk.post(PAGE, {"do": "confirm", "code": app.shows()})
    assert not m.SecondFactor.objects.filter(on_since__isnull=False).exists()


def test_turning_it_off_asks_for_password_and_code(world: Any, app: App) -> None:
    desk = signed_in(world.member)
    for own, code in (("wrong", app.shows()), (PASSWORD, "000000")):
        desk.post(PAGE, {"do": "off", "own": own, "code": code})
        assert m.SecondFactor.objects.exists()
    desk.post(PAGE, {"do": "off", "own": PASSWORD, "code": app.shows()})
    assert not m.SecondFactor.objects.exists()
    assert is_in(password_given())


# ---- signing in ----------------------------------------------------------------------------------


def test_the_code_is_asked_for_after_the_password_and_leads_on(app: App) -> None:
    client = password_given(to="/desk/phones/")
    assert not is_in(client)
    assert client.get("/desk/phones/").status_code == 302
    assert "does not fit" in client.post(STEP, {"code": "000000"}).content.decode()
    assert "field is required" in client.post(STEP, {}).content.decode()
    done = client.post(STEP, {"code": f" {app.shows()[:3]} {app.shows()[3:]}"})
    assert (done.status_code, done["Location"]) == (302, "/desk/phones/")
    assert is_in(client)
    session = m.SignedIn.objects.exclude(person=None).get()
    assert session.expire_date - timezone.now() > dt.timedelta(days=179)


@pytest.mark.parametrize(
    ("off", "fits"), [(-2, False), (-1, True), (0, True), (1, True), (2, False)]
)
def test_a_clock_may_be_half_a_minute_off(app: App, off: int, fits: bool) -> None:
    client = password_given()
    client.post(STEP, {"code": app.shows(off=off)})
    assert is_in(client) == fits


def test_no_code_is_used_twice_nor_one_from_before_it(app: App) -> None:
    code, before = app.shows(), app.shows(off=-1)
    password_given().post(STEP, {"code": code})
    for again in (code, before):
        client = password_given()
        client.post(STEP, {"code": again})
        assert not is_in(client)
    client = password_given()
    client.post(STEP, {"code": app.shows(off=1)})
    assert is_in(client)


def test_a_spare_code_lets_in_once_and_is_told(world: Any, app: App) -> None:
    spare = world.spares[3]
    client = password_given()
    client.post(STEP, {"code": spare.lower()})
    assert is_in(client)
    assert "9 spare codes are left" in client.get(PAGE).content.decode()
    assert "A spare code was used" in client.get("/desk/account/").content.decode()
    again = password_given()
    again.post(STEP, {"code": spare})
    assert not is_in(again)


def test_guessing_waits_longer_each_time_and_a_right_code_is_not_tried_meanwhile(
    app: App, clock: Clock
) -> None:
    client = password_given()
    for _n in range(Door.SECOND.free):
        assert client.post(STEP, {"code": "000000"}).status_code == 200
    told = client.post(STEP, {"code": app.shows()})
    assert (told.status_code, told["Retry-After"]) == (429, "5")
    client = password_given()  # a password that fits begins that count anew, not this one
    assert client.post(STEP, {"code": app.shows()}).status_code == 429
    clock.on(5)
    client.post(STEP, {"code": app.shows()})
    assert is_in(client)


def test_a_first_step_is_worth_ten_minutes_and_the_password_it_was_made_with(
    world: Any, app: App, clock: Clock
) -> None:
    late, changed = password_given(), password_given()
    clock.on(9 * 60)
    assert late.get(STEP).status_code == 200
    person = m.Person.objects.get(pk=world.member.pk)
    person.set_password(NEW)
    person.save()
    assert changed.post(STEP, {"code": app.shows()})["Location"] == "/sign-in/"
    person.set_password(PASSWORD)
    person.save()
    clock.on(61)
    assert late.post(STEP, {"code": app.shows()})["Location"] == "/sign-in/"
    assert not is_in(late) and not is_in(changed)


def test_without_a_first_step_there_is_no_second(world: Any, app: App) -> None:
    assert Client().post(STEP, {"code": app.shows()})["Location"] == "/sign-in/"
    desk = password_given("maud")
    assert desk.get(STEP)["Location"] == PAGE


def test_a_lost_password_is_replaced_and_the_code_still_asked_for(world: Any, app: App) -> None:
    code = recovery_make(world.secretary, club=world.club, member_id=world.member.pk)
    client = Client()
    typed = {"username": "wilmot", "code": code, "password": NEW, "again": NEW}
    assert client.post("/recover/", typed)["Location"] == STEP
    assert not is_in(client)
    page = client.post(STEP, {"code": app.shows()}, follow=True).content.decode()
    assert is_in(client)
    assert "You are in, with the new password" in page
    assert m.SecondFactor.objects.exists()


def test_whoever_runs_the_server_takes_it_off(world: Any, app: App) -> None:
    call_command("second_factor_off", "wilmot")
    assert is_in(password_given())
    assert m.AuditEntry.objects.get(verb="second_factor_off_by_keeper").person is None
    for name in ("wilmot", "nobody"):
        with pytest.raises(CommandError):
            call_command("second_factor_off", name)


def test_each_step_is_a_line_of_the_log_without_the_code(
    world: Any, app: App, caplog: pytest.LogCaptureFixture
) -> None:
    client = password_given()
    client.post(STEP, {"code": "000000"})
    client.post(STEP, {"code": world.spares[0]})
    who = f"person {world.member.pk}"
    lines = [one.getMessage() for one in caplog.records if one.name == "drawbag.door"]
    assert lines == [
        f"password fits, a code is asked for: {who}",
        f"second factor refused: {who}",
        f"spare code used: {who}",
        f"signed in: {who}",
    ]


def test_under_another_key_no_code_fits_and_the_log_says_why(
    world: Any, app: App, settings: Any, caplog: pytest.LogCaptureFixture
) -> None:
    settings.SECRET_KEY = "another" * 8
    client = password_given()
    client.post(STEP, {"code": app.shows()})
    assert "cannot be read under this SECRET_KEY" in caplog.text
    assert not is_in(client)


# ---- the keeper's side ---------------------------------------------------------------------------


def test_the_keepers_side_wants_it_and_says_how_to_turn_it_on(world: Any, clock: Clock) -> None:
    m.Person.objects.filter(pk=world.member.pk).update(is_staff=True, is_superuser=True)
    desk = password_given()
    told = desk.get("/admin/", follow=True)
    assert told.status_code == 403
    assert f'href="{PAGE}"' in told.content.decode()
    second_begin(world.member)
    desk.post(PAGE, {"do": "confirm", "code": App(world.member, clock).shows()})
    assert desk.get("/admin/").status_code == 200


def test_a_session_of_before_gives_a_code_to_come_to_the_keepers_side(world: Any, app: App) -> None:
    m.Person.objects.filter(pk=world.member.pk).update(is_staff=True, is_superuser=True)
    desk = signed_in(world.member)
    assert desk.get("/admin/", follow=True).redirect_chain[-1][0] == f"{STEP}?next=%2Fadmin%2F"
    done = desk.post(f"{STEP}?next=/admin/", {"code": app.shows()})
    assert (done["Location"], desk.get("/admin/").status_code) == ("/admin/", 200)
    m.SecondFactor.objects.all().delete()
    assert desk.session[SECOND] and desk.get("/admin/").status_code == 302


def test_a_next_page_elsewhere_is_the_desk(world: Any, app: App) -> None:
    desk = signed_in(world.member)
    done = desk.post(f"{STEP}?next=https://elsewhere.example/", {"code": app.shows()})
    assert done["Location"] == "/desk/"


def test_tokens_of_programs_are_asked_for_no_code(world: Any, app: App) -> None:
    from tests.web.test_tokens import bearer, made

    secret = made(world.member, m.Scope.MATCHES_READ)
    assert bearer(secret).get(f"/api/v1/matches/{world.match.pk}").status_code == 200
