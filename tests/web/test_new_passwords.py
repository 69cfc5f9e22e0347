"""How long a new password is, the same wherever one is set, and old ones that are shorter."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.test import Client

from matches.models import Person
from matches.reads.invitations import invitation_code
from matches.writes.invitations import invitation_make
from tests.conftest import PASSWORD
from tests.web.test_match_pages import signed_in

pytestmark = pytest.mark.django_db
ELEVEN, TWELVE = "by the weir", "by the weirs"
MOST, MORE = "sedge " * 21 + "by", "sedge " * 21 + "by!"
HELP = "At least twelve signs, blanks count: three or four words do well."


def test_twelve_signs_are_enough_blanks_among_them_and_128_the_most() -> None:
    assert (len(ELEVEN), len(TWELVE), len(MOST), len(MORE)) == (11, 12, 128, 129)
    for taken in (TWELVE, MOST):
        validate_password(taken)
    for refused, words in ((ELEVEN, "at least 12"), (MORE, "at most 128")):
        with pytest.raises(ValidationError, match=words):
            validate_password(refused)


def joining(world: Any, password: str) -> str:
    code = invitation_code(invitation_make(world.secretary, match=world.match, days=14))
    typed = {"do": "account", "first_name": "Hester", "last_name": "Vane", "username": "hester"}
    both = {"password1": password, "password2": password}
    return Client().post(f"/join/{code}/", typed | both, follow=True).content.decode()


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
