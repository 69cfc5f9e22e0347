"""The suggested plan over HTTP: reasons on the page, one tap into the form, and who may see it."""

from __future__ import annotations

import datetime as dt
import re
import uuid
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from bait.models import Bait, Plan
from bait.reads.plan_shown import plan_shown
from bait.writes.plan_content import plan_content_parse
from bait.writes.plans import plan_save
from matches.models import Entry, Fact, FactKind, Match, MatchState
from tests.clients import signed_in
from tests.web.test_review_pages import day_noted


def match_on(world: Any, day: dt.date, **more: Any) -> Match:
    start = dt.datetime.combine(day, dt.time(9), dt.UTC)
    given = {"name": f"Match of {day}", "venue": world.venue, "groundbait_limit_l": 20, **more}
    return Match.objects.create(
        club=world.club,
        slug=f"match-{day}",
        date=day,
        start_at=start,
        end_at=start + dt.timedelta(hours=5),
        bait_limit_l="2.5",
        **given,
    )


def entered(world: Any, match: Match, first: str) -> Entry:
    before = world.entries[first]
    return Entry.objects.create(match=match, angler=before.angler, team=before.team)


def planned(world: Any, entry: Entry, caster: str) -> None:
    feeds = [{"bait": "caster", "amount": caster, "unit": "pint"}]
    stage = {"kind": "feed", "line": "long", "end_minute": 300, "feeds": feeds}
    plan_save(
        world.secretary, entry=entry, content=plan_content_parse({"version": 0, "stages": [stage]})
    )


@pytest.fixture
def coming(world: Any) -> Entry:
    return february(world)


def february(world: Any) -> Entry:
    """Wilmot's entry in a match of February, with a groundbait and a soil to be had."""
    for key, kind in (("river-mix", "groundbait"), ("soil", "soil")):
        Bait.objects.create(club=world.club, key=key, name=key.title(), kind=kind, unit="L")
    return entered(world, match_on(world, dt.date(2027, 2, 6)), "Wilmot")


def page_of(world: Any, entry: Entry, who: str = "member", **typed: str) -> str:
    own = who == "member"
    at = "" if own else f"entries/{entry.pk}/"
    address = f"/desk/plans/{entry.match_id}/{at}suggestion/"
    answer = signed_in(getattr(world, who)).get(address, typed)
    assert answer.status_code == 200
    return answer.content.decode()


def row(page: str, what: str) -> str:
    found = re.search(rf'<th scope="row">{re.escape(what)}</th>(.*?)</tr>', page, re.DOTALL)
    assert found is not None, what
    return found[1]


def test_without_records_each_number_is_called_common_practice(world: Any, coming: Entry) -> None:
    page = page_of(world, coming)
    assert "5.0 °C, cold" in row(page, "Water")
    assert "usual for rivers in February (from memory)" in row(page, "Water")
    assert "nobody measured it" in row(page, "Flow")
    assert "50 %" in row(page, "Soil in the ready mix")
    assert "one secondary source" in row(page, "Soil in the ready mix")
    assert "common practice, no source" in row(page, "Hemp, fed loose")


def test_what_the_team_measured_and_used_in_such_water_comes_first(
    world: Any, coming: Entry
) -> None:
    for n, (day, caster) in enumerate(((dt.date(2027, 1, 9), "1"), (dt.date(2027, 1, 23), "1.5"))):
        match = match_on(world, day, state=MatchState.CONFIRMED)
        planned(world, entered(world, match, "Wilmot"), caster)
        for at, body in enumerate(
            ({"celsius_tenths": 62 + 4 * n}, {"float_run": {"distance_cm": 1000, "ms": 25_000}})
        ):
            Fact.objects.create(
                club=world.club,
                match=match,
                author=world.captain,
                device=uuid.UUID(int=1),
                seq=2 * n + at + 1,
                cseq=2 * n + at + 1,
                kind=FactKind.PEG_NOTE,
                peg="4",
                recorded_at=match.start_at,
                clock_offset_ms=0,
                body=body,
                digest="",
            )
    page = page_of(world, coming)
    assert "6.4 °C" in row(page, "Water")
    assert "measured here by the team, 2 times" in row(page, "Water")
    assert "0.40 m/s" in row(page, "Flow")
    caster = row(page, "Caster, fed loose")
    assert "the middle of your 2 matches at this venue in water as warm" in caster
    assert "as planned" in caster
    # In warm water these two say nothing.
    assert "common practice" in row(page_of(world, coming, celsius="18"), "Caster, fed loose")


def test_the_water_may_be_written_and_nonsense_is_told(world: Any, coming: Entry) -> None:
    page = page_of(world, coming, celsius="16,5", speed="0.6")
    assert "16.5 °C, warm" in row(page, "Water")
    assert "as you wrote it" in row(page, "Flow")
    page = page_of(world, coming, celsius="boiling", speed="9")
    assert page.count('aria-invalid="true"') == 2
    assert "5.0 °C, cold" in row(page, "Water")


@pytest.mark.parametrize(
    "text", ["-1", "1e2", "NaN", "٣", "9" * 400, "0." + "1" * 400, "8.5\x00", "30.1", "1/3", "<b>"]
)
def test_a_water_no_river_has_is_marked_and_the_usual_taken(
    world: Any, coming: Entry, text: str
) -> None:
    page = page_of(world, coming, celsius=text)
    assert page.count('aria-invalid="true"') == 1
    assert "5.0 °C, cold" in row(page, "Water")
    api = f"/api/v1/matches/{coming.match_id}/plan/suggestion"
    assert signed_in(world.member).get(api, {"celsius": text}).status_code == 400


def taken(world: Any, entry: Entry, source: str) -> str:
    address = f"/desk/plans/{entry.match_id}/"
    sent = {"version": "0", "source": source, "do": "start"}
    return signed_in(world.member).post(address, sent).content.decode()


def fields_of(form: str) -> dict[str, str]:
    inputs = dict(re.findall(r'<input[^>]* name="([^"]+)"[^>]* value="([^"]*)"', form))
    selects = re.findall(r'<select[^>]* name="([^"]+)"[^>]*>(.*?)</select>', form, re.DOTALL)
    chosen = {
        name: found[1]
        for name, options in selects
        if (found := re.search(r'value="([^"]*)" selected', options))
    }
    return inputs | chosen


def test_one_tap_fills_the_form_which_saves_within_the_limits(world: Any, coming: Entry) -> None:
    source = re.search(r'name="source" value="([^"]+)"', page_of(world, coming, celsius="18"))
    assert source is not None and source[1] == "suggest-180-"
    form = taken(world, coming, source[1])
    assert not Plan.objects.exists()
    sent = {**fields_of(form), "do": "save"}
    assert signed_in(world.member).post(f"/desk/plans/{coming.match_id}/", sent).status_code == 302
    shown = plan_shown(coming, match=coming.match)
    assert shown.totals and not shown.over and not shown.faults
    assert [use.within for use in shown.limits] == [True, True]


def test_what_a_review_learnt_comes_along_with_its_reason(world: Any, coming: Entry) -> None:
    day_noted(world)
    page = page_of(world, coming, celsius="17")
    assert "your review of June Open" in row(page, "Second line from")
    assert "1 h 15" in row(page, "Second line from")
    form = taken(world, coming, "suggest-170-")
    assert "Short line from minute 75 instead of 150: in June Open it brought" in form
    starts = re.findall(r'name="stage-\d-start_minute"[^>]* value="([^"]*)"', form)
    assert "75" in starts


def test_the_angler_s_own_mix_is_taken_by_the_bag_and_the_pouch(world: Any, coming: Entry) -> None:
    mix = Bait.objects.get(key="river-mix")
    mix.bag_amount = 2
    mix.save()
    match = match_on(world, dt.date(2026, 11, 7), state=MatchState.CONFIRMED)
    parts = [
        {"bait": "river-mix", "amount": "3", "unit": "bag"},
        {"bait": "caster", "amount": "1", "unit": "pouch"},
    ]
    own = {"name": "mine", "water_per_dry": "0.6", "parts": parts}
    raw = {"version": 0, "mixes": [own], "stages": []}
    entry = entered(world, match, "Wilmot")
    plan_save(world.secretary, entry=entry, content=plan_content_parse(raw))
    assert " L" in row(page_of(world, coming), "River-Mix, dry in the mix")
    assert 'value="0.6"' in taken(world, coming, "suggest--")


@pytest.mark.parametrize("source", ["suggest-", "suggest-x-3", "suggest-301-", "suggest--301"])
def test_a_suggestion_of_no_water_is_not_there(world: Any, coming: Entry, source: str) -> None:
    assert "No such suggestion: open its page again." in taken(world, coming, source)


@pytest.mark.parametrize("match", [0, 2**63, 10**22])
def test_a_match_of_a_number_that_none_has_is_not_found(
    world: Any, coming: Entry, match: int
) -> None:
    address = f"/desk/plans/{match}/entries/{coming.pk}/suggestion/"
    assert signed_in(world.captain).get(address).status_code == 404


def test_the_api_gives_a_plan_that_can_be_put(world: Any, coming: Entry) -> None:
    address = f"/api/v1/matches/{coming.match_id}/plan"
    client = signed_in(world.member)
    found = client.get(f"{address}/suggestion", {"celsius": "18", "speed": "0.2"}).json()
    assert {"what": "Water", "value": "18.0 °C, warm", "why": "as you wrote it", "care": ""} in (
        found["numbers"]
    )
    put = client.put(address, {**found["plan"], "version": 0}, content_type="application/json")
    assert put.status_code == 200
    assert all(limit["within"] for limit in put.json()["limits"])
    assert client.get(f"{address}/suggestion", {"celsius": "warm"}).status_code == 400
    for who in ("outsider", "weigher"):
        assert signed_in(getattr(world, who)).get(f"{address}/suggestion").status_code == 404


def test_the_page_asks_the_database_as_often_for_many_records_as_for_few(
    world: Any, coming: Entry
) -> None:
    def many() -> int:
        client = signed_in(world.member)
        with CaptureQueriesContext(connection) as caught:
            client.get(f"/desk/plans/{coming.match_id}/suggestion/")
        return len(caught)

    def fish(days: range) -> None:
        for day in days:
            match = match_on(world, dt.date(2027, 1, day), state=MatchState.CONFIRMED)
            for first in ("Maud", "Wilmot"):
                planned(world, entered(world, match, first), "2")

    fish(range(1, 4))
    few = many()
    fish(range(4, 9))
    assert many() == few
