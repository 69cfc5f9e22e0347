"""The server killed in the middle, cut off, or out of disk: no fact is half there."""

from __future__ import annotations

import gzip
import resource
import socket
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest

from tests.races.served import Served

pytestmark = [pytest.mark.slow, pytest.mark.django_db]


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory, migrated_file: Path) -> Iterator[Served]:
    running = Served(tmp_path_factory.mktemp("served"), migrated_file)
    try:
        running.ready()
        yield running
    finally:
        running.stop()


def stored(server: Served, facts: list[dict[str, Any]]) -> list[bool]:
    """Of each fact whether it is there; what stands of it is there exactly with it."""
    with closing(sqlite3.connect(f"file:{server.file}?mode=ro", uri=True)) as db:
        facts_there = {row[0] for row in db.execute("select id from matches_fact")}
        shown = {row[0] for row in db.execute("select fact_id from matches_weighin")}
        counted = db.execute("select sum(fact_counter) from matches_club").fetchone()[0]
    assert counted == len(facts_there)
    there = [fact["id"].replace("-", "") in facts_there for fact in facts]
    for fact, is_there in zip(facts, there, strict=True):
        if fact["match"] == str(server.match):
            assert (fact["id"].replace("-", "") in shown) == is_there
    return there


def outcomes(answer: Any) -> list[str]:
    assert answer and answer[0] == 200, answer
    return [one["outcome"] for one in answer[2]["outcomes"]]


@pytest.mark.fault("server killed in a transaction")
def test_killed_before_the_commit_nothing_of_the_batch_is_there(server: Served) -> None:
    batch = [server.note(peg="1"), server.note(peg="2")]
    server.trap.write_text("rows inserted")
    assert server.push(*batch) is None
    assert not server.trap.exists()
    assert stored(server, batch) == [False, False]
    server.ready()
    assert outcomes(server.push(*batch)) == ["accepted", "accepted"]
    assert stored(server, batch) == [True, True]


@pytest.mark.fault("server killed between facts")
def test_killed_between_the_facts_of_two_clubs_each_is_wholly_there_or_absent(
    server: Served,
) -> None:
    batch = [server.note(peg="4"), server.note(server.away, kind="peg_note", body={"note": "deep"})]
    server.trap.write_text(f"club {server.away_club} begun")
    assert server.push(*batch) is None
    assert not server.trap.exists()
    assert stored(server, batch) == [True, False]
    server.ready()
    assert outcomes(server.push(*batch)) == ["duplicate", "accepted"]


@pytest.mark.fault("reply lost after commit")
def test_killed_after_the_commit_the_batch_is_told_as_known(server: Served) -> None:
    fact = server.note(peg="5")
    server.trap.write_text("all committed")
    assert server.push(fact) is None
    assert stored(server, [fact]) == [True]
    server.ready()
    assert outcomes(server.push(fact)) == ["duplicate"]


@pytest.mark.fault("body cut short")
def test_a_body_cut_short_stores_nothing_and_the_whole_one_is_taken(server: Served) -> None:
    fact = server.note(kind="peg_note", body={"note": "cut"})
    body = server.body(fact)
    head = [f"{name}: {value}" for name, value in server.headers.items()]
    head += ["Host: localhost", f"Content-Length: {len(body)}", "", ""]
    with socket.create_connection(("127.0.0.1", server.port), timeout=60) as line:
        line.sendall("\r\n".join(["POST /api/v1/sync/facts HTTP/1.1", *head]).encode())
        line.sendall(body[: len(body) // 2])
        line.shutdown(socket.SHUT_WR)
        assert line.recv(100).split(b"\r\n")[0].split()[1] == b"400"
    assert outcomes(server.push(fact)) == ["accepted"]


@pytest.mark.fault("server's disk full")
def test_a_full_disk_is_a_503_that_stores_nothing_until_there_is_room(server: Served) -> None:
    batch = [server.note(kind="peg_note", body={"note": "x" * 400}) for _ in range(300)]
    server.ready()
    full = server.file.stat().st_size
    before = resource.prlimit(server.worker(), resource.RLIMIT_FSIZE)
    resource.prlimit(server.worker(), resource.RLIMIT_FSIZE, (4096, before[1]))
    try:
        answer = server.push(*batch)
        assert answer is not None
        assert (answer[0], answer[2]["type"]) == (503, "/problems/busy")
        assert int(answer[1]["Retry-After"]) >= 1
        assert server.file.stat().st_size == full
        assert not any(there(server, batch))
    finally:
        resource.prlimit(server.worker(), resource.RLIMIT_FSIZE, before)
    assert set(outcomes(server.push(*batch))) == {"accepted"}


def there(server: Served, facts: list[dict[str, Any]]) -> list[bool]:
    with closing(sqlite3.connect(f"file:{server.file}?mode=ro", uri=True)) as db:
        names = {row[0] for row in db.execute("select id from matches_fact")}
    return [fact["id"].replace("-", "") in names for fact in facts]


@pytest.mark.fault("gzip bomb")
def test_a_gzip_bomb_is_refused_without_being_unpacked(server: Served) -> None:
    """64 MiB of blanks in 64 KiB: a worker that unpacked them would grow by as much."""
    assert outcomes(server.push(server.note(kind="peg_note", body={"note": "warm"})))
    before = memory_most(server)
    bomb = gzip.compress(b" " * 64 * 1024**2)
    for _ in range(3):
        answer = server.post(bomb, **{"Content-Encoding": "gzip"})
        assert answer is not None
        assert answer[0] == 413
    assert memory_most(server) - before < 16 * 1024**2


def memory_most(server: Served) -> int:
    """The most the worker has held so far, in bytes."""
    status = Path(f"/proc/{server.worker()}/status").read_text()
    line = next(line for line in status.splitlines() if line.startswith("VmHWM"))
    return int(line.split()[1]) * 1024
