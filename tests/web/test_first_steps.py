"""An empty site says how to begin, and a new club what comes next until it has published."""

from __future__ import annotations

import datetime as dt
from types import SimpleNamespace
from typing import Any

import pytest
from django.core.cache import cache
from django.test import Client

from bait.reads.first_order import OrderStep, TeamHas, first_orders, order_steps_done
from matches.models import Angler, Club, Match, MatchState, Membership, Person
from matches.reads import begun
from matches.reads.desk import DeskMatch
from matches.reads.first_steps import Begun, Step, steps_done
from matches.reckon.sections import SectionRun
from tests.clients import signed_in
from tests.conftest import PASSWORD, World
from tests.web.test_larder_pages import placed, planned
from tests.web.test_shop_pages import TERMS
from web.desk.section_rows import sections_notes

MATCH: Any = SimpleNamespace()


def order(current: int | None = 1, placed: int | None = None, bagged: int | None = None) -> Any:
    return SimpleNamespace(current_id=current, placed_id=placed, bagged_at=bagged)


@pytest.mark.parametrize(
    ("has", "step"),
    [
        (Begun(), Step.PEOPLE),
        (Begun(anglers=1), Step.PEOPLE),
        (Begun(anglers=2), Step.VENUE),
        (Begun(anglers=2, pegs=1), Step.VENUE),
        (Begun(anglers=2, pegs=4), Step.MATCH),
        (Begun(anglers=2, pegs=4, match=MATCH), Step.ENTER),
        (Begun(anglers=2, pegs=4, match=MATCH, entered=2), Step.SECTIONS),
        (Begun(anglers=3, pegs=4, match=MATCH, entered=3, places=2), Step.SECTIONS),
        (Begun(anglers=2, pegs=4, match=MATCH, entered=2, places=4), Step.DRAW),
        (Begun(2, 4, MATCH, 2, 4, drawn=True, to_weigh=2), Step.WEIGH),
        (Begun(2, 4, MATCH, 2, 4, drawn=True, weighed=1, to_weigh=1), Step.WEIGH),
        (Begun(2, 4, MATCH, 2, 4, drawn=True, weighed=2), Step.PUBLISH),
    ],
)
def test_the_next_step_of_a_club_is_the_first_it_has_not_done(has: Begun, step: Step) -> None:
    done = steps_done(has)
    assert next(one for one in Step if not done[one]) is step


@pytest.mark.parametrize(
    ("has", "step"),
    [
        (TeamHas(), OrderStep.TEAM),
        (TeamHas(anglers=True), OrderStep.SHOP),
        (TeamHas(anglers=True, packs=True), OrderStep.ENTER),
        (TeamHas(True, True, MATCH), OrderStep.PLANS),
        (TeamHas(True, True, MATCH, 1), OrderStep.ORDER),
        (TeamHas(True, True, MATCH, 1, order(current=None)), OrderStep.ORDER),
        (TeamHas(True, True, MATCH, 1, order()), OrderStep.PLACE),
        (TeamHas(True, True, MATCH, 1, order(placed=1)), OrderStep.HAND_OUT),
    ],
)
def test_the_next_step_of_a_team_is_the_first_it_has_not_done(
    has: TeamHas, step: OrderStep
) -> None:
    done = order_steps_done(has)
    assert next(one for one in OrderStep if not done[one]) is step


@pytest.mark.parametrize(
    ("entered", "cut", "committed", "step"),
    [
        (0, False, False, "enter"),
        (0, True, False, "enter"),
        (4, False, False, "cut"),
        (4, True, False, "commit"),
        (4, True, True, "hold"),
    ],
)
def test_a_planned_match_is_entered_and_cut_before_its_draw_is_committed_to(
    entered: int, cut: bool, committed: bool, step: str
) -> None:
    planned = Match(state=MatchState.PLANNED, called_off="")
    row = DeskMatch(planned, True, True, False, (), entered, 0, 0, 0, committed, cut)
    assert row.next_step == step


@pytest.mark.parametrize(
    ("entered", "sizes", "labels"),
    [
        (0, (12, 12), None),
        (9, (12, 12), "B"),
        (13, (12, 12), "B"),
        (14, (12, 12), None),
        (1, (2, 2, 2), "A, B, C"),
        (24, (12, 12), None),
    ],
)
def test_sections_that_an_open_draw_would_leave_without_a_contest_are_named(
    entered: int, sizes: tuple[int, ...], labels: str | None
) -> None:
    first = [1 + sum(sizes[:n]) for n in range(len(sizes))]
    runs = [
        SectionRun(label, tuple(str(start + n) for n in range(size)))
        for label, start, size in zip("ABC", first, sizes, strict=False)
    ]
    pegs: Any = SimpleNamespace(
        entered=entered, drawn=False, across=lambda _runs: (), loose=lambda _runs: ()
    )
    said = " ".join(words for _kind, words in sections_notes(pegs, runs))
    assert ("In an open draw" in said) is (labels is not None)
    assert labels is None or f" {labels} would have nobody" in said


def test_an_order_that_is_placed_stays_the_next_step_while_its_match_is_fished(
    world: World,
) -> None:
    planned(world, "Maud", caster="1")
    order = placed(world)
    Match.objects.filter(pk=order.match_id).update(state=MatchState.WEIGHING)
    (way,) = first_orders(world.captain)[world.club.pk]
    assert way.next is OrderStep.HAND_OUT


def test_each_step_of_both_ways_has_its_own_words() -> None:
    from web.first_words import WORDS

    assert len(WORDS) == len(Step) + len(OrderStep)


def test_an_empty_site_says_how_to_begin_until_there_is_a_club(db: None) -> None:
    cache.delete(begun.KEY)
    client = Client(HTTP_HOST="localhost")
    assert "manage.py createsuperuser" in client.get("/").content.decode()
    keeper = Person.objects.create_superuser("aled", password=PASSWORD)
    assert "Sign in with the first account" in client.get("/").content.decode()
    made = {"name": "Alder Brook", "team": "Brook Reds", "angler": "Aled Fenn"}
    assert signed_in(keeper).post("/desk/begin/", made)["Location"] == "/desk/"
    assert "how to begin" not in client.get("/").content.decode()
    club = Club.objects.get()
    assert (club.slug, club.teams.get().name) == ("alder-brook", "Brook Reds")
    assert Angler.objects.get(club=club, person=keeper).team == club.teams.get()
    desk = signed_in(keeper).get("/desk/").content.decode()
    assert "Write in who fishes" in desk
    assert "/desk/clubs/alder-brook/book/" in desk


def test_a_club_without_a_name_or_of_one_that_is_taken_is_not_begun(world: World) -> None:
    keeper = Person.objects.create_superuser("aled", password=PASSWORD)
    before = Club.objects.count()
    for name, said in (("", "Say what the club"), (world.club.name, "club of that name")):
        page = signed_in(keeper).post("/desk/begin/", {"name": name}).content.decode()
        assert said in page
    assert Club.objects.count() == before


def test_names_are_pasted_into_the_book_with_a_new_team_and_twice_is_once(world: World) -> None:
    client, here = signed_in(world.secretary), f"/desk/clubs/{world.club.slug}/book/"
    sent = {"do": "names", "names": "Nesta Reed\n\n Owen  Tarn ", "team": "Reeds"}
    for _time in range(2):
        assert client.post(here, sent).status_code == 302
    names = Angler.objects.filter(club=world.club, team__name="Reeds").values_list("name")
    assert sorted(names) == [("Nesta Reed",), ("Owen Tarn",)]
    page = client.post(here, {"do": "names", "names": " ", "team": ""}).content.decode()
    assert "Write at least one name." in page


def test_a_captain_is_named_and_taken_back_by_the_secretary(world: World) -> None:
    client, here = signed_in(world.secretary), f"/desk/clubs/{world.club.slug}/book/"
    who = {"team": world.alders.pk, "person": world.member.pk}
    held = Membership.objects.filter(person=world.member, team=world.alders, ended_at=None)
    client.post(here, {"do": "captain", **who})
    assert held.count() == 1
    client.post(here, {"do": "captain-back", **who})
    assert held.count() == 0


def test_a_venue_is_added_with_its_pegs_numbered(world: World) -> None:
    client, here = signed_in(world.secretary), f"/desk/venues/{world.club.slug}/"
    sent = {"name": "Long Reach", "timezone": "Europe/London", "pegs": "12"}
    client.post(here, sent)
    venue = world.club.venues.get(name="Long Reach")
    assert [peg.number for peg in venue.pegs.order_by("position")] == [str(n) for n in range(1, 13)]
    page = client.post(here, {**sent, "name": "Other", "pegs": "many"}).content.decode()
    assert "how many pegs" in page
    assert not world.club.venues.filter(name="Other").exists()


def test_a_new_match_is_for_the_coming_saturday(world: World) -> None:
    page = signed_in(world.secretary).get(f"/desk/clubs/{world.club.slug}/matches/new/")
    day = page.context["form"].values["date"]
    assert dt.date.fromisoformat(day).weekday() == 5


def test_what_is_done_offers_the_next_step_beside_it_until_a_result_is_out(world: World) -> None:
    keeper = Person.objects.create_superuser("aled", password=PASSWORD)
    client = signed_in(keeper)
    made = {"name": "Alder Brook", "team": "Brook Reds", "angler": "Aled Fenn"}
    client.post("/desk/begin/", made)

    def done(at: str, **sent: str) -> str:
        return client.post(at, sent, follow=True).content.decode()

    book, venues = "/desk/clubs/alder-brook/book/", "/desk/venues/alder-brook/"
    page = done(book, do="names", names="Nesta Reed", team="Brook Reds")
    assert f'href="{venues}"><svg' in page and "Next: Add the venue with its pegs" in page
    page = done(venues, name="Long Reach", timezone="Europe/London", pegs="12")
    assert 'href="/desk/clubs/alder-brook/matches/new/"' in page and "Next: Plan the match" in page
    assert "Next: " not in client.get(venues).content.decode()


def test_who_does_not_run_the_club_is_offered_no_step_of_it(world: World) -> None:
    client = signed_in(world.captain)
    page = client.post(f"/desk/shops/{world.club.slug}/", TERMS, follow=True).content.decode()
    assert 'class="message success"' in page and "Next: " not in page
