"""What "Go to…" lists: the pages that a person may open, and no other."""

from __future__ import annotations

import datetime as dt

import pytest
from django.contrib.auth.models import AnonymousUser
from django.test import Client
from django.urls import resolve

from matches.models import Match
from tests.conftest import World
from tests.rights import ROLES, answers, by_name
from tests.rights_rows import rows_make
from web.desk.pages_of import Page, pages_narrowed, pages_of

pytestmark = pytest.mark.django_db
TODAY = dt.date(2026, 6, 1)
OF_SECRETARY = {
    "settings", "draw", "publish", "match-pegs", "pools", "payouts", "weighers", "invitation",
    "book", "trail", "sign-ins", "venues", "match-new", "webhooks", "juniors",
}  # fmt: skip


def names_of(pages: list[Page]) -> set[str]:
    return {resolve(page.address).view_name.removeprefix("desk:") for page in pages}


def test_every_role_may_open_each_page_of_its_list() -> None:
    rows = rows_make()
    shut = []
    for role in ROLES[1:]:
        person = rows.people[role]
        assert person is not None
        client = Client(HTTP_HOST="localhost", raise_request_exception=False)
        client.force_login(person)
        for page in pages_of(person, today=TODAY):
            status = client.get(page.address).status_code
            whose = by_name()[resolve(page.address).view_name].reads
            if status != 200 or (role == "clubmate" and answers(whose)[role] != "may"):
                shut.append(f"{page.name} for {role}: {status}")
    assert not shut, "\n".join(shut)


def test_who_is_not_signed_in_has_no_list_and_is_asked_in() -> None:
    nobody = AnonymousUser()
    assert pages_of(nobody, today=TODAY) == []  # type: ignore[arg-type]
    assert Client(HTTP_HOST="localhost").get("/desk/pages/").status_code == 302


@pytest.mark.parametrize(
    ("who", "there", "not_there"),
    [
        ("member", {"match", "plan", "mixing", "larder", "season"}, {"weigh", "order", "shops"}),
        ("weigher", {"match", "weigh"}, {"plan", "order", "larder", "shops"}),
        ("captain", {"order", "bags", "larder", "season", "shops", "baits", "files"}, {"weigh"}),
        ("secretary", {"weigh", "order", "larder", *OF_SECRETARY}, set()),
    ],
)
def test_each_finds_what_their_work_needs(
    world: World, who: str, there: set[str], not_there: set[str]
) -> None:
    found = names_of(pages_of(getattr(world, who), today=TODAY))
    assert there <= found
    assert not (not_there | (OF_SECRETARY if who != "secretary" else set())) & found


def test_any_words_of_a_name_find_it_without_capitals_and_accents(world: World) -> None:
    pages = pages_of(world.secretary, today=TODAY)
    (found,) = pages_narrowed(pages, typed="  OPEN  weigh b ")
    assert found.name.startswith("Weigh board · June Open, ")
    assert pages_narrowed([Page("Précédente", "/")], typed="prece")
    assert not pages_narrowed(pages, typed="weigh zander")


def test_the_page_without_scripts_is_the_same_list_narrowed(world: World) -> None:
    client = Client(HTTP_HOST="localhost")
    client.force_login(world.captain)
    body = client.get("/desk/pages/", {"q": "larder"}).content.decode()
    assert f'<a href="/desk/teams/{world.alders.pk}/larder/">' in body and "1 page<" in body
    assert "No page of yours" in client.get("/desk/pages/?q=zander").content.decode()


def test_a_list_asks_no_more_for_more_matches(
    world: World, django_assert_max_num_queries: object
) -> None:
    for day in range(1, 8):
        Match.objects.create(
            club=world.club, venue=world.venue, name=f"Match {day}", slug=f"match-{day}",
            date=TODAY - dt.timedelta(days=day), start_at=world.match.start_at,
            end_at=world.match.end_at,
        )  # fmt: skip
    with django_assert_max_num_queries(7):  # type: ignore[operator]
        pages_of(world.secretary, today=TODAY)
