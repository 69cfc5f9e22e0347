"""What a member and a captain read after a match, and the files they take away."""

from __future__ import annotations

import csv
import datetime as dt
import io
import json
import re
import uuid
from pathlib import Path
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from bait.models import Plan
from bait.writes.plan_content import plan_content_parse
from bait.writes.plans import plan_save
from matches.models import Entry, Fact, FactKind, Match, MatchState
from tests.clients import signed_in
from tests.fished import weigh

LONG = range(10, 150, 20)
SHORT = range(152, 298, 4)


def log(world: Any, minute: float, kind: str, body: dict[str, Any], **given: Any) -> Fact:
    """A fact of Wilmot's phone, whose clock was two seconds slow."""
    n = Fact.objects.count() + 1
    defaults = {"author": world.member, "supersedes": None, "device": uuid.UUID(int=1)}
    return Fact.objects.create(
        club=world.club,
        match=world.match,
        seq=n,
        cseq=n,
        kind=kind,
        peg="4",
        recorded_at=world.match.start_at + dt.timedelta(minutes=minute, seconds=-2),
        clock_offset_ms=2_000,
        body=body,
        digest="",
        **{**defaults, **given},
    )


def fish(world: Any, minute: float, line: str, **body: Any) -> Fact:
    body = {"species": "Roach", "count": 1, "size": "middling", "about": 60, "line": line} | body
    return log(world, minute, FactKind.FISH_NOTE, body)


def day_noted(world: Any) -> None:
    """Slow on the long line; five times as fast on the short one from half past twelve on."""
    stages = [
        {
            "kind": kind,
            "line": line,
            "start_minute": start,
            "end_minute": end,
            "feeds": [{"bait": "caster", "amount": "1", "unit": "pint"}],
        }
        for kind, line, start, end in (("feed", "long", 0, 150), ("switch", "short", 150, 300))
    ]
    content = plan_content_parse({"version": 0, "stages": stages})
    plan_save(world.captain, entry=world.entries["Wilmot"], content=content)
    for minute in LONG:
        fish(world, minute, "long")
    log(world, 149, FactKind.LINE_NOTE, {"line": "short"})
    fed = {"bait": "caster", "amount": "0.25", "unit": "pint", "line": "short", "stage": 1}
    for minute in (140, 170, 200):
        log(world, minute, FactKind.FEED_NOTE, fed)
    for minute in SHORT:
        fish(world, minute, "short")


@pytest.fixture
def fished(world: Any) -> Any:
    day_noted(world)
    return world


def review(world: Any, who: str = "member", *, of: str = "") -> tuple[int, str]:
    client = signed_in(getattr(world, who))
    entry = f"entries/{world.entries[of].pk}/" if of else ""
    answer = client.get(f"/desk/plans/{world.match.pk}/{entry}review/")
    return answer.status_code, answer.content.decode()


def test_a_member_reads_which_line_was_better_and_when_the_catch_changed(fished: Any) -> None:
    status, page = review(fished)
    assert status == 200
    assert "The short line was the better one (chances: 99 in 100)." in page
    assert "It was first fished at 12:29: going there earlier is worth a try." in page
    assert "Near then: over to the short line at 12:29" in page
    assert "One match proves little" in page
    assert "Caster fed on the short line at 12:20" in page
    strokes = page.split('<path class="fish" d="')[1].split('"')[0]
    assert strokes.count("M") == len(LONG) + len(SHORT)


def test_what_was_planned_stands_beside_what_was_fed(fished: Any) -> None:
    page = review(fished)[1]
    fed = page[page.index("Planned and fed") :]
    assert fed.index(">2<") < fed.index(">0.75<")


@pytest.mark.parametrize(
    ("who", "of", "status"),
    [
        ("captain", "Wilmot", 200),
        ("secretary", "Wilmot", 200),
        ("member", "Wilmot", 200),
        ("rival", "Wilmot", 403),
        ("member", "Maud", 403),
        ("outsider", "Wilmot", 404),
        ("outsider", "", 404),
    ],
)
def test_a_review_is_its_members_and_the_captains(
    fished: Any, who: str, of: str, status: int
) -> None:
    assert review(fished, who, of=of)[0] == status


def test_a_day_without_notes_says_what_to_do_next_time(world: Any) -> None:
    status, page = review(world)
    assert status == 200
    assert "You noted no feed and no fish in this match." in page


def test_what_was_taken_back_corrected_or_erased_is_not_counted(fished: Any) -> None:
    slip = fish(fished, 20.5, "long", count=9)
    log(fished, 21, FactKind.SCRATCH, {"why": "slip"}, supersedes=slip.pk)
    wrong = fish(fished, 30.5, "long", count=7)
    right = {"species": "Roach", "count": 2, "line": "long", "about": 120}
    log(fished, 31, FactKind.FISH_NOTE, right, supersedes=wrong.pk)
    log(fished, 40, FactKind.FISH_NOTE, {})
    log(fished, 41, FactKind.LINE_NOTE, {})
    page = review(fished)[1]
    lines = page[page.index("By line") : page.index("By stage")]
    assert f'<td class="number">{len(LONG) + 2}</td>' in lines


def test_a_phone_put_away_and_a_clock_gone_wrong_are_said(world: Any) -> None:
    for minute in range(5, 120, 6):
        fish(world, minute, "")
    fish(world, 2_000, "", count=3)
    page = review(world)[1]
    assert "Nothing is noted after 11:59." in page
    assert "3 fish were noted outside that time and are left out" in page


def test_the_running_weight_is_called_an_estimate_and_held_against_the_scales(world: Any) -> None:
    weigh(world, "4", 60 * (len(LONG) + len(SHORT)) * 3 // 2)
    for minute in (*LONG, *SHORT):
        fish(world, minute, "")
    page = review(world)[1]
    assert "The running weight is an estimate" in page
    assert "1.50 times as much, nine times in ten 1.39 to 1.64" in page
    assert "Your sizes run light, or not every fish was noted." in page
    fish(world, 297, "", about=None)
    page = review(world)[1]
    assert "1 fish was noted without a size and counts as the others do." in page
    assert "times as much" not in page


def test_feed_without_fish_is_a_review_and_the_last_call_stands_on_its_axis(world: Any) -> None:
    fed = {"bait": "caster", "amount": "0.25", "unit": "pint", "line": ""}
    for minute in (5, 130, 290):
        log(world, minute, FactKind.FEED_NOTE, fed)
    log(world, 292, FactKind.SIGNAL, {"signal": "five_minutes"}, author=world.weigher)
    page = review(world)[1]
    assert "the last call, at 14:52" in page
    assert "estimate" not in page
    Match.objects.filter(pk=world.match.pk).update(last_call_min=0)
    Fact.objects.filter(kind=FactKind.SIGNAL).delete()
    assert "the last call" not in review(world)[1]


def test_a_catch_noted_in_one_go_says_nothing_of_when(world: Any) -> None:
    for n in range(12):
        fish(world, 100 + n / 20, "")
    page = review(world)[1]
    assert "noted in one go" in page
    assert "The catch " not in page


def test_a_long_day_takes_no_more_queries_than_a_short_one(fished: Any) -> None:
    client = signed_in(fished.member)
    address = f"/desk/plans/{fished.match.pk}/review/"

    def queries() -> int:
        with CaptureQueriesContext(
            connection,
        ) as seen:
            assert client.get(address).status_code == 200
        return len(seen)

    few = queries()
    for minute in range(300):
        fish(fished, minute + 0.25, "short")
    assert queries() <= few <= 12


# ---- files -------------------------------------------------------------------------------------


def taken(world: Any, name: str, who: str = "member") -> Any:
    client = signed_in(getattr(world, who))
    return client.get(f"/desk/{name}")


def test_everything_one_logged_comes_as_a_table(fished: Any) -> None:
    fish(fished, 33, '=HYPERLINK("x")')
    answer = taken(fished, "notes.csv")
    assert "my-notes.csv" in answer["Content-Disposition"]
    rows = list(csv.DictReader(io.StringIO(answer.content.decode("utf-8-sig"))))
    assert len(rows) == Fact.objects.filter(author=fished.member).count()
    caught = [row for row in rows if row["kind"] == "fish_note"]
    assert {row["species"] for row in caught} == {"Roach"}
    assert caught[0]["minute"] == "10.0"
    assert any(row["line"].startswith("'=") for row in caught)


def test_the_lines_for_a_notebook_run_as_they_are_written_down(
    fished: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """pandas is what many would open it with (general library)."""
    (tmp_path / "my-notes.csv").write_bytes(taken(fished, "notes.csv").content)
    monkeypatch.chdir(tmp_path)
    text = (Path(__file__).parents[2] / "web/docs/notebook.md").read_text(encoding="utf-8")
    lines = re.findall(r"```python\n(.*?)```", text, re.S)
    known: dict[str, Any] = {}
    for part in lines:
        exec(part, known)
    rates = known["rates"].loc["June Open"]
    assert rates.fish.to_dict() == {"long": len(LONG), "short": len(SHORT)}
    # The long line from its first fish at minute 10 to the switch at 149, the short one to 296.
    assert rates.minutes.to_dict() == {"long": 139, "short": 147}
    assert rates.per_hour["long"] == pytest.approx(60 * len(LONG) / 139)
    assert known["fed"].to_dict() == {("caster", "pint"): 0.75}
    assert known["off"] is None
    assert known["caught"] == len(LONG) + len(SHORT)
    assert known["notes"]["at"].dt.tz is not None


def test_the_same_comes_as_json_with_every_body_whole(fished: Any) -> None:
    answer = taken(fished, "notes.json")
    facts = json.loads(answer.getvalue())
    assert [fact["body"] for fact in facts if fact["kind"] == "line_note"] == [{"line": "short"}]
    assert len(facts) == Fact.objects.filter(author=fished.member).count()
    assert {fact["club"] for fact in facts} == {"Otterbeck Piscatorials"}


@pytest.mark.parametrize("name", ["notes.csv", "notes.json"])
def test_nobody_takes_another_persons_notes(fished: Any, name: str) -> None:
    assert b"Roach" not in taken(fished, name, "captain").getvalue()
    assert Client().get(f"/desk/{name}").status_code == 302


# ---- the next plan -----------------------------------------------------------------------------


@pytest.fixture
def july(fished: Any) -> Any:
    """Wilmot's next match."""
    later = Match.objects.get(pk=fished.match.pk)
    later.pk, later.slug, later.name = None, "july-open", "July Open"
    later.date += dt.timedelta(days=30)
    later.start_at += dt.timedelta(days=30)
    later.end_at += dt.timedelta(days=30)
    later.state = MatchState.PLANNED
    later.save()
    angler = fished.entries["Wilmot"].angler
    return Entry.objects.create(match=later, angler=angler, team=fished.alders)


def test_one_tap_puts_what_was_learnt_into_the_next_plan_with_its_reason(
    fished: Any, july: Any
) -> None:
    page = review(fished)[1]
    assert "Short line from minute 75 instead of 150: in June Open it brought 14 fish" in page
    assert "Put it into the plan for July Open" in page
    client = signed_in(fished.member)
    asked = {"do": "start", "source": f"learnt-{fished.entries['Wilmot'].pk}", "version": "0"}
    form = client.post(f"/desk/plans/{july.match_id}/", asked)
    assert form.status_code == 200
    shown = form.content.decode()
    assert 'name="stage-1-start_minute" value="75"' in shown
    assert "one match proves little" in shown
    assert not Plan.objects.filter(entry=july).exists()


@pytest.mark.parametrize("source", ["learnt-{other}", "learnt-x", "learnt-", "learnt-999999"])
def test_a_review_of_somebody_else_or_none_fills_no_plan(
    fished: Any, july: Any, source: str
) -> None:
    client = signed_in(fished.member)
    asked = {"do": "start", "source": source.format(other=fished.entries["Maud"].pk)}
    page = client.post(f"/desk/plans/{july.match_id}/", asked).content.decode()
    assert "That review changes nothing in the plan" in page


def test_without_a_match_to_come_the_reason_stands_there_all_the_same(fished: Any) -> None:
    page = review(fished)[1]
    assert "Short line from minute 75 instead of 150" in page
    assert "Put it into" not in page
