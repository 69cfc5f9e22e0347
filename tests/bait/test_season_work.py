"""A season asked for and worked out: from phones' notes and bulletins to one kept answer."""

from __future__ import annotations

import datetime as dt
import uuid
from collections.abc import Iterable
from fractions import Fraction
from typing import Any

import pytest

from bait.models import Bait, SeasonAnswer
from bait.reads.season import season_inputs
from bait.reads.season_seen import SEASON_WORK, season_seen
from bait.tasks import season_work_out as season_task
from bait.writes import season as season_writes
from bait.writes.season import season_answer_make, season_ask
from matches.models import (
    AuditEntry,
    Bulletin,
    Entry,
    Fact,
    FactKind,
    Match,
    Person,
    Team,
    WorkRequest,
    WorkState,
)
from matches.problems import Code, Problem
from matches.writes.matches import match_call_back, match_call_off
from matches.writes.work import LeaseLost, work_claim


def matches_fished(
    world: Any, *, many: int, team: Iterable[str] = ("Maud", "Wilmot")
) -> list[Match]:
    """Published matches in which these fished beside four others, noting the whole day."""
    made = []
    for n in range(many):
        start = world.match.start_at + dt.timedelta(days=7 * (n + 1))
        match = Match.objects.create(
            club=world.club,
            venue=world.venue,
            name=f"Round {n}",
            slug=f"round-{n}",
            date=start.date(),
            start_at=start,
            end_at=start + dt.timedelta(hours=5),
        )
        rows = [row(-k, 900 + 400 * k) for k in range(1, 5)]
        for place, first in enumerate(team):
            of = world.entries[first]
            entry = Entry.objects.create(match=match, angler=of.angler, team=of.team)
            pints = (n + place) % 3 + 1
            rows.append(row(entry.pk, 1000 + 700 * pints + 90 * (n % 4)))
            for minute in range(30, 300, 45):
                note(world, match, of.angler.person, minute, amount=f"0.{pints}")
        publish(world, match, rows)
        made.append(match)
    return made


def row(entry: int, weight: int | None, status: str = "entered") -> dict[str, Any]:
    return {"entry": entry, "weight": weight, "status": status}


def publish(world: Any, match: Match, rows: list[dict[str, Any]]) -> Bulletin:
    number = match.bulletins.count() + 1
    return Bulletin.objects.create(
        match=match,
        number=number,
        body={"sections": [{"label": "A", "entries": rows}]},
        reason="" if number == 1 else "Mended.",
        published_by=world.secretary,
    )


def note(
    world: Any,
    match: Match,
    person: Person,
    minute: float,
    kind: str = FactKind.FEED_NOTE,
    supersedes: uuid.UUID | None = None,
    **body: Any,
) -> Fact:
    n = Fact.objects.count() + 1
    feed = {"bait": "caster", "amount": "0.1", "unit": "pint", "line": "", "stage": None}
    return Fact.objects.create(
        club=world.club,
        match=match,
        device=uuid.UUID(int=person.pk),
        seq=n,
        cseq=n,
        kind=kind,
        recorded_at=match.start_at + dt.timedelta(minutes=minute),
        body={**feed, **body} if kind == FactKind.FEED_NOTE else body,
        digest="",
        author=person,
        supersedes=supersedes,
    )


def worked_out(world: Any) -> SeasonAnswer:
    work = season_ask(world.captain, team_id=world.alders.pk)
    kept = season_answer_make(work.pk)
    assert kept is not None
    return kept


def test_a_season_is_worked_out_by_the_task_and_kept(world: Any) -> None:
    matches_fished(world, many=9)
    work = season_ask(world.captain, team_id=world.alders.pk)
    season_task(str(work.pk))
    work.refresh_from_db()
    assert (work.state, work.percent) == (WorkState.DONE, 100)
    body = SeasonAnswer.objects.get(team=world.alders).answer
    assert (body["verdict"], body["matches"], body["days"], body["anglers"]) == ("said", 9, 18, 2)
    caster = next(e for e in body["effects"] if e["key"] == "caster")
    assert (caster["unit"], caster["days"], caster["found"]) == ("pint", 18, "more")
    assert caster["low"] > 1 > 1 / caster["high"]


def test_the_same_inputs_are_worked_out_once(world: Any, monkeypatch: Any) -> None:
    matches_fished(world, many=6)
    first = worked_out(world)

    def never(*_args: object, **_more: object) -> None:
        raise AssertionError("worked out again")

    with monkeypatch.context() as patched:
        patched.setattr(season_writes, "season_work_out", never)
        again = worked_out(world)
    assert again.pk == first.pk and again.read_at > first.read_at
    assert WorkRequest.objects.filter(kind=SEASON_WORK, state=WorkState.DONE).count() == 2
    note(world, Match.objects.get(slug="round-1"), world.captain, 200)
    assert worked_out(world).pk != first.pk
    assert SeasonAnswer.objects.count() == 2


def test_asking_twice_asks_once_and_leaves_one_trace(world: Any) -> None:
    first = season_ask(world.captain, team_id=world.alders.pk)
    assert season_ask(world.member, team_id=world.alders.pk) == first
    assert AuditEntry.objects.filter(verb="season.asked").count() == 1


def test_asking_again_leaves_a_trace_only_where_something_came_since(world: Any) -> None:
    traces = AuditEntry.objects.filter(verb="season.asked")
    matches_fished(world, many=1)
    kept = worked_out(world)
    assert worked_out(world) == kept
    assert traces.count() == 1
    note(world, Match.objects.get(slug="round-0"), world.captain, 200)
    assert worked_out(world) != kept
    assert traces.count() == 2


def test_a_worker_stopped_halfway_leaves_the_row_for_a_next_try(
    world: Any, monkeypatch: Any
) -> None:
    matches_fished(world, many=6)
    work = season_ask(world.captain, team_id=world.alders.pk)

    def stopped(*_args: object, **_more: object) -> None:
        raise KeyboardInterrupt

    with monkeypatch.context() as patched:
        patched.setattr(season_writes, "season_work_out", stopped)
        with pytest.raises(KeyboardInterrupt):
            season_answer_make(work.pk)
    work.refresh_from_db()
    assert (work.state, SeasonAnswer.objects.count()) == (WorkState.WAITING, 0)
    WorkRequest.objects.filter(pk=work.pk).update(not_before=None)
    assert season_answer_make(work.pk) is not None


def test_a_killed_workers_row_is_taken_over_when_its_lease_ends(world: Any) -> None:
    """Killed, a worker says nothing: its row stays as it was held."""
    matches_fished(world, many=6)
    work = season_ask(world.captain, team_id=world.alders.pk)
    assert work_claim(work.pk) is not None
    assert season_answer_make(work.pk) is None
    past = work.asked_at - dt.timedelta(minutes=1)
    WorkRequest.objects.filter(pk=work.pk).update(lease_until=past)
    assert season_answer_make(work.pk) is not None
    assert season_answer_make(work.pk) is None
    assert SeasonAnswer.objects.count() == 1


def test_a_worker_that_lost_its_lease_stops(world: Any, monkeypatch: Any) -> None:
    matches_fished(world, many=6)
    work = season_ask(world.captain, team_id=world.alders.pk)

    def lost(*_args: object, **_more: object) -> None:
        raise LeaseLost

    monkeypatch.setattr(season_writes, "season_work_out", lost)
    assert season_answer_make(work.pk) is None
    assert not SeasonAnswer.objects.exists()


def test_a_team_that_is_gone_is_said(world: Any) -> None:
    work = season_ask(world.secretary, team_id=world.alders.pk)
    WorkRequest.objects.filter(pk=work.pk).update(key=str(Team.objects.latest("pk").pk + 1))
    assert season_answer_make(work.pk) is None
    work.refresh_from_db()
    assert (work.state, work.problem) == (WorkState.FAILED, "This team is gone.")


@pytest.mark.parametrize(
    ("who", "code"), [("rival", Code.NOT_ALLOWED), ("outsider", Code.NOT_FOUND)]
)
def test_another_teams_season_is_not_theirs_to_ask_for(world: Any, who: str, code: Code) -> None:
    with pytest.raises(Problem) as refused:
        season_ask(getattr(world, who), team_id=world.alders.pk)
    assert refused.value.code is code
    assert not WorkRequest.objects.exists()


def test_notes_taken_back_corrected_erased_or_of_strangers_do_not_count(world: Any) -> None:
    match = matches_fished(world, many=1)[0]
    wrong = note(world, match, world.captain, 100, amount="9")
    note(world, match, world.captain, 100, supersedes=wrong.pk, amount="0.5")
    gone = note(world, match, world.captain, 110, amount="8")
    note(world, match, world.captain, 120, FactKind.SCRATCH, supersedes=gone.pk)
    erased = note(world, match, world.captain, 130)
    Fact.objects.filter(pk=erased.pk).update(body={})
    note(world, match, world.rival, 100, amount="7")
    maud = next(d for d in season_inputs(world.alders).days if d.angler == angler(world, "Maud"))
    assert sum(f.amount or 0 for f in maud.feeds) == Fraction("1.1")
    assert maud.own == 1700 and maud.others == (1300, 1700, 2100, 2500, 2400)


def angler(world: Any, first: str) -> str:
    return str(world.entries[first].angler_id)


def test_groundbaits_are_told_together_in_litres_and_what_does_not_convert_is_no_amount(
    world: Any,
) -> None:
    match = matches_fished(world, many=1, team=["Maud"])[0]
    for key, density in (("river-mix", "0.5"), ("dark-crumb", None)):
        Bait.objects.create(
            club=world.club,
            key=key,
            name=key,
            kind="groundbait",
            unit="kg" if density else "L",
            bulk_density_kg_per_l=density,
        )
    note(world, match, world.captain, 0, bait="river-mix", amount="1", unit="kg")
    note(world, match, world.captain, 1, bait="dark-crumb", amount="2", unit="L")
    note(world, match, world.captain, 2, bait="caster", amount="3", unit="kg")
    note(world, match, world.captain, 3, bait="never-kept", amount="3", unit="L")
    by_minute = {f.second // 60: f for f in season_inputs(world.alders).days[0].feeds}
    mixes = [by_minute[n] for n in (0, 1)]
    assert [(f.column.of, f.column.key, f.amount, f.ball) for f in mixes] == [
        ("kind", "groundbait", 2, True),
        ("kind", "groundbait", 2, True),
    ]
    assert [by_minute[n].amount for n in (2, 3)] == [None, None]


def test_the_latest_bulletin_counts_and_a_match_without_one_does_not(world: Any) -> None:
    match, other = matches_fished(world, many=2, team=["Maud"])
    entry = Entry.objects.get(match=match, angler=world.entries["Maud"].angler)
    publish(world, match, [row(entry.pk, None, "absent"), row(-1, 500)])
    Match.objects.filter(pk=other.pk).update(called_off="Flood.")
    days = season_inputs(world.alders).days
    assert [(d.match, d.own, d.others) for d in days] == [(str(match.pk), None, (500,))]


def test_reading_asks_as_often_for_many_matches_as_for_few(
    world: Any, django_assert_num_queries: Any
) -> None:
    matches_fished(world, many=8)
    with django_assert_num_queries(9):
        season_inputs(world.alders)


def test_a_newer_note_or_result_is_told(world: Any) -> None:
    match = matches_fished(world, many=1)[0]
    worked_out(world)
    assert not season_seen(world.captain, team_id=world.alders.pk).newer
    note(world, match, world.member, 60)
    assert season_seen(world.captain, team_id=world.alders.pk).newer
    worked_out(world)
    publish(world, match, [row(-1, 500)])
    assert season_seen(world.captain, team_id=world.alders.pk).newer


def test_a_match_called_off_after_it_was_reckoned_with_is_told_and_so_is_one_put_back(
    world: Any,
) -> None:
    match = matches_fished(world, many=1)[0]
    worked_out(world)
    match_call_off(world.secretary, match=world.match, reason="Flood.")
    assert not season_seen(world.captain, team_id=world.alders.pk).newer
    match_call_off(world.secretary, match=match, reason="The scales were wrong.")
    assert season_seen(world.captain, team_id=world.alders.pk).newer
    worked_out(world)
    assert not season_seen(world.captain, team_id=world.alders.pk).newer
    match_call_back(world.secretary, match=match)
    assert season_seen(world.captain, team_id=world.alders.pk).newer
