"""A page that was opened before somebody else saved takes back nothing of what they changed."""

from __future__ import annotations

import re
from typing import Any

import pytest
from django.test import Client

from matches.models import Match, Peg, Section
from matches.reads.match_pegs import match_pegs
from matches.writes.leagues import league_make
from matches.writes.match_content import terms_typed
from matches.writes.venues import venue_typed
from tests.matches.planned import undrawn

pytestmark = pytest.mark.django_db

TOLD = "Somebody changed this after you opened the page."


class Desk:
    """One secretary at one page with two windows: the older one is sent later."""

    def __init__(self, person: Any, address: str) -> None:
        self.client, self.address = Client(), address
        self.client.force_login(person)
        self.mark = mark_of(self.client.get(address).content.decode())

    def sent(self, typed: dict[str, str], *, mark: str = "") -> str:
        """The page that comes back; empty where it was saved."""
        answer = self.client.post(self.address, {**typed, "mark": mark or self.mark})
        assert answer.status_code in (200, 302)
        return "" if answer.status_code == 302 else answer.content.decode()


def mark_of(page: str) -> str:
    found = re.search(r'name="mark" value="([0-9a-f]{16})"', page)
    assert found
    return found[1]


def test_old_settings_with_another_fault_are_told_once_the_fault_is_mended(world: Any) -> None:
    match = undrawn(world)
    desk = Desk(world.secretary, f"/desk/matches/{match.pk}/settings/")
    typed = {"do": "save", **terms_typed(match)}
    assert desk.sent({**typed, "end_at": "16:00"}) == ""
    faulty = desk.sent({**typed, "name": ""})
    assert TOLD not in faulty
    mended = desk.sent({**typed, "name": "July Open"}, mark=mark_of(faulty))
    assert TOLD in mended and 'value="July Open"' in mended
    match.refresh_from_db()
    assert (match.name, terms_typed(match)["end_at"]) == ("June Open", "16:00")
    assert desk.sent({**typed, "name": "July Open"}, mark=mark_of(mended)) == ""


def test_an_old_page_of_a_venue_takes_back_nothing(world: Any) -> None:
    venue = world.venue
    desk = Desk(world.secretary, f"/desk/venues/otterbeck/{venue.pk}/")
    typed = venue_typed(venue)
    assert desk.sent({**typed, "cautions": "The far path floods."}) == ""
    faulty = desk.sent({**typed, "name": ""})
    assert TOLD not in faulty
    told = desk.sent({**typed, "water": "Upper Wend"}, mark=mark_of(faulty))
    assert TOLD in told and 'value="Upper Wend"' in told
    venue.refresh_from_db()
    assert (venue.water, venue.cautions) == (typed["water"], "The far path floods.")
    assert desk.sent({**typed, "water": "Upper Wend"}, mark=mark_of(told)) == ""
    venue.refresh_from_db()
    assert (venue.water, venue.cautions) == ("Upper Wend", typed["cautions"])


def test_an_old_page_of_a_peg_takes_back_nothing(world: Any) -> None:
    peg = Peg.objects.filter(venue=world.venue).earliest("position")
    desk = Desk(world.secretary, f"/desk/venues/otterbeck/{world.venue.pk}/pegs/{peg.pk}/")
    typed = {"do": "save", "number": peg.number, "side": peg.side, "depth_cm": "90", "notes": ""}
    assert desk.sent({**typed, "notes": "A snag to the left."}) == ""
    faulty = desk.sent({**typed, "depth_cm": "deep"})
    assert TOLD not in faulty
    told = desk.sent({**typed, "depth_cm": "120"}, mark=mark_of(faulty))
    assert TOLD in told and 'value="120"' in told
    peg.refresh_from_db()
    assert (peg.depth_cm, peg.notes) == (90, "A snag to the left.")
    assert desk.sent({**typed, "depth_cm": "120"}, mark=mark_of(told)) == ""
    peg.refresh_from_db()
    assert (peg.depth_cm, peg.notes) == (120, "")


def test_an_old_page_of_sections_takes_back_nothing(world: Any) -> None:
    match = undrawn(world)
    desk = Desk(world.secretary, f"/desk/matches/{match.pk}/pegs/")
    walk = match_pegs(match).walk
    mine = {"do": "save", "label-0": "A", "pegs-0": ", ".join(walk)}
    cut = 2
    theirs = {
        "label-0": "A",
        "pegs-0": ", ".join(walk[:cut]),
        "label-1": "B",
        "pegs-1": ", ".join(walk[cut:]),
        "do": "save",
    }
    assert desk.sent(theirs) == ""
    faulty = desk.sent({**mine, "pegs-0": "no peg"})
    assert TOLD not in faulty
    moved = desk.sent({**theirs, "do": "up:0"}, mark=mark_of(faulty))
    assert mark_of(moved) == desk.mark  # still the page that it was
    told = desk.sent(mine, mark=mark_of(moved))
    assert TOLD in told
    assert labels(match) == ["A", "B"]
    assert desk.sent(mine, mark=mark_of(told)) == ""
    assert labels(match) == ["A"]


def labels(match: Match) -> list[str]:
    return list(Section.objects.filter(match=match).values_list("label", flat=True))


@pytest.fixture
def league(world: Any) -> Any:
    rules = {"drop_worst": 0, "missed": "worst_plus_one", "tie_breaks": []}
    return league_make(
        world.secretary, club=world.club, name="Wend League", of="anglers", rules=rules
    )


def test_an_old_page_of_a_leagues_rules_takes_back_nothing(world: Any, league: Any) -> None:
    desk = Desk(world.secretary, f"/desk/clubs/otterbeck/leagues/{league.slug}/rules/")
    typed = {
        "name": "Wend League",
        "adds": "points_low",
        "counting": "all",
        "minimum_rounds": "2",
        "missed": "worst_plus_one",
    }
    assert desk.sent({**typed, "minimum_rounds": "3"}) == ""
    faulty = desk.sent({**typed, "minimum_rounds": "few"})
    assert TOLD not in faulty
    told = desk.sent({**typed, "name": "River League"}, mark=mark_of(faulty))
    assert TOLD in told and 'value="River League"' in told
    league.refresh_from_db()
    assert (league.name, league.rules["minimum_rounds"]) == ("Wend League", 3)
    assert desk.sent({**typed, "name": "River League"}, mark=mark_of(told)) == ""
    league.refresh_from_db()
    assert (league.name, league.rules["minimum_rounds"]) == ("River League", 2)


def test_an_old_page_of_a_leagues_rounds_takes_back_nothing(world: Any, league: Any) -> None:
    second = Match.objects.get(pk=world.match.pk)
    second.pk, second.slug, second.name = None, "second", "Second"
    second.save()
    desk = Desk(world.secretary, f"/desk/clubs/otterbeck/leagues/{league.slug}/rounds/")
    first, other = f"round-{world.match.pk}", f"round-{second.pk}"
    assert desk.sent({first: "1", other: "2"}) == ""
    faulty = desk.sent({first: "one"})
    assert TOLD not in faulty
    told = desk.sent({first: "1"}, mark=mark_of(faulty))
    assert TOLD in told
    assert league.rounds.count() == 2
    assert desk.sent({first: "1"}, mark=mark_of(told)) == ""
    assert league.rounds.count() == 1
