"""What comes down to a phone to reckon feed with, and what was noted before at a peg."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from typing import Any

from matches.models import Angler, DrawnPeg, Entry, Fact, Match, Section, SectionPeg
from tests.web.pushing import fact, outcomes, pointers, push, words
from tests.web.test_sync_match import package


def test_each_unit_of_a_bait_comes_as_an_exact_part_of_the_baits_own(world: Any) -> None:
    from bait.models import Plan, Stage, StageFeed, ThrowSize

    plan = Plan.objects.create(entry=world.entries["Wilmot"])
    for n, (start, end, every) in enumerate([(-10, 0, None), (0, 60, 600)], 1):
        stage = Stage.objects.create(
            plan=plan,
            position=n,
            kind="feed",
            start_minute=start,
            end_minute=end,
            every_seconds=every,
        )
        StageFeed.objects.create(
            stage=stage, bait=world.baits["caster"], amount=Decimal("0.5"), unit="pint"
        )
    angler = world.entries["Wilmot"].angler
    ThrowSize.objects.create(angler=angler, throw="pouch", ml=Decimal("28"))
    feeding = package(world.member, world.match).json()["feeding"]
    assert feeding["throws"] == [1, 6]
    assert feeding["mixed"] == {}
    caster = feeding["measures"]["caster"]
    # 1 pint = 0.56826125 L (UK Weights and Measures Act 1985), so 28 ml = 0.028 / 0.56826125 pint.
    assert caster["pint"] == "1/1"
    assert caster["pouch"] == "22400/454609"
    assert caster["L"] == "800000/454609"
    # Nobody said how heavy casters are, nor how much a bag of them is.
    assert {"kg", "each", "bag"}.isdisjoint(caster)
    assert package(world.rival, world.match).json()["feeding"] is None


def test_what_a_mix_wets_comes_apart_from_what_is_fed(world: Any) -> None:
    from bait.models import Mix, MixPart, Plan

    plan = Plan.objects.create(entry=world.entries["Wilmot"])
    mix = Mix.objects.create(plan=plan, position=1, name="base")
    MixPart.objects.create(mix=mix, bait=world.baits["hemp"], amount=Decimal("1.5"), unit="pint")
    assert package(world.member, world.match).json()["feeding"]["mixed"] == {"hemp": "3/2"}


def match_before(world: Any, *, days: int, venue: Any = None) -> Match:
    """A match some days earlier, with peg 4 in it and Wilmot and Odette entered."""
    day = world.match.date - dt.timedelta(days=days)
    start = world.match.start_at - dt.timedelta(days=days)
    match = Match.objects.create(
        club=world.club,
        venue=venue or world.venue,
        name=f"Round of {day}",
        slug=f"round-{days}",
        date=day,
        start_at=start,
        end_at=start + dt.timedelta(hours=5),
        state=world.match.state,
    )
    section = Section.objects.create(match=match, label="A", position=1)
    SectionPeg.objects.create(match=match, section=section, peg=world.pegs["4"].peg)
    for angler in Angler.objects.filter(person__isnull=False):
        Entry.objects.create(match=match, angler=angler, team=angler.team)
    return match


def test_what_i_and_my_team_noted_before_at_my_peg_comes_down_newest_first(world: Any) -> None:
    older, newer = match_before(world, days=28), match_before(world, days=14)
    for n, (who, match, peg, body) in enumerate(
        [
            (world.member, older, "4", {"depth_cm": 190}),
            (world.captain, newer, "4", {"snags": "branch downstream"}),
            (world.rival, newer, "4", {"note": "the other team's"}),
            (world.member, newer, "5", {"note": "another peg"}),
            (world.member, world.match, "4", {"note": "today's, pulled as a fact"}),
        ],
        1,
    ):
        note = fact(world, n, kind="peg_note", peg=peg, match=str(match.pk), body=body)
        assert words(push(who, note)) == ["accepted"], note
    assert package(world.member, world.match).json()["peg_before"] == [
        {
            "date": newer.date.isoformat(),
            "author": "Maud Ferris",
            "body": {"snags": "branch downstream"},
        },
        {"date": older.date.isoformat(), "author": "Wilmot Crane", "body": {"depth_cm": 190}},
    ]


def test_a_note_taken_back_is_not_shown_again(world: Any) -> None:
    older = match_before(world, days=14)
    note = fact(world, 1, kind="peg_note", match=str(older.pk), peg="4", body={"depth_cm": 9})
    back = {"kind": "scratch", "supersedes": note["id"], "body": {"why": "a slip"}}
    push(world.member, note, fact(world, 2, match=str(older.pk), peg="4", **back))
    assert Fact.objects.count() == 2
    assert package(world.member, world.match).json()["peg_before"] == []


def test_who_has_no_peg_yet_gets_no_notes_of_one(world: Any) -> None:
    older = match_before(world, days=14)
    note = fact(world, 1, kind="peg_note", match=str(older.pk), peg="4", body={"depth_cm": 9})
    push(world.member, note)
    DrawnPeg.objects.all().delete()
    assert package(world.member, world.match).json()["peg_before"] == []


def test_the_hazards_of_a_peg_come_down_with_it(world: Any) -> None:
    peg = world.pegs["4"].peg
    peg.power_lines = peg.steep_bank = True
    peg.save()
    pegs = package(world.member, world.match).json()["pegs"]
    assert [(p["number"], p["power_lines"], p["steep_bank"]) for p in pegs if p["steep_bank"]] == [
        ("4", True, True)
    ]


def test_a_fish_by_size_and_line_is_stored_and_never_taken_for_a_weight(world: Any) -> None:
    from matches.reads.payouts import fish_logged

    body = {
        "species": "roach",
        "count": 1,
        "weight": None,
        "size": "good",
        "about": 130,
        "line": "short",
    }
    (outcome,) = outcomes(push(world.weigher, fact(world, 1, kind="fish_note", body=body)))
    assert outcome["outcome"] == "accepted"
    assert Fact.objects.get().body == body
    assert fish_logged(world.match) == []


def test_a_size_nobody_knows_is_refused_with_its_place(world: Any) -> None:
    body = {"species": "roach", "count": 1, "size": "huge", "about": -1}
    (outcome,) = outcomes(push(world.weigher, fact(world, 1, kind="fish_note", body=body)))
    assert pointers(outcome) == ["/body/about", "/body/size"]
    assert not Fact.objects.exists()
