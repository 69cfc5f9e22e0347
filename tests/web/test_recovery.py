"""Codes for who has lost the password: who may make one for whom, and what one opens."""

from __future__ import annotations

import datetime as dt
import io
import re
from hashlib import sha256
from typing import Any

import pytest
from django.contrib.auth.hashers import check_password
from django.core.management import CommandError, call_command
from django.test import Client
from django.utils import timezone

from matches.models import Angler, AuditEntry, Membership, Person, RecoveryCode, Role, SignedIn
from matches.problems import Code, Problem
from matches.writes.attempts import Door
from matches.writes.recovery import (
    recovery_end,
    recovery_make,
    recovery_make_by_keeper,
    recovery_use,
)
from tests.clients import signed_in
from tests.conftest import PASSWORD
from tests.web.test_match_pages import RUN

pytestmark = pytest.mark.django_db
NEW = "sedge-by-the-weir"
PAGE = "/desk/clubs/otterbeck/sign-ins/"


def make(world: Any, member: Any = None) -> str:
    who = (member or world.member).pk
    return recovery_make(world.secretary, club=world.club, member_id=who)


def enter(code: str, *, name: str = "wilmot", client: Client | None = None, **more: Any) -> Any:
    typed = {"username": name, "code": code, "password": NEW, "again": NEW, **more}
    return (client or Client()).post("/recover/", typed)


def verbs() -> list[str]:
    return list(AuditEntry.objects.order_by("pk").values_list("verb", flat=True))


# ---- for whom one is made ------------------------------------------------------------------------


def keeper(world: Any) -> None:
    Person.objects.filter(pk=world.member.pk).update(is_superuser=True)


def staff(world: Any) -> None:
    Person.objects.filter(pk=world.member.pk).update(is_staff=True)


def elsewhere(role: Role, *, ended: bool = False) -> Any:
    def give(world: Any) -> None:
        Membership.objects.create(
            club=world.other_club,
            person=world.member,
            role=role,
            ended_at=timezone.now() if ended else None,
        )

    give.__name__ = f"{role}{' of before' if ended else ''} elsewhere"
    return give


def booked_elsewhere(world: Any) -> None:
    Angler.objects.create(club=world.other_club, person=world.member, name="W. Crane")


FURTHER = [
    keeper,
    staff,
    elsewhere(Role.SECRETARY),
    elsewhere(Role.OWNER),
    elsewhere(Role.MEMBER),
    elsewhere(Role.MEMBER, ended=True),
    booked_elsewhere,
]


@pytest.mark.parametrize("reach", FURTHER, ids=lambda reach: reach.__name__)
def test_a_secretary_opens_no_account_that_reaches_beyond_the_club(world: Any, reach: Any) -> None:
    """All in the same words: which it is of these is not told."""
    reach(world)
    with pytest.raises(Problem) as refused:
        make(world)
    assert refused.value.code is Code.CONFLICT
    assert "This account reaches beyond your club" in refused.value.detail
    assert not RecoveryCode.objects.exists()


@pytest.mark.parametrize("reach", FURTHER, ids=lambda reach: reach.__name__)
def test_a_code_opens_nothing_once_the_account_reaches_further(world: Any, reach: Any) -> None:
    code = make(world)
    reach(world)
    assert "do not go together" in enter(code).content.decode()
    assert Person.objects.get(pk=world.member.pk).check_password(PASSWORD)


def test_a_secretary_makes_none_for_oneself_a_closed_account_or_a_stranger(world: Any) -> None:
    with pytest.raises(Problem, match="on your account’s page"):
        make(world, world.secretary)
    Person.objects.filter(pk=world.rival.pk).update(is_active=False)
    with pytest.raises(Problem, match="This account is closed"):
        make(world, world.rival)
    with pytest.raises(Problem, match="Choose somebody of the club"):
        make(world, world.outsider)
    assert (RecoveryCode.objects.count(), verbs()) == (0, [])


@pytest.mark.parametrize("who", [name for name in RUN if name != "secretary"])
def test_nobody_but_the_secretary_makes_or_ends_one(world: Any, who: str) -> None:
    person = getattr(world, who)
    for write in (recovery_make, recovery_end):
        with pytest.raises(Problem) as refused:
            write(person, club=world.club, member_id=world.rival.pk)
        assert refused.value.code in (Code.NOT_ALLOWED, Code.NOT_FOUND)
    client = signed_in(person)
    assert client.get(PAGE).status_code == RUN[who]
    sent = {"do": "make", "member": world.rival.pk, "own": PASSWORD}
    assert client.post(PAGE, sent).status_code == RUN[who]
    assert not RecoveryCode.objects.exists()


def test_another_secretary_of_the_club_lets_in_one_who_lost_the_password(world: Any) -> None:
    Membership.objects.create(club=world.club, person=world.captain, role=Role.SECRETARY)
    code = recovery_make(world.captain, club=world.club, member_id=world.secretary.pk)
    assert enter(code, name="idris").status_code == 302


# ---- what one opens ------------------------------------------------------------------------------


def test_a_code_sets_a_new_password_once_and_ends_every_other_session(world: Any) -> None:
    phone, code, client = Client(), make(world), Client()
    phone.post("/sign-in/", {"username": "wilmot", "password": PASSWORD})
    assert enter(code, client=client)["Location"] == "/desk/"
    assert client.get("/desk/").status_code == 200
    assert phone.get("/api/v1/me").status_code == 401
    assert SignedIn.objects.filter(person=world.member).count() == 1
    member = Person.objects.get(pk=world.member.pk)
    assert member.check_password(NEW)
    assert "do not go together" in enter(code).content.decode()
    assert verbs() == ["recovery_make", "recovery_use"]


@pytest.mark.parametrize("wrong", ["name", "code", "ended", "late", "replaced", "closed", "maker"])
def test_what_lets_nobody_in_is_refused_in_the_same_words_and_changes_nothing(
    world: Any, wrong: str
) -> None:
    code = make(world)
    if wrong == "ended":
        recovery_end(world.secretary, club=world.club, member_id=world.member.pk)
    if wrong == "late":
        day = dt.timedelta(hours=24)
        row = RecoveryCode.objects.get()
        row.made_at, row.ends_at = row.made_at - day, row.ends_at - day
        row.save()
    if wrong == "replaced":
        make(world)
    if wrong == "closed":
        Person.objects.filter(pk=world.member.pk).update(is_active=False)
    if wrong == "maker":
        Membership.objects.filter(person=world.secretary, role=Role.SECRETARY).update(
            ended_at=timezone.now()
        )
    typed = "AAAA-BBBB-CCCC" if wrong == "code" else code
    told = enter(typed, name="maud" if wrong == "name" else "wilmot")
    assert (told.status_code, "do not go together" in told.content.decode()) == (200, True)
    assert Person.objects.get(pk=world.member.pk).check_password(PASSWORD)
    assert not SignedIn.objects.exclude(person=None).exists()


def test_a_code_is_taken_in_small_letters_and_with_blanks(world: Any) -> None:
    code = make(world)
    assert re.fullmatch(r"([2-9A-HJ-NP-Z]{4}-){2}[2-9A-HJ-NP-Z]{4}", code)
    assert enter(f" {code.lower().replace('-', ' ')} ").status_code == 302


def test_a_password_against_the_rules_is_said_at_its_field_and_the_code_still_stands(
    world: Any,
) -> None:
    code = make(world)
    for typed, words in (
        ({"password": "short", "again": "short"}, "too short"),
        ({"again": "another-one-then"}, "type it twice alike"),
        ({"password": "password1", "again": "password1"}, "too common"),
    ):
        assert words in enter(code, **typed).content.decode()
    assert enter(code).status_code == 302


def test_a_code_lets_in_whose_name_others_shut_by_guessing(world: Any) -> None:
    for _n in range(Door.ACCOUNT.free):
        Client().post("/sign-in/", {"username": "wilmot", "password": "wrong"})
    assert enter(make(world)).status_code == 302
    back = Client().post("/sign-in/", {"username": "wilmot", "password": NEW})
    assert back.status_code == 302


def test_codes_are_guessed_at_only_so_often_from_one_address(world: Any) -> None:
    code = make(world)
    for _n in range(Door.CODE.free):
        assert enter("AAAA-BBBB-CCCC").status_code == 200
    told = enter(code)
    assert (told.status_code, told["Retry-After"]) == (429, "5")
    assert "Wait 5 seconds" in told.content.decode()


def test_the_code_is_kept_nowhere(world: Any) -> None:
    code = make(world)
    (row,) = RecoveryCode.objects.values_list("digest", "person__username")
    assert code.replace("-", "") not in str(row)
    assert code not in str(list(AuditEntry.objects.values_list("subject", "detail")))
    with pytest.raises(Problem):
        recovery_use(name="wilmot", code=row[0], password=NEW)


def test_each_code_is_kept_under_a_salt_of_its_own(
    world: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("matches.writes.recovery.once_code_new", lambda: "AAAABBBBCCCC")
    codes = {make(world), make(world, world.rival)}
    first, second = RecoveryCode.objects.values_list("digest", flat=True)
    assert (len(codes), first == second) == (1, False)
    (code,) = codes
    assert all(check_password(code.replace("-", ""), one) for one in (first, second))
    assert enter(code).status_code == 302
    assert "do not go together" in enter(code, name="idris").content.decode()


def test_a_code_that_stood_before_they_were_salted_lets_nobody_in(world: Any) -> None:
    code = make(world)
    RecoveryCode.objects.update(digest=sha256(code.encode()).hexdigest())
    assert "do not go together" in enter(code).content.decode()


def test_where_nothing_stands_as_much_is_worked_out(
    world: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    hashed: list[str] = []
    monkeypatch.setattr("matches.writes.recovery.make_password", hashed.append)
    for name in ("wilmot", "nobody-here"):
        enter("AAAA-BBBB-CCCC", name=name)
    assert hashed == ["AAAABBBBCCCC"] * 2


# ---- the desk's page and the keeper's command ----------------------------------------------------


def test_the_page_shows_a_code_once_and_asks_the_secretary_for_the_password(world: Any) -> None:
    client = signed_in(world.secretary)
    sent = {"do": "make", "member": world.member.pk, "own": "wrong"}
    assert (
        "not the password you sign in with" in client.post(PAGE, sent, follow=True).content.decode()
    )
    assert not RecoveryCode.objects.exists()
    shown = client.post(PAGE, sent | {"own": PASSWORD})
    page = shown.content.decode()
    code = re.search(r"<code>([^<]+)</code>", page)
    assert code
    assert "no-store" in shown["Cache-Control"]
    again = client.get(PAGE).content.decode()
    assert (code[1] in again, "A code stands until" in again) == (False, True)
    ended = client.post(PAGE, {"do": "end", "member": world.member.pk}, follow=True)
    assert "lets nobody in any more" in ended.content.decode()
    assert "do not go together" in enter(code[1]).content.decode()
    assert verbs() == ["recovery_make", "recovery_end"]


def test_the_page_offers_no_code_where_none_may_be_made(world: Any) -> None:
    Membership.objects.create(club=world.other_club, person=world.member, role=Role.MEMBER)
    page = signed_in(world.secretary).get(PAGE).content.decode()
    offered = re.findall(r'<option value="(\d+)"', page)
    assert str(world.rival.pk) in offered
    assert not {str(world.member.pk), str(world.secretary.pk)} & set(offered)
    assert "Reaches beyond the club" in page


def test_many_people_take_as_many_queries_as_few(
    world: Any, django_assert_num_queries: Any
) -> None:
    client = signed_in(world.secretary)
    for many in (1, 20):
        for n in range(many):
            one = Person.objects.create_user(f"more{many}-{n}")
            Membership.objects.create(club=world.club, person=one, role=Role.MEMBER)
        with django_assert_num_queries(7):
            client.get(PAGE)


def test_the_keepers_command_makes_a_code_for_anybody(world: Any) -> None:
    keeper(world)
    said = io.StringIO()
    call_command("recovery_code", "wilmot", stdout=said)
    code = said.getvalue().split()[0]
    assert enter(code).status_code == 302
    assert verbs() == ["recovery_make_by_keeper", "recovery_use"]
    with pytest.raises(CommandError, match="Nobody signs in as"):
        call_command("recovery_code", "nobody")


def test_a_code_of_the_keepers_ends_one_of_the_secretarys(world: Any) -> None:
    first = make(world)
    second = recovery_make_by_keeper(world.member)
    assert "do not go together" in enter(first).content.decode()
    assert enter(second).status_code == 302
