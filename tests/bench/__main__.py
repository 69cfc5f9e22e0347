"""Run every bench, each as a process of its own, and write what they found to `web/docs/bench.md`.

    make bench                             (about ten minutes where nothing else runs)
    make bench ARGS=--quick                (about two minutes; nothing is written without --write)
    .venv/bin/python -m tests.bench --only placings sync
    .venv/bin/python -m tests.bench --page      (write the page anew from the last run's record)

What fails is said in its place, and what a bench measures beside it is measured all the same; one
that stops, or takes too long on a slow machine, keeps what it told before. The exit code is 1
where anything failed.
"""

from __future__ import annotations

import argparse
import datetime as dt
import os
import shutil
import signal
import subprocess
import sys
import tempfile
from contextlib import ExitStack, suppress
from dataclasses import dataclass, replace
from pathlib import Path
from time import monotonic

from tests.load.databases import Postgres, servers_tool

from .aims import AIMS, aims_met
from .machine import machine_words
from .migrated import MIGRATED, ROOT, migrated_file
from .page import met_word, page_text
from .plots import picture
from .recorded import LAST, PAGE, PICTURES, Run, run_read
from .rows import ROWS_FILE, Curve, Row, found_read

SQLITE, POSTGRES = "SQLite", "PostgreSQL"
#: What a run may take at most on a slow machine, and one bench of it, in seconds: full, and quick.
WHOLE_S, EACH_S = {False: 1_800, True: 900}, {False: 360, True: 180}
MIGRATE_S = 600


@dataclass(frozen=True, slots=True)
class Bench:
    """`on`: the databases it runs on, none for what is only reckoned; `more`: in a full run too."""

    name: str
    on: tuple[str, ...] = ()
    more: tuple[str, ...] = ()
    browser: bool = False


BENCHES = (
    Bench("bench_placings"),
    Bench("bench_placement"),
    Bench("bench_order"),
    Bench("bench_sync", (SQLITE, POSTGRES)),
    Bench("bench_api", (SQLITE,), more=(POSTGRES,)),
    Bench("bench_crowd", (SQLITE,), more=(POSTGRES,)),
    Bench("bench_order_job", (SQLITE,)),
    Bench("bench_review", (SQLITE,)),
    Bench("bench_season", (SQLITE,)),
    Bench("bench_desk", (SQLITE,)),
    Bench("bench_board", (SQLITE,)),
    Bench("bench_weigh", (SQLITE,)),
    Bench("bench_bank", (SQLITE,), browser=True),
    Bench("bench_thumb", (SQLITE,), browser=True),
    Bench("bench_swim", (SQLITE,), browser=True),
    Bench("grow_reckoned"),
    Bench("grow_stored", (SQLITE,)),
)


def main() -> int:
    asked = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    asked.add_argument("--quick", action="store_true", help="few rounds and small sizes")
    asked.add_argument("--write", action="store_true", help="write the page of a quick run too")
    asked.add_argument("--only", nargs="+", default=[], help="these benches; nothing is written")
    asked.add_argument("--page", action="store_true", help="write the last run's page anew")
    given = asked.parse_args()
    if given.page:
        written(run_read(LAST.read_text(encoding="utf-8")))
        return 0
    began = monotonic()
    wanted = [b for b in BENCHES if not given.only or b.name.partition("_")[2] in given.only]
    os.environ[MIGRATED] = str(migrated_file())
    with Runner(quick=given.quick) as runner:
        machine = machine_words(postgres=runner.postgres_tool, chromium=runner.chromium)
        print(machine, flush=True)
        for n, bench in enumerate(wanted, 1):
            so_far = f"{monotonic() - began:.0f} s so far"
            print(f"[{n}/{len(wanted)}] {bench.name}, {so_far}", flush=True)
            runner.run(bench)
    run = Run(
        date=dt.datetime.now(dt.UTC).date().isoformat(),
        seconds=round(monotonic() - began),
        quick=given.quick,
        machine=machine,
        rows=tuple(runner.rows),
        curves=tuple(runner.curves),
    )
    said(run)
    if not given.only and (given.write or not given.quick):
        written(run)
    return 1 if runner.stopped else 0


class Runner:
    """Starts benches one after another, and keeps what they told."""

    def __init__(self, *, quick: bool) -> None:
        self.quick = quick
        self.rows: list[Row] = []
        self.curves: list[Curve] = []
        self.stopped: list[str] = []
        self.until = monotonic() + WHOLE_S[quick]
        self.postgres_tool = servers_tool().postgres_tool("postgres")
        self.chromium = os.environ.get("CHROMIUM") or shutil.which("chromium")
        self.servers = ExitStack()
        self.postgres_url: str | None = None
        self.postgres_lacks = "PostgreSQL is not installed" if not self.postgres_tool else ""

    def __enter__(self) -> Runner:
        folder = tempfile.TemporaryDirectory(prefix="drawbag-bench-", ignore_cleanup_errors=True)
        self.folder = Path(self.servers.enter_context(folder))
        return self

    def __exit__(self, *_raised: object) -> None:
        self.servers.close()

    def run(self, bench: Bench) -> None:
        if bench.browser and not self.chromium:
            self._missed(bench, "not measured: Chromium is not installed")
            return
        for database in (bench.on or ("",)) + (() if self.quick else bench.more):
            self._run_on(bench, database)

    def _run_on(self, bench: Bench, database: str) -> None:
        environment = {
            **os.environ,
            "CHROMIUM": self.chromium or "",
            "TMPDIR": str(self.folder),  # what a stopped bench leaves goes with it
        }
        environment.pop("DATABASE_URL", None)
        if database == POSTGRES:
            if self.postgres_url is None and not self.postgres_lacks:
                self._postgres_start()
            if self.postgres_url is None:
                self._missed(bench, f"not measured: {self.postgres_lacks}", database)
                return
            environment["DATABASE_URL"] = self.postgres_url
        left = self.until - monotonic()
        if left <= 0:
            self._missed(bench, "not measured: the run's time was up", database)
            return
        told = self.folder / f"{bench.name}-{database or 'alone'}.jsonl"
        within = min(left, EACH_S[self.quick])
        lacks = self._started(bench, environment | {ROWS_FILE: str(told)}, within=within)
        rows, curves = found_read(told.read_text() if told.exists() else "")
        self.rows += [replace(row, bench=bench.name) for row in rows]
        self.curves += curves
        if lacks:
            self.stopped.append(bench.name)
            self._missed(bench, lacks, database, told=bool(rows or curves))

    def _started(self, bench: Bench, environment: dict[str, str], *, within: float) -> str:
        """Run it; what stopped it, in words, else nothing."""
        words = [sys.executable, "-m", f"tests.bench.{bench.name}", *["--quick"] * self.quick]
        # In a group of its own: what it started (a site, a browser) goes with it.
        started = subprocess.Popen(words, cwd=ROOT, env=environment, start_new_session=True)
        try:
            code = started.wait(timeout=within)
        except subprocess.TimeoutExpired:
            return f"stopped after {within:.0f} s, which is all it may take"
        finally:
            with suppress(ProcessLookupError):
                os.killpg(started.pid, signal.SIGKILL)
        return f"it ended with {code}" if code else ""

    def _missed(self, bench: Bench, why: str, database: str = "", *, told: bool = False) -> None:
        """A row that says why, held against the aims of which nothing was told."""
        aims = {key for row in self.rows for key in row.aims}
        keys = tuple(
            a.key
            for a in AIMS
            if a.bench == bench.name
            and a.key not in aims
            and (not database or not a.key.startswith("sync-") or database.lower()[:6] in a.key)
        )
        words = "what is not told above" if told else "the whole bench"
        where = database or " and ".join(bench.on)
        self.rows.append(Row(words, where, said=why, aims=keys, bench=bench.name))
        print(f"  {why}", flush=True)

    def _postgres_start(self) -> None:
        """A server as durable as in use, its first database migrated: copies are made of it."""
        print("  starting PostgreSQL, and migrating it once", flush=True)
        try:
            server = Postgres(self.folder)
            server.start()
            self.servers.callback(server.stop)
            url = server.environment["DATABASE_URL"]
            subprocess.run(
                [sys.executable, "manage.py", "migrate", "-v0"],
                cwd=ROOT,
                env={**os.environ, "DATABASE_URL": url, "VAR_DIR": str(self.folder / "var")},
                timeout=MIGRATE_S,
                check=True,
            )
        except (OSError, SystemExit, subprocess.SubprocessError) as error:
            self.postgres_lacks = f"PostgreSQL did not start: {error}"
        else:
            self.postgres_url = url


def said(run: Run) -> None:
    print(f"\n{run.seconds} s in all")
    met = aims_met(run.rows)
    for aim in AIMS:
        if any(aim.key in row.aims for row in run.rows):
            print(f"  {met_word(met[aim.key]).strip('*'):>3}  {aim.words}")


def written(run: Run) -> None:
    """The record, its page and pictures; a picture of no curve any more goes."""
    PICTURES.mkdir(exist_ok=True)
    LAST.write_text(run.as_json(), encoding="utf-8")
    run = run_read(run.as_json())  # as it is kept: what the page says is in the record
    PAGE.write_text(page_text(run), encoding="utf-8")
    for old in PICTURES.glob("*.svg"):
        old.unlink()
    for curve in run.curves:
        (PICTURES / f"{curve.key}.svg").write_text(picture(curve), encoding="utf-8")
    print(f"written: {PAGE.relative_to(ROOT)}, {len(run.curves)} pictures")


if __name__ == "__main__":
    sys.exit(main())
