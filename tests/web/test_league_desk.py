"""The desk's pages of leagues: who sees them, what may be typed, what is said back."""

from __future__ import annotations

from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from matches.models import League
from tests.clients import signed_in
from tests.league_season import league_of, match_again, season

pytestmark = pytest.mark.django_db

LIST = "/desk/clubs/otterbeck/leagues/"
NEW = "/desk/clubs/otterbeck/new-league/"
AT = f"{LIST}wend-league/"
TYPED = {
    "name": "Wend League",
    "of": "anglers",
    "adds": "points_low",
    "counting": "drop",
    "drop_worst": "1",
    "minimum_rounds": "",
    "missed": "fixed",
    "missed_points": "20",
    "tie_1": "weight",
    "tie_2": "",
    "tie_3": "last_round",
}


@pytest.fixture
def secretary(world: Any) -> Client:
    return signed_in(world.secretary)


def text(response: Any) -> str:
    assert response.status_code == 200, response.status_code
    return str(response.content.decode())


def test_a_league_is_made_in_words_and_leads_to_its_rounds(world: Any, secretary: Client) -> None:
    response = secretary.post(NEW, TYPED)
    assert response.headers["Location"] == f"{AT}rounds/"
    assert League.objects.get().rules == {
        "counts": "points",
        "points": "low",
        "drop_worst": 1,
        "minimum_rounds": 0,
        "missed": {"points": "20"},
        "tie_breaks": ["weight", "last_round"],
    }
    page = text(secretary.get(AT))
    assert "The worst round is dropped." in page
    assert "A missed round is 20 points." in page
    assert "No rounds yet" in page


@pytest.mark.parametrize("preset", ["all", "drop", "best", "most"])
def test_every_preset_makes_a_league_with_a_name_alone(
    world: Any, secretary: Client, preset: str
) -> None:
    form = secretary.get(NEW, {"like": preset}).context["form"]
    secretary.post(NEW, {**form.values, "name": "Wend League"})
    assert League.objects.count() == 1
    assert text(secretary.get(f"{AT}rules/"))


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"name": ""}, "name"),
        ({"of": "boats"}, "of"),
        ({"adds": "luck"}, "adds"),
        ({"drop_worst": "one"}, "drop_worst"),
        ({"drop_worst": "0"}, "drop_worst"),
        ({"counting": "best", "best_of": "1e3"}, "best_of"),
        ({"minimum_rounds": "-1"}, "minimum_rounds"),
        ({"minimum_rounds": "000000001999"}, "minimum_rounds"),
        ({"minimum_rounds": "000000001".ljust(5_000, "9")}, "minimum_rounds"),
        ({"missed": "not_counted"}, "missed"),
        ({"missed_points": "many"}, "missed_points"),
        ({"tie_2": "weight"}, "tie_2"),
        ({"tie_1": "coin"}, "tie_1"),
    ],
)
def test_a_slip_is_told_at_its_field_and_nothing_typed_is_lost(
    world: Any, secretary: Client, typed: dict[str, str], field: str
) -> None:
    sent = {**TYPED, **typed}
    response = secretary.post(NEW, sent)
    form = response.context["form"]
    assert list(form.faults) == [field]
    assert form.others == []
    assert {k: v for k, v in form.values.items() if k in sent} == sent
    assert not League.objects.exists()


def test_rounds_are_set_by_their_numbers(world: Any, secretary: Client) -> None:
    league = league_of(world)
    other = match_again(world, name="July Open", days=14)
    first, second = f"round-{other.pk}", f"round-{world.match.pk}"
    twice = secretary.post(f"{AT}rounds/", {first: "1", second: "1"})
    assert "stands twice" in text(twice)
    secretary.post(f"{AT}rounds/", {first: "1", second: "4"})
    assert [r.match for r in league.rounds.all()] == [other, world.match]
    assert "Round 2: June Open" in text(secretary.get(AT))


@pytest.mark.parametrize(
    "typed", ["0", "101", "one", "000000001999", "000000001".ljust(5_000, "9")]
)
def test_what_is_no_number_of_a_round_is_told_at_its_match(
    world: Any, secretary: Client, typed: str
) -> None:
    league = league_of(world)
    name = f"round-{world.match.pk}"
    form = secretary.post(f"{AT}rounds/", {name: typed}).context["form"]
    assert "1 to 100" in form.faults[name]
    assert not league.rounds.exists()


def test_a_round_that_cannot_be_one_is_told_at_its_match(world: Any, secretary: Client) -> None:
    league_of(world)
    world.match.scheme = {"direction": "high"}
    world.match.save()
    name = f"round-{world.match.pk}"
    form = secretary.post(f"{AT}rounds/", {name: "1"}).context["form"]
    assert "points the other way round" in form.faults[name]


def test_rules_changed_after_a_table_need_a_reason_at_its_field(
    world: Any, secretary: Client
) -> None:
    league, _ = season(world)
    form = secretary.post(f"{AT}rules/", TYPED).context["form"]
    assert list(form.faults) == ["reason"]
    response = secretary.post(f"{AT}rules/", {**TYPED, "reason": "Agreed in May."})
    assert response.headers["Location"] == AT
    assert "Other rules: Agreed in May." in text(secretary.get(AT))
    assert league.tables.count() == 3


def test_a_league_made_by_mistake_can_be_deleted_and_one_with_a_table_says_why_not(
    world: Any, secretary: Client
) -> None:
    season(world)
    response = secretary.post(f"{AT}delete/", follow=True)
    assert "it stays readable, so the league does" in text(response)
    empty = league_of(world)
    secretary.post(f"{LIST}{empty.slug}/delete/")
    assert League.objects.count() == 1


SEEN = [LIST, AT]
KEPT = [NEW, f"{AT}rules/", f"{AT}rounds/"]


@pytest.mark.parametrize("at", [*SEEN, *KEPT])
def test_pages_ask_few_queries(world: Any, secretary: Client, at: str) -> None:
    season(world)
    with CaptureQueriesContext(connection) as asked:
        text(secretary.get(at))
    assert len(asked) <= 10


@pytest.mark.parametrize("who", ["captain", "member", "weigher"])
def test_members_see_leagues_and_keep_none(world: Any, who: str) -> None:
    season(world)
    client = signed_in(getattr(world, who))
    for at in SEEN:
        page = text(client.get(at))
        assert "new-league" not in page
        assert f"{AT}rules/" not in page
    for at in KEPT:
        assert client.get(at).status_code == 403
        assert client.post(at, TYPED).status_code == 403
    assert client.post(f"{AT}delete/").status_code == 403


def test_for_an_outsider_there_is_no_league(world: Any) -> None:
    season(world)
    client = signed_in(world.outsider)
    for at in [*SEEN, *KEPT]:
        assert client.get(at).status_code == 404
        assert client.post(f"{AT}delete/").status_code == 404


def test_without_signing_in_the_desk_asks_for_it(world: Any) -> None:
    for at in [*SEEN, *KEPT]:
        response = Client(HTTP_HOST="localhost").get(at)
        assert response.status_code == 302
        assert "/sign-in/" in response.headers["Location"]
