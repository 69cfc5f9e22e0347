"""A team's season over HTTP and in the API, as each role meets it."""

from __future__ import annotations

from typing import Any

import pytest
from django.utils import timezone

from bait.writes.season import season_answer_make, season_ask
from matches.models import WorkRequest
from tests.bait.test_season_work import matches_fished, note, worked_out
from tests.clients import signed_in
from web.season_picture import season_picture
from web.season_words import effect_said, factor_said, step_said, verdict_said, why_said


def addresses(world: Any) -> tuple[str, str]:
    team = world.alders.pk
    return f"/desk/teams/{team}/season/", f"/api/v1/teams/{team}/season"


def page(world: Any, who: str) -> str:
    answer = signed_in(getattr(world, who)).get(addresses(world)[0])
    assert answer.status_code == 200
    return " ".join(answer.content.decode().split())


def test_asking_shows_progress_and_then_what_can_be_said(world: Any) -> None:
    matches_fished(world, many=9)
    address, api = addresses(world)
    client = signed_in(world.captain)
    assert "Work out the season" in page(world, "captain")
    assert client.post(address).headers["Location"] == address
    assert f'data-work="{api}"' in page(world, "captain")
    assert client.get(api).json()["state"] == "waiting"
    season_answer_make(WorkRequest.objects.get().pk)
    shown = page(world, "captain")
    assert 'id="work"' not in shown and "Work it out again" in shown
    assert "Days with more of it than the angler’s usual went with more weight" in shown
    assert "That does not say it brought the weight." in shown
    assert "Fed on 9 matches, 18 days, 2 anglers." in shown
    assert "90 % sure between" in shown
    body = client.get(api).json()
    assert (body["state"], body["newer"], body["season"]["days"]) == ("done", False, 18)
    assert {effect["key"] for effect in body["season"]["effects"]} == {"caster", "loose"}


def test_a_member_reads_nothing_that_stands_on_two_members_notes(world: Any) -> None:
    matches_fished(world, many=9)
    worked_out(world)
    shown = page(world, "member")
    assert "only the captain reads" in shown and "went with more weight" not in shown
    assert "nothing can be said for sure" in shown and "stands out" not in shown
    body = signed_in(world.member).get(addresses(world)[1]).json()["season"]
    assert (body["effects"], body["kept_back"]) == ([], 2)


def test_what_was_left_out_is_told_to_each_of_their_own_days_and_to_the_captain_of_all(
    world: Any,
) -> None:
    for match in matches_fished(world, many=2):
        note(world, match, world.member, 2000)
        note(world, match, world.captain, -3000)
    worked_out(world)
    own, every = page(world, "member"), page(world, "captain")
    assert "4 days" in own and "4 days" in every
    assert "My own days" in own and "Maud Ferris ·" not in own
    assert "Maud Ferris ·" in every and "Wilmot Crane ·" in every
    left = signed_in(world.member).get(addresses(world)[1]).json()["season"]["left_out"]
    assert {day["angler"] for day in left} == {"Wilmot Crane"}
    assert {day["why"] for day in left} == {"clock"}


def test_too_few_matches_say_how_many_it_takes(world: Any) -> None:
    matches_fished(world, many=2)
    worked_out(world)
    assert (
        "Too few to say anything yet: 2 matches, 4 days, 2 anglers can be counted, and it takes "
        "15 days of 5 matches." in page(world, "captain")
    )


def test_without_a_published_match_no_day_is_called_noted_whole(world: Any) -> None:
    worked_out(world)
    shown = page(world, "captain")
    assert "No match of this team has a published result yet." in shown
    assert "every day was noted whole" not in shown


def test_newer_notes_and_a_failed_worker_are_told(world: Any) -> None:
    match = matches_fished(world, many=1)[0]
    worked_out(world)
    note(world, match, world.captain, 60)
    assert "have come since this was worked out" in page(world, "captain")
    work = season_ask(world.captain, team_id=world.alders.pk)
    WorkRequest.objects.filter(pk=work.pk).update(
        state="failed", problem="It stopped.", finished_at=timezone.now()
    )
    shown = page(world, "captain")
    assert "The season could not be worked out." in shown and "It stopped." in shown


def test_the_page_asks_the_same_few_questions(
    world: Any, django_assert_max_num_queries: Any
) -> None:
    matches_fished(world, many=6)
    worked_out(world)
    client = signed_in(world.captain)
    with django_assert_max_num_queries(14):
        client.get(addresses(world)[0])


def test_the_season_is_found_from_the_teams_page_and_from_a_review(world: Any) -> None:
    link = f'href="{addresses(world)[0]}"'
    client = signed_in(world.captain)
    match = world.match.pk
    assert link in client.get(f"/desk/teams/{world.alders.pk}/matches/{match}/").content.decode()
    assert link in client.get(f"/desk/plans/{match}/review/").content.decode()


# Sentences and the picture ----------------------------------------------------------------------


def effect(found: str, **more: Any) -> dict[str, Any]:
    said = found in ("more", "less", "unsure")
    factors = {"times": 1.3, "low": 0.9, "high": 1.8} if said else {}
    column = {"of": "bait", "key": "caster", "unit": "pint", "together_with": []}
    counts = {"matches": 14, "days": 63, "anglers": 6, "step": "0.5"}
    nothing = dict.fromkeys(("times", "low", "high"))
    return {"found": found, **column, **counts, **nothing, **factors, **more}


HEMP = {"of": "bait", "key": "hemp", "unit": "pint"}


@pytest.mark.parametrize(
    ("given", "words"),
    [
        (effect("unsure"), "for each 0.5 pints more the weight was 1.3 times"),
        (effect("more", low=1.1), "90 % sure between 1.1 and 1.8. That does not say it brought"),
        (effect("less", times=0.5, low=0.3, high=0.9), "0.5 times for each 0.5 pints more"),
        (effect("few"), "Too few to say: that takes 10 days of 5 matches with it."),
        (effect("alike"), "there is nothing to compare"),
        (effect("together", together_with=[HEMP]), "went together with Hemp, so nothing can"),
    ],
)
def test_every_finding_is_said_with_its_doubt(given: dict[str, Any], words: str) -> None:
    assert words in effect_said(given, names={"caster": "Caster", "hemp": "Hemp"})


@pytest.mark.parametrize(
    ("factor", "text"),
    [
        (1.0, "1"),
        (1.304, "1.3"),
        (0.071, "0.071"),
        (0.0001, "0.01"),
        (14.2, "14"),
        (1e6, "over 10"),
    ],
)
def test_factors_are_no_more_exact_than_they_are_known(factor: float, text: str) -> None:
    assert factor_said(factor) == text


def test_a_rhythm_is_said_in_feeds_an_hour() -> None:
    steps = [step_said(effect("few", of="rate", unit="", step=step)) for step in ("1", "2")]
    assert steps == ["1 feed an hour", "2 feeds an hour"]


def test_a_season_in_which_nothing_or_something_stands_out_says_so() -> None:
    answer = {"verdict": "said", "matches": 14, "days": 63, "anglers": 6}
    nothing = verdict_said(answer, effects=[effect("unsure"), effect("few")])
    assert nothing.startswith("Of 14 matches, 63 days, 6 anglers nothing can be said for sure.")
    one = verdict_said(answer, effects=[effect("more")])
    assert one.startswith("1 thing stands out") and "by luck alone" in one
    assert "Nothing can be told apart" in verdict_said({**answer, "verdict": "alike"}, effects=[])


def test_every_reason_has_words() -> None:
    from typing import get_args

    from bait.reckon.season.day import Why

    assert len({why_said(why) for why in get_args(Why)}) == len(get_args(Why)) == 10


def test_the_picture_lies_within_its_frame_and_an_open_end_has_an_arrow() -> None:
    wide = effect("unsure", low=0.01, high=300.0)
    picture = season_picture([effect("more", low=1.1), wide, effect("few")], names={})
    assert picture is not None and len(picture.rows) == 2
    narrow, open_ended = picture.rows
    assert narrow.arrows == () and len(open_ended.arrows) == 2
    for row in picture.rows:
        assert 0 <= float(row.left) <= float(row.x) <= float(row.right) <= picture.width
    assert float(narrow.left) > float(picture.even) == picture.width / 2
    assert season_picture([effect("few")], names={}) is None
