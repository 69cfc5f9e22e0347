"""A match is planned, changed, scored, called off: what each write keeps and refuses."""

from __future__ import annotations

import datetime as dt
from typing import Any
from uuid import UUID, uuid4

import pytest

from matches.models import (
    AuditEntry,
    Draw,
    Entry,
    Match,
    Peg,
    PegLeftOut,
    Section,
    SectionPeg,
    Venue,
)
from matches.problems import Code, Problem
from matches.reads.signals import start_given
from matches.reckon.errors import BadInput
from matches.times import time_write
from matches.writes.facts import fact_log_at_desk, facts_store, match_body_checks
from matches.writes.match_content import terms_parse
from matches.writes.match_scoring import (
    Scoring,
    match_scoring_set,
    scoring_parse,
    scoring_typed,
)
from matches.writes.matches import (
    match_add,
    match_call_back,
    match_call_off,
    match_change,
    match_end_shift,
)
from tests.fished import weigh

from .planned import anglers, terms, typed, undrawn

pytestmark = pytest.mark.django_db


def faults(call: Any) -> dict[str, str]:
    with pytest.raises(BadInput) as caught:
        call()
    return {f.pointer.removeprefix("/"): f.message for f in caught.value.faults}


def read(world: Any, **changes: str) -> Any:
    return terms_parse(typed(world.match, **changes), venues=world.club.venues.all())


def test_times_are_typed_in_the_venues_zone_and_kept_in_utc(world: Any) -> None:
    world.venue.timezone = "Europe/Warsaw"
    world.venue.save()
    got = read(world, date="2026-06-20", start_at="10:00", end_at="15:00", order_by="")
    assert got.start_at == dt.datetime(2026, 6, 20, 8, tzinfo=dt.UTC)
    assert got.end_at - got.start_at == dt.timedelta(hours=5)


@pytest.mark.parametrize(
    ("changes", "field", "words"),
    [
        ({"name": " "}, "name", "Give the match a name."),
        ({"name": "x" * 121}, "name", "120 characters"),
        ({"name": "a\x00b"}, "name", "cannot be stored"),
        ({"venue": "0"}, "venue", "Choose where"),
        ({"date": "20.06.2026"}, "date", "year-month-day"),
        ({"date": "1999-01-01"}, "date", "between the years"),
        ({"start_at": ""}, "start_at", "hours:minutes"),
        ({"start_at": "25:00"}, "start_at", "hours:minutes"),
        ({"start_at": "10:00+02:00"}, "start_at", "hours:minutes"),
        ({"draw_at": "11:00"}, "start_at", "This is before the draw"),
        ({"prepare_at": "09:00", "draw_at": "09:30"}, "prepare_at", "before the draw"),
        ({"feed_at": "10:30"}, "start_at", "This is before feed"),
        ({"end_at": "10:00"}, "end_at", "the end comes after it"),
        ({"last_call_min": "300"}, "last_call_min", "from 0 to 120"),
        ({"last_call_min": "-1"}, "last_call_min", "from 0 to 120"),
        ({"end_at": "10:20", "last_call_min": "20"}, "last_call_min", "after the start"),
        ({"order_by": "soon"}, "order_by", "day and time"),
        ({"order_by": "2026-06-20T12:00"}, "order_by", "before the start"),
        ({"objection_min": "x"}, "objection_min", "whole number"),
        ({"places_most": "0"}, "places_most", "from 1 to 2000"),
        ({"fee": "ten"}, "fee", "such as 10.00"),
        ({"fee": "-1"}, "fee", "such as 10.00"),
    ],
)
def test_what_does_not_fit_is_refused_at_its_field_with_what_to_do(
    world: Any, changes: dict[str, str], field: str, words: str
) -> None:
    assert words in faults(lambda: read(world, **changes))[field]


def test_a_time_that_the_clocks_pass_over_is_refused(world: Any) -> None:
    # Clocks go forward at 01:00 UTC on the last Sunday of March (EU directive 2000/84/EC; in the
    # UK Summer Time Order 2002).
    said = faults(lambda: read(world, date="2026-03-29", start_at="01:30", order_by=""))
    assert "clocks go forward" in said["start_at"]


def test_all_faults_are_told_at_once(world: Any) -> None:
    assert set(faults(lambda: read(world, name="", fee="x", start_at=""))) == {
        "name",
        "fee",
        "start_at",
    }


def test_a_match_made_from_an_earlier_one_is_scored_alike_and_keeps_its_sections(
    world: Any,
) -> None:
    match_scoring_set(
        world.secretary, match=world.match, scoring=_scoring(world, direction="high", cap="22.5")
    )
    world.match.refresh_from_db()
    Peg.objects.filter(number="3").update(retired=True)
    PegLeftOut.objects.create(
        match=world.match, peg=Peg.objects.get(number="6"), reason="The bank slipped."
    )
    made = match_add(
        world.secretary,
        club=world.club,
        terms=terms(world, world.match, name="July Open", date="2026-07-18"),
        like=world.match,
    )
    assert (made.net_cap, made.scheme) == (22_500, world.match.scheme)
    assert made.slug == "july-open-2026-07-18"
    assert list(made.sections.values_list("label", "position")) == [("A", 1), ("B", 2)]
    pegs = [str(p) for p in made.section_pegs.select_related("section", "peg")]
    assert pegs == ["A1", "A2", "B4", "B5", "B6"]
    assert made.pegs_left_out.get().reason == "The bank slipped."
    assert not made.entries.exists()


def test_from_an_earlier_match_elsewhere_no_peg_is_taken_over(world: Any) -> None:
    bend = Venue.objects.create(club=world.club, name="Priory Bend")
    made = match_add(
        world.secretary,
        club=world.club,
        terms=terms(world, world.match, venue=str(bend.pk)),
        like=world.match,
    )
    assert not Section.objects.filter(match=made).exists()


def test_a_slug_is_made_once_and_is_one_matchs_alone(world: Any) -> None:
    def made(name: str) -> Match:
        return match_add(
            world.secretary, club=world.club, terms=terms(world, world.match, name=name)
        )

    first, second, other = made("June Open"), made("June Open"), made("Жерех")
    assert first.slug == "june-open-2026-06-20"
    assert second.slug == "june-open-2026-06-20-2"
    assert other.slug == "match-2026-06-20"
    match_change(world.secretary, match=first, terms=terms(world, first, name="Another name"))
    first.refresh_from_db()
    assert (first.name, first.slug) == ("Another name", "june-open-2026-06-20")


def test_another_venue_empties_the_sections_and_after_a_commitment_it_stays(world: Any) -> None:
    match = undrawn(world)
    bend = Venue.objects.create(club=world.club, name="Priory Bend")
    Draw.objects.create(match=match, mode="open", seed="0" * 64, commitment="0" * 64)
    elsewhere = terms(world, match, venue=str(bend.pk))
    said = faults(lambda: match_change(world.secretary, match=match, terms=elsewhere))
    assert "committed to" in said["venue"]
    Draw.objects.all().delete()
    changed = match_change(world.secretary, match=match, terms=elsewhere)
    assert changed.pegs_emptied
    assert not SectionPeg.objects.filter(match=match).exists()
    assert Section.objects.filter(match=match).count() == 2


def test_a_change_says_what_changed_and_is_on_record(world: Any) -> None:
    match = undrawn(world)
    changed = match_change(world.secretary, match=match, terms=terms(world, match, fee="£7,50"))
    assert changed.fields == ("fee_pence",) and changed.times == ()
    row = AuditEntry.objects.get(verb="match_change")
    assert (row.detail["before"], row.detail["after"]) == ({"fee_pence": 0}, {"fee_pence": 750})
    again = match_change(world.secretary, match=match, terms=terms(world, match, fee="7.50"))
    assert again.fields == () and AuditEntry.objects.filter(verb="match_change").count() == 1


def test_fewer_places_than_entered_are_refused_and_more_take_in_who_waits(world: Any) -> None:
    match = undrawn(world, places_most=4)
    (una,) = anglers(world, "Una Sedge")
    Entry.objects.create(match=match, angler=una, status="waiting")
    few = terms(world, match, places_most="3")
    said = faults(lambda: match_change(world.secretary, match=match, terms=few))
    assert said["places_most"].startswith("4 are entered already")
    more = match_change(world.secretary, match=match, terms=terms(world, match, places_most="9"))
    assert [e.angler.name for e in more.taken_in] == ["Una Sedge"]
    assert Entry.objects.get(angler=una).status == "entered"


def test_a_match_is_called_off_with_a_reason_and_taken_back(world: Any) -> None:
    def off(reason: str) -> Any:
        return match_call_off(world.secretary, match=world.match, reason=reason)

    for reason in (" ", "x" * 201, "a\x00"):
        assert "Say why" in faults(lambda reason=reason: off(reason))["reason"]
    assert off(" The river is over the bank. ").called_off == "The river is over the bank."
    assert match_call_back(world.secretary, match=world.match).called_off == ""
    verbs = AuditEntry.objects.order_by("pk").values_list("verb", flat=True)
    assert list(verbs) == ["match_call_off", "match_call_back"]


def start(world: Any, at: dt.datetime) -> UUID:
    """The start tapped on a phone of its own whose clock says `at`."""
    fact = {
        "id": str(uuid4()),
        "device": str(uuid4()),
        "seq": 1,
        "kind": "signal",
        "match": str(world.match.pk),
        "peg": "",
        "recorded_at": time_write(at),
        "clock_offset_ms": 0,
        "supersedes": None,
        "body": {"signal": "start"},
    }
    (outcome,) = facts_store(world.weigher, facts=[fact], body_checks=match_body_checks())
    assert outcome.problem is None
    return UUID(fact["id"])


def test_a_late_start_moves_the_end_by_as_much_once(world: Any) -> None:
    world.match.feed_at = world.match.start_at
    world.match.save()
    assert start_given(world.match) is None
    with pytest.raises(Problem, match="nothing to move"):
        match_end_shift(world.secretary, match=world.match)
    start(world, world.match.start_at + dt.timedelta(minutes=7, seconds=10))
    start(world, world.match.start_at + dt.timedelta(minutes=9))
    given = start_given(world.match)
    assert given is not None and given.late == 7
    match = match_end_shift(world.secretary, match=world.match)
    assert match.start_at == dt.datetime(2026, 6, 20, 9, 7, tzinfo=dt.UTC)
    assert match.end_at == dt.datetime(2026, 6, 20, 14, 7, tzinfo=dt.UTC)
    with pytest.raises(Problem, match="nothing to move"):
        match_end_shift(world.secretary, match=world.match)


def test_an_early_start_pulls_what_comes_before_it_along(world: Any) -> None:
    world.match.feed_at = world.match.start_at - dt.timedelta(minutes=1)
    world.match.save()
    start(world, world.match.start_at - dt.timedelta(minutes=3))
    match = match_end_shift(world.secretary, match=world.match)
    assert match.feed_at == match.start_at == dt.datetime(2026, 6, 20, 8, 57, tzinfo=dt.UTC)


def test_a_start_taken_back_or_by_a_clock_gone_wrong_moves_nothing(world: Any) -> None:
    first = start(world, world.match.start_at + dt.timedelta(minutes=7))
    fact_log_at_desk(
        world.secretary,
        match=world.match,
        kind="scratch",
        peg="",
        body={"why": "Too soon."},
        supersedes=first,
    )
    assert start_given(world.match) is None
    start(world, world.match.start_at + dt.timedelta(days=400))
    given = start_given(world.match)
    assert given is not None and not given.to_shift


def _scoring(world: Any, **changes: str) -> Scoring:
    return scoring_parse({**scoring_typed(world.match), **changes})


@pytest.mark.parametrize(
    ("changes", "field", "words"),
    [
        ({"weight_unit": "stone"}, "weight_unit", "Choose one"),
        ({"blank": "zero"}, "blank", "points up only"),
        ({"blank": "one"}, "blank", "points up only"),
        ({"direction": "high", "first": "many"}, "first", "such as 30"),
        ({"direction": "high", "step": "0"}, "step", "such as 30"),
        ({"break-1": "weight", "break-2": "weight"}, "break-2", "above already"),
        ({"break-1": "luck"}, "break-1", "Choose one"),
        ({"cap": "heavy"}, "cap", "kilograms such as 22.5"),
        ({"cap": "0"}, "cap", "kilograms such as 22.5"),
        ({"weight_unit": "dr", "cap": "50.5"}, "cap", "pounds such as 50"),
        ({"weight_unit": "dr", "cap": "50 lb 16 oz"}, "cap", "pounds such as 50"),
        ({"scored_by": "fish"}, "species", "Name the fish"),
        ({"species": "Roach"}, "species", "Mend: Roach"),
        ({"species": "Roach 1\nroach 2"}, "species", "twice"),
        ({"species": "Roach 0"}, "species", "from 1"),
    ],
)
def test_scoring_that_makes_no_sense_is_refused_at_its_field(
    world: Any, changes: dict[str, str], field: str, words: str
) -> None:
    assert words in faults(lambda: _scoring(world, **changes))[field]


def test_scoring_is_kept_as_the_calculator_takes_it_and_typed_back_the_same(world: Any) -> None:
    changes = {
        "weight_unit": "dr",
        "direction": "high",
        "blank": "one",
        "absent": "zero",
        "first": "30",
        "step": "0,5",
        "singles": "yes",
        "break-1": "best_weight",
        "break-2": "",
        "break-3": "weight",
        "cap": "50 lb 8 oz",
        "net_cap_rule": "nothing",
        "scored_by": "fish",
        "species": "Roach 1\n\n Bleak: 2 \n",
    }
    match_scoring_set(world.secretary, match=world.match, scoring=_scoring(world, **changes))
    match = Match.objects.get(pk=world.match.pk)
    assert match.scheme == {
        "direction": "high",
        "ties": "average",
        "blank": "one",
        "absent": "zero",
        "first": "30",
        "step": "0.5",
        "teams_ranked_without_singles": True,
    }
    assert match.team_tie_breaks == ["best_weight", "weight"]
    assert (match.net_cap, match.net_cap_rule) == ((50 * 16 + 8) * 16, "nothing")
    assert match.species == [{"name": "Roach", "points": 1}, {"name": "Bleak", "points": 2}]
    again = scoring_parse(scoring_typed(match))
    assert match_scoring_set(world.secretary, match=match, scoring=again) == []


def test_after_weights_came_the_unit_and_what_is_scored_stay(world: Any) -> None:
    fish = _scoring(world, scored_by="fish", species="Roach 1")
    match_scoring_set(world.secretary, match=world.match, scoring=fish)
    weigh(world, "1", 500)
    world.match.refresh_from_db()

    def score(**changes: str) -> Any:
        scoring = _scoring(world, **changes)
        return match_scoring_set(world.secretary, match=world.match, scoring=scoring)

    said = faults(lambda: score(weight_unit="dr", scored_by="weight", species="Bleak 1"))
    assert set(said) == {"weight_unit", "scored_by", "species"}
    assert score(species="Roach 2\nBleak 1", ties="same_best") == ["scheme", "species"]


@pytest.mark.parametrize(
    ("who", "code"),
    [
        ("captain", Code.NOT_ALLOWED),
        ("member", Code.NOT_ALLOWED),
        ("weigher", Code.NOT_ALLOWED),
        ("outsider", Code.NOT_FOUND),
    ],
)
def test_only_the_clubs_secretary_plans_changes_scores_and_calls_off(
    world: Any, who: str, code: Code
) -> None:
    person, match = getattr(world, who), world.match
    day = terms(world, match, name="Mine now")
    for act in (
        lambda: match_add(person, club=world.club, terms=day),
        lambda: match_change(person, match=match, terms=day),
        lambda: match_end_shift(person, match=match),
        lambda: match_scoring_set(person, match=match, scoring=_scoring(world, cap="1")),
        lambda: match_call_off(person, match=match, reason="Mine now."),
        lambda: match_call_back(person, match=match),
    ):
        with pytest.raises(Problem) as caught:
            act()
        assert caught.value.code is code
    assert Match.objects.get().name == "June Open"


def test_another_clubs_venue_or_match_is_taken_for_nothing(world: Any) -> None:
    theirs = Venue.objects.create(club=world.other_club, name="Their pond")
    stolen = terms_parse(typed(world.match, venue=str(theirs.pk)), venues=[theirs])
    with pytest.raises(Problem) as caught:
        match_add(world.secretary, club=world.club, terms=stolen)
    assert caught.value.code is Code.NOT_FOUND
    with pytest.raises(Problem) as caught:
        match_change(world.secretary, match=world.match, terms=stolen)
    assert caught.value.code is Code.NOT_FOUND
