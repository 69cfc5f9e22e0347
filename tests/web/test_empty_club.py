"""A club that has nothing yet: no page leads nowhere, and no form asks to choose among nothing."""

from __future__ import annotations

from typing import Any

import pytest
from django.test import Client

from matches.models import Club, Membership, Person, Role, Team
from tests.web.test_no_dead_ends import looked_at

pytestmark = pytest.mark.django_db


@pytest.fixture
def founders() -> dict[str, Client]:
    """The secretary of a club of nobody else, and the captain of its one team."""
    club = Club.objects.create(name="Larkmill Rovers Club", slug="larkmill")
    team = Team.objects.create(club=club, name="Larkmill Larks")
    roles: list[tuple[str, str, Any]] = [
        ("odette", Role.SECRETARY, None),
        ("perrin", Role.CAPTAIN, team),
    ]
    clients = {}
    for username, role, of in roles:
        person = Person.objects.create_user(username)
        Membership.objects.create(club=club, person=person, role=role, team=of)
        clients[username] = Client(HTTP_HOST="localhost")
        clients[username].force_login(person)
    return clients


@pytest.mark.parametrize("username", ["odette", "perrin"])
def test_no_page_of_it_leads_nowhere_or_asks_to_choose_among_nothing(
    founders: dict[str, Client], username: str
) -> None:
    dead, nothing = set[str](), set[str]()
    pages = looked_at(founders[username], "/desk/", dead=dead)
    for address, page in pages.items():
        nothing |= {f"{address}: {name}" for name, of in page.offered.items() if not of - {""}}
    assert len(pages) > 15
    assert (sorted(dead), sorted(nothing)) == ([], [])


def test_a_season_is_offered_once_a_match_of_the_team_is_published(world: Any) -> None:
    from matches.writes.bulletins import bulletin_publish
    from tests.fished import weigh_all

    client = Client()
    client.force_login(world.captain)
    address = f"/desk/teams/{world.alders.pk}/season/"
    assert "No match of this team is published yet" in client.get(address).content.decode()
    weigh_all(world)
    bulletin_publish(world.secretary, match=world.match)
    assert "Work out the season" in client.get(address).content.decode()
