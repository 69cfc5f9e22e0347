"""The demo as a newcomer runs it: real processes, the same order each time, nothing left over."""

from __future__ import annotations

import datetime as dt
import os
import re
import shutil
import signal
import socket
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from django.core.management import call_command

from matches.models import DrawnPeg, Pool
from matches.reads.prizes import settlement
from matches.times import coming_saturday
from tests.thorough import trials
from web.demo.load import Demo, demo_load
from web.demo.table import table
from web.demo.weighing import NOTING, WEIGHTS, peg_weights
from web.management.commands import demo as demo_command
from web.processes import ProcessEnded, Processes, free_port

ROOT = Path(__file__).parents[2]


def demo_environment(folder: Path) -> dict[str, str]:
    """A folder of its own; databases and brokers of ours must not be touched."""
    return {
        **os.environ,
        "VAR_DIR": str(folder),
        "DATABASE_URL": "postgres://nobody@127.0.0.1:1/none",
        "BROKER_URL": "redis://127.0.0.1:1/0",
        "PORT": "8400",
    }


def processes_with(folder: Path) -> list[str]:
    """The command lines of every process whose environment names the folder."""
    found = []
    for process in Path("/proc").iterdir():
        try:
            if str(folder).encode() in (process / "environ").read_bytes():
                words = (process / "cmdline").read_bytes()
                if words:  # one that has ended but is not yet waited for has none
                    found.append(words.replace(b"\0", b" ").decode())
        except (FileNotFoundError, ProcessLookupError, NotADirectoryError, PermissionError):
            continue
    return found


def demo_run(folder: Path, *words: str, until: str) -> str:
    """All the demo said; it is sent Ctrl-C after the line that begins with `until`, if it comes.
    Every process of it must have ended."""
    demo = subprocess.Popen(
        [sys.executable, "manage.py", "demo", *words],
        cwd=ROOT,
        env=demo_environment(folder),
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    )
    assert demo.stdout is not None
    said = ""
    for line in demo.stdout:
        said += line
        if line.startswith(until):
            demo.send_signal(signal.SIGINT)
            break
    rest, _ = demo.communicate(timeout=60)
    assert demo.returncode == 0, said + rest
    assert processes_with(folder) == []
    return said + rest


@pytest.mark.slow
def test_demo_works_out_its_order_serves_and_ends_every_process_at_ctrl_c(
    tmp_path: Path, migrated_file: Path
) -> None:
    if not trials(0, in_full=1):  # what the tests' own database was made by is not made again
        (tmp_path / "demo").mkdir()
        shutil.copy(migrated_file, tmp_path / "demo/drawbag.sqlite3")
    said = demo_run(tmp_path, until="Ctrl-C ends everything.")
    assert "Stopped: every process of the demo has ended." in said
    table = said[said.index("Shop ") : said.index("Open ")].strip()
    assert re.search(r"^Total +253\.55 GBP$", table, re.MULTILINE)
    assert "Proved: no order costs less than 253.55 (gap 0.00)." in table
    shares = re.findall(r"^[A-Z]\w+ [A-Z]\w+ +(\d+\.\d\d) +\d+\.\d\d +\d+\.\d\d$", table, re.M)
    assert len(shares) == 8
    assert sum(round(float(share) * 100) for share in shares) == 25355
    for _ in range(trials(0, in_full=1)):  # in a folder that is filled
        again = demo_run(tmp_path, "--once", until="Ctrl-C")
        assert again[again.index("Shop ") :].strip() == table


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM, signal.SIGHUP])
def test_every_signal_that_asks_the_demo_to_end_is_a_ctrl_c(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], number: signal.Signals
) -> None:
    monkeypatch.setenv(demo_command.INSIDE, "1")
    monkeypatch.setattr(demo_command.Command, "_run", lambda *_, **__: signal.raise_signal(number))
    before = {of: signal.getsignal(of) for of in (signal.SIGINT, signal.SIGTERM, signal.SIGHUP)}
    try:
        call_command("demo")
    finally:
        for of, handler in before.items():
            signal.signal(of, handler)
    assert "Stopped: every process of the demo has ended." in capsys.readouterr().out


def test_demo_club_is_loaded_once_and_the_next_week_gets_its_own_saturday(demo: Demo) -> None:
    from matches.models import Angler, Bulletin, Disagreement, Match, WeighIn

    first = demo
    counted = [m.objects.count() for m in (Match, Angler, Bulletin, WeighIn, Disagreement)]
    assert counted == [5, 36, 4, 106, 2]
    assert demo_load(today=dt.date(2026, 6, 17)) == first
    assert [m.objects.count() for m in (Match, Angler, Bulletin, WeighIn, Disagreement)] == counted
    assert first.saturday.date == dt.date(2026, 6, 20)
    assert first.finished.date == dt.date(2026, 6, 6)
    assert first.finished.state == "confirmed"
    assert first.finished.bulletins.get(number=2).confirmed
    assert Disagreement.objects.get(match=first.finished).ruling is not None
    assert Disagreement.objects.get(match=first.today).ruling is None
    later = demo_load(today=dt.date(2026, 6, 24))
    assert later.saturday.date == dt.date(2026, 6, 27)
    assert later.finished == first.finished


def test_demo_shows_each_step_of_the_bait_desk(demo: Demo) -> None:
    """One order settled to the penny, plans of every sort, a ledger that adds up."""
    from django.db.models import Sum

    from bait.models import LarderLot, MatchLimit, Order, Plan, PlanTemplate, ThrowSize
    from bait.reads.bags import bags_of
    from bait.reads.kitty import kitty_even
    from bait.reads.left_over import left_over
    from bait.reads.plan_shown import team_plans

    order = Order.objects.get(match=demo.finished)
    assert Order.objects.filter(settled_at__isnull=False).count() == 3
    assert order.settled_at is not None
    assert kitty_even(order)
    assert order.shop_payments.count() == 2
    assert order.paid_back.count() > 0
    packing = bags_of(order)
    assert packing is not None and packing.packed and packing.items > 0
    assert order.received.count() == order.placed.lines.count()
    back = left_over(demo.captain, team_id=demo.team.pk, match_id=demo.finished.pk).parts
    assert all(row.put for row in back[0].rows if row.left)
    assert len([part for part in back if any(row.put for row in part.rows)]) > 2
    plans = team_plans(demo.team, match=demo.saturday)
    assert [shown.entry.angler.name for shown in plans if shown.over] == ["Nell Tarrant"]
    assert [shown for shown in plans if shown.empty or shown.faults] == []
    for plan in Plan.objects.filter(entry__match=demo.saturday):
        assert plan.mixes.count() == 1
        assert plan.substitutes.count() == 1
        assert {stage.kind for stage in plan.stages.all()} >= {"opening", "feed", "hook"}
    assert MatchLimit.objects.filter(match=demo.saturday).exclude(source="").count() == 2
    assert (PlanTemplate.objects.count(), ThrowSize.objects.count()) == (1, 3)
    lots = LarderLot.objects.annotate(moved=Sum("moves__amount"))
    assert [lot for lot in lots if lot.amount != lot.moved] == []
    assert lots.filter(moves__kind="left_over").exists()
    assert lots.filter(moves__kind="taken").exists()
    bags_teach(demo, today=dt.date(2026, 6, 17))


def bags_teach(demo: Demo, *, today: dt.date) -> None:
    """A spare learnt from three orders, what bait cost, a plan with a line moved by a review."""
    from bait.reads.bait_cost import bait_cost
    from bait.reads.plans import own_entry_of
    from bait.reads.spare import spare_offered
    from bait.reads.suggested import plan_suggested
    from bait.reads.truth import bait_truth

    offered = spare_offered(demo.team, match=demo.saturday)
    assert offered is not None and offered.differs
    assert (offered.spare.learnt, offered.spare.matches) == (True, 3)
    cost = bait_cost(demo.captain, team_id=demo.team.pk, today=today)
    assert cost.team is not None and cost.team.matches == 3
    assert cost.team.per_kilo and cost.team.per_point
    assert sum(member.season.pence for member in cost.members) == cost.team.pence > 0
    truth = bait_truth(demo.captain, team_id=demo.team.pk, match_id=demo.finished.pk)
    noted = {part.angler.name: part for part in truth.parts if part.fed_notes}
    assert sorted(noted) == ["Maud Ferris", "Wilmot Crane"]
    gaps = [row.known.adds_up for row in noted["Wilmot Crane"].rows]
    assert True in gaps and False in gaps
    entry = own_entry_of(demo.captain, match_id=demo.saturday.pk)
    found = plan_suggested(demo.captain, entry=entry)
    assert found.learnt is not None and found.learnt[1] == demo.finished
    assert {reason.by for reason in found.suggestion.reasons} >= {"own_here", "review", "rule"}


def test_the_demos_season_is_honest_that_three_matches_say_nothing(demo: Demo) -> None:
    from bait.reads.season import season_inputs
    from bait.reckon.season import season_work_out

    answer = season_work_out(season_inputs(demo.team).days)
    assert (answer.verdict, answer.matches, answer.days, answer.anglers) == ("few", 3, 4, 2)
    reasons = [one.why for one in answer.left_out]
    assert reasons.count("half") == 2 and reasons.count("no_notes") == len(reasons) - 2


def test_whoever_notes_fish_has_some_to_weigh_also_where_the_blank_peg_is_theirs(
    demo: Demo,
) -> None:
    match = demo.finished
    drawn = DrawnPeg.objects.filter(match=match).select_related("entry__angler__person")
    places = [
        drawn.get(section_peg__peg__number="16"),
        drawn.get(entry__angler__person__username="maud"),
    ]
    if places[0] != places[1]:
        pegs = [place.section_peg for place in places]
        drawn.filter(pk__in=[place.pk for place in places]).delete()
        for place, peg in zip(places, reversed(pegs), strict=True):
            entry, draw = place.entry, place.draw
            DrawnPeg.objects.create(match=match, entry=entry, section_peg=peg, draw=draw)

    weights = peg_weights(match)
    assert weights["16"] > 0 and sorted(weights.values()) == sorted(WEIGHTS)
    blank = next(peg for peg, weight in weights.items() if not weight)
    angler = drawn.get(section_peg__peg__number=blank).entry.angler
    assert angler.person is None or angler.person.username not in NOTING


@pytest.mark.parametrize("day", range(1, 15))
def test_coming_saturday_is_a_saturday_within_a_week_and_never_today(day: int) -> None:
    today = dt.date(2026, 6, day)
    found = coming_saturday(today)
    assert found.weekday() == 5
    assert 1 <= (found - today).days <= 7


def test_the_finished_match_has_its_pools_settled_to_the_penny(demo: Demo) -> None:
    finished = demo.finished
    settled = settlement(finished)
    frame, chosen, fish = settled.pools
    assert settled.confirmed and settled.bulletin is not None
    assert (frame.account.holds, frame.account.pool.section_by_default) == (36_000, True)
    assert {w.payment.section for w in frame.won} == {"", "A", "B", "C"}
    assert chosen.account.pool.opt_in and len(chosen.account.is_in) == 12
    assert fish.won and all(p.paid for p in settled.pools)
    assert all(p.to_hand_over == p.to_ask_back == 0 for p in settled.prizes)
    tin = settled.tin
    assert (tin.fees, tin.owed, tin.to_hand_over, tin.undecided) == (7200, 0, 0, 0)
    assert tin.comes_in == tin.goes_out
    assert tin.lies_in == tin.fees_kept + tin.unallocated
    assert demo_load(today=dt.date(2026, 6, 17)).finished == finished
    assert Pool.objects.count() == 3


@pytest.fixture
def taken_port() -> Iterator[int]:
    with socket.socket() as held:
        held.bind(("0.0.0.0", 0))
        held.listen()
        yield held.getsockname()[1]


def test_busy_port_gives_way_to_a_later_one(taken_port: int) -> None:
    assert taken_port < free_port(taken_port) <= taken_port + 99


def test_process_that_ends_by_itself_is_told_with_its_last_words(tmp_path: Path) -> None:
    with Processes(logs=tmp_path, environment=os.environ) as processes:
        processes.start("oracle", module="this", words=[])
        processes.running["oracle"].wait()
        with pytest.raises(ProcessEnded, match="Namespaces are one honking great idea"):
            processes.check()


def test_processes_end_with_their_block_even_when_it_fails(tmp_path: Path) -> None:
    seen: dict[str, Any] = {}
    with (
        pytest.raises(KeyboardInterrupt),
        Processes(logs=tmp_path, environment=os.environ) as processes,
    ):
        processes.start("server", module="http.server", words=["0", "--bind", "127.0.0.1"])
        seen = dict(processes.running)
        raise KeyboardInterrupt
    assert seen["server"].returncode is not None


def test_table_sets_figures_right_and_words_left() -> None:
    assert list(table(("Bait", "Cost"), [("Caster", "4.20"), ("Hemp", "12.00")])) == [
        "Bait     Cost",
        "──────  ─────",
        "Caster   4.20",
        "Hemp    12.00",
    ]
