"""How long a new password is, the same wherever one is set, and old ones that are shorter."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import pytest
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.test import Client

from matches.models import Person
from matches.reads.invitations import invitation_code
from matches.writes.invitations import invitation_make
from tests.clients import signed_in
from tests.conftest import PASSWORD

pytestmark = pytest.mark.django_db
ELEVEN, TWELVE = "by the weir", "by the weirs"
MOST, MORE = "sedge " * 21 + "by", "sedge " * 21 + "by!"
HELP = "At least twelve characters, blanks count: three or four words do well."


def test_twelve_signs_are_enough_blanks_among_them_and_128_the_most() -> None:
    assert (len(ELEVEN), len(TWELVE), len(MOST), len(MORE)) == (11, 12, 128, 129)
    for taken in (TWELVE, MOST):
        validate_password(taken)
    for refused, words in ((ELEVEN, "at least 12"), (MORE, "at most 128")):
        with pytest.raises(ValidationError, match=words):
            validate_password(refused)


def invited(world: Any) -> str:
    return invitation_code(invitation_make(world.secretary, match=world.match, days=14))


def joining(world: Any, password: str) -> str:
    typed = {"do": "account", "first_name": "Hester", "last_name": "Vane", "username": "hester"}
    both = {"password1": password, "password2": password}
    return Client().post(f"/join/{invited(world)}/", typed | both, follow=True).content.decode()


def changing(world: Any, password: str) -> str:
    typed = {"own": PASSWORD, "password": password, "again": password}
    sent = signed_in(world.member).post("/desk/account/", typed, follow=True)
    return sent.content.decode()


@pytest.mark.parametrize("form", [joining, changing])
def test_a_form_says_what_is_too_short_and_too_long_and_takes_the_longest(
    world: Any, form: Callable[[Any, str], str]
) -> None:
    for refused, words in ((ELEVEN, "too short"), (MORE, "too long")):
        page = form(world, refused)
        assert words in page and HELP in page
    assert "too long" not in form(world, MOST)
    name = "hester" if form is joining else "wilmot"
    assert Person.objects.get(username=name).check_password(MOST)


def test_an_old_password_that_is_shorter_still_signs_in(world: Any) -> None:
    world.member.set_password("heron")
    world.member.save()
    sent = Client().post("/sign-in/", {"username": "wilmot", "password": "heron"})
    assert sent.status_code == 302


@pytest.mark.parametrize(
    ("who", "page"),
    [
        ("", "/sign-in/"),
        ("", "/recover/"),
        ("", "/join/{code}/"),
        ("member", "/desk/account/"),
        ("member", "/desk/me/data/"),
        ("secretary", "/desk/clubs/otterbeck/sign-ins/"),
    ],
)
def test_every_form_with_a_password_can_show_it_once_its_script_runs(
    world: Any, who: str, page: str
) -> None:
    client = signed_in(getattr(world, who)) if who else Client()
    shown = client.get(page.format(code=invited(world))).content.decode()
    forms = [
        form
        for form in re.findall("<form.*?</form>", shown, re.DOTALL)
        if 'type="password"' in form
    ]
    assert forms
    for form in forms:
        assert re.search(r"<p hidden><button[^>]*data-show-typed", form)
    assert shown.count("js/show-typed.js") == 1
