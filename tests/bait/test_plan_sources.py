"""A plan starts from an earlier one, from the team's template, or from what was really fed."""

from __future__ import annotations

import datetime as dt
import uuid
from fractions import Fraction as F
from typing import Any

import pytest

from bait.models import PlanTemplate
from bait.reads.plan_sources import plan_sources, source_content
from bait.reckon.fed import FedNote, stages_fed
from bait.reckon.plan_checks import stages_faults
from bait.reckon.plans import Feed, throws_count
from bait.writes.club_baits import ClubBaits
from bait.writes.feed_notes import FeedNoteCheck
from bait.writes.plan_content import plan_content_parse
from bait.writes.plan_templates import template_drop, template_keep
from bait.writes.plans import plan_save
from matches.models import AuditEntry, Entry, Fact, FactKind, Match
from matches.problems import Code, Problem
from matches.reckon.errors import BadInput
from matches.writes.facts.shape import FactReading


def note(seconds: int, amount: str = "0.25", *, bait: str = "hemp", line: str = "long") -> FedNote:
    return FedNote(seconds, bait, F(amount), "pint", line)


def content(**changes: Any) -> dict[str, Any]:
    stage = {
        "kind": "feed",
        "end_minute": 300,
        "feeds": [{"bait": "caster", "amount": "2", "unit": "pint"}],
    }
    return {"version": 0, "spare_percent": 5, "note": "Caster", "stages": [stage], **changes}


@pytest.fixture
def july(world: Any) -> Entry:
    """Wilmot's next match, an hour shorter."""
    later = Match.objects.get(pk=world.match.pk)
    later.pk, later.slug, later.name = None, "july-open", "July Open"
    later.date += dt.timedelta(days=30)
    later.end_at -= dt.timedelta(hours=1)
    later.save()
    was = world.entries["Wilmot"]
    return Entry.objects.create(match=later, angler=was.angler, team=world.alders)


def log(world: Any, minute: int, amount: str, **more: Any) -> Fact:
    body = {"bait": "hemp", "amount": amount, "unit": "pint", "line": "long", "stage": None}
    given = {"kind": FactKind.FEED_NOTE, "author": world.member, "supersedes": None, **more}
    n = Fact.objects.count() + 1
    return Fact.objects.create(
        club=world.club,
        match=world.match,
        device=uuid.UUID(int=1),
        seq=n,
        cseq=n,
        peg="4",
        recorded_at=world.match.start_at + dt.timedelta(minutes=minute, seconds=-2),
        clock_offset_ms=2_000,
        body={**body, **given.pop("body", {})},
        digest="",
        **given,
    )


def test_throws_of_one_size_become_a_rhythm_that_throws_as_often() -> None:
    (found,) = stages_fed([note(60 * m + 7) for m in range(0, 100, 4)])
    assert (found.start_minute, found.end_minute, found.every_seconds) == (0, 100, 240)
    assert throws_count(found) == 25


def test_what_went_in_before_the_start_is_an_opening() -> None:
    (found,) = stages_fed([note(-300), note(-290, "1"), note(-10)])
    assert (found.kind, found.start_minute, found.end_minute) == ("opening", -5, 0)
    assert found.feeds == (Feed("hemp", F("1.5"), "pint"),)


def test_throws_of_many_sizes_keep_their_sum() -> None:
    (found,) = stages_fed([note(0), note(600, "0.5"), note(1200, "0.125")])
    assert (found.start_minute, found.end_minute, found.every_seconds) == (0, 21, None)
    assert found.feeds[0].amount == F("0.875")


@pytest.mark.parametrize("step", [1, 7, 20, 59, 61, 240, 1000])
def test_whatever_the_rhythm_the_sum_is_what_was_fed(step: int) -> None:
    notes = [note(13 + n * step) for n in range(30)]
    (found,) = stages_fed(notes)
    assert found.feeds[0].amount * throws_count(found) == sum(n.amount for n in notes)


def test_stages_of_what_was_fed_do_not_overlap() -> None:
    mine = [note(60 * m) for m in range(0, 60, 5)]
    late = [FedNote(60 * m, "hemp", F("0.5"), "pint", "long", stage=3) for m in range(50, 90, 5)]
    found = stages_fed([*mine, *late, note(0, bait="caster"), note(30, line="short")])
    assert stages_faults(found, length_minutes=300, names={}) == ()
    hemp = [s for s in found if s.feeds[0].bait == "hemp" and s.line == "long"]
    assert sum(s.feeds[0].amount * throws_count(s) for s in hemp) == 12 * F("0.25") + 8 * F("0.5")


def test_an_earlier_plan_is_offered_and_fitted_to_the_shorter_match(
    world: Any, july: Entry
) -> None:
    was = world.entries["Wilmot"]
    plan_save(world.member, entry=was, content=plan_content_parse(content()))
    sources = plan_sources(july)
    assert [(s.key, s.name) for s in sources.plans] == [
        (f"plan-{was.pk}", "June Open, 20 Jun 2026")
    ]
    assert (sources.fed, sources.templates) == ((), ())
    for key in ("last", f"plan-{was.pk}"):
        found = source_content(july, key=key)
        assert (found["note"], found["stages"][0]["end_minute"]) == ("Caster", 240)


def test_somebody_elses_plan_is_no_source(world: Any, july: Entry) -> None:
    plan_save(world.secretary, entry=world.entries["Maud"], content=plan_content_parse(content()))
    assert not plan_sources(july)
    for key in (f"plan-{world.entries['Maud'].pk}", "last", "fed-1", "template-1", "", "plan-²"):
        with pytest.raises(Problem) as refused:
            source_content(july, key=key)
        assert refused.value.code is Code.NOT_FOUND


def test_what_was_really_fed_is_what_stands_of_the_notes(world: Any, july: Entry) -> None:
    for minute in (0, 10, 20, 30):
        log(world, minute, "0.25")
    wrong = log(world, 40, "9")
    log(world, 40, "0.25", supersedes=wrong.pk)
    slip = log(world, 50, "5")
    log(world, 51, "5", kind=FactKind.SCRATCH, supersedes=slip.pk)
    log(world, 60, "7", author=world.rival)
    was = world.entries["Wilmot"]
    assert [s.key for s in plan_sources(july).fed] == [f"fed-{was.pk}"]
    (stage,) = source_content(july, key=f"fed-{was.pk}")["stages"]
    assert (stage["every_seconds"], stage["start_minute"], stage["end_minute"]) == (600, 0, 50)
    assert stage["feeds"] == [{"bait": "hemp", "amount": "0.25", "unit": "pint"}]


def test_mixes_balls_and_hook_baits_come_as_planned_beside_what_was_fed(
    world: Any, july: Entry
) -> None:
    part = {"bait": "hemp", "amount": "2", "unit": "L"}
    feed = {"bait": "caster", "amount": "0.1", "unit": "pint"}
    stages = [
        {
            "kind": "opening",
            "start_minute": -10,
            "end_minute": 0,
            "balls": {"count": 8, "mm": 80, "mix": "base"},
            "feeds": [],
        },
        {"kind": "feed", "end_minute": 300, "every_seconds": 300, "feeds": [feed]},
        {"kind": "hook", "end_minute": 300, "feeds": [feed]},
    ]
    raw = content(mixes=[{"name": "base", "parts": [part]}], stages=stages)
    was = world.entries["Wilmot"]
    plan_save(world.member, entry=was, content=plan_content_parse(raw))
    log(world, 0, "1", body={"stage": 0})  # a ball: it is among the balls already
    log(world, 5, "0.5", body={"stage": 1})
    found = source_content(july, key=f"fed-{was.pk}")
    assert [mix["name"] for mix in found["mixes"]] == ["base"]
    assert [(s["kind"], s["end_minute"]) for s in found["stages"]] == [
        ("opening", 0),
        ("feed", 6),
        ("hook", 240),
    ]
    assert plan_save(world.member, entry=july, content=plan_content_parse({**found, "version": 0}))


def test_a_template_is_kept_replaced_offered_and_taken_out(world: Any, july: Entry) -> None:
    row = template_keep(world.captain, team=world.alders, name=" Summer ", content=content())
    template_keep(world.captain, team=world.alders, name="Summer", content=content(note="new"))
    (source,) = plan_sources(july).templates
    assert (source.key, source.name) == (f"template-{row.pk}", "Summer")
    found = source_content(july, key=source.key)
    assert (found["note"], found["stages"][0]["end_minute"]) == ("new", 240)
    gone = template_drop(world.captain, team=world.alders, template_id=row.pk)
    assert (gone.name, PlanTemplate.objects.count()) == ("Summer", 0)
    with pytest.raises(Problem) as refused:
        template_drop(world.captain, team=world.alders, template_id=row.pk)
    assert refused.value.code is Code.NOT_FOUND
    assert AuditEntry.objects.filter(verb__startswith="template.").count() == 3


@pytest.mark.parametrize("who", ["member", "rival", "weigher", "outsider"])
def test_only_the_captain_keeps_templates(world: Any, who: str) -> None:
    with pytest.raises(Problem) as refused:
        template_keep(getattr(world, who), team=world.alders, name="Mine", content=content())
    assert refused.value.code is Code.NOT_ALLOWED
    assert not PlanTemplate.objects.exists()


def test_a_template_needs_a_name_and_a_plan_that_can_be_read(world: Any) -> None:
    with pytest.raises(BadInput):
        template_keep(world.captain, team=world.alders, name=" ", content=content())
    with pytest.raises(BadInput):
        template_keep(world.captain, team=world.alders, name="Odd", content=content(stages=7))
    assert not PlanTemplate.objects.exists()


@pytest.mark.parametrize(("unit", "faults"), [("pouch", 0), ("bag", 0), ("pint", 0), ("spade", 1)])
def test_a_phone_logs_in_the_units_of_a_plan(world: Any, unit: str, faults: int) -> None:
    reading = FactReading()
    body = {"bait": "hemp", "amount": "1", "unit": unit, "line": "", "stage": None}
    FeedNoteCheck(ClubBaits())(reading, body, match=world.match)
    assert len(reading.faults) == faults
