"""Start PostgreSQL or Redis for one command, and stop them when it ends.

    with_servers.py postgres redis -- pytest -m redis
    with_servers.py --has postgres      (exit code 0 when it is installed)

PostgreSQL listens on a socket in a folder of its own, Redis on a free port of loopback; each keeps
its data in that folder, which goes when it ends. The command finds them in DATABASE_URL and
BROKER_URL; its exit code is ours.
"""

from __future__ import annotations

import os
import pwd
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path
from urllib.parse import quote

START_SECONDS = 30.0
INITDB_OPTIONS = ("-E", "UTF8", "--no-locale", "--no-sync")
MEMORY = Path("/dev/shm")
MEMORY_WANTED = 3 * 1024**3
# The data lives as long as the run: durability would only cost time.
POSTGRES_SETTINGS = (
    "listen_addresses=",
    "fsync=off",
    "full_page_writes=off",
    "synchronous_commit=off",
    # It would count tables while a test has none of its rows in them, and plan the next by that.
    "autovacuum=off",
    "wal_level=minimal",
    "max_wal_senders=0",
    "log_min_messages=fatal",
)


def postgres_tool(name: str) -> str | None:
    """Debian keeps the server's programs out of PATH: the newest of them first."""
    folders = sorted(Path("/usr/lib/postgresql").glob("*/bin"), key=lambda f: -float(f.parent.name))
    places = os.pathsep.join([*map(str, folders), os.environ.get("PATH", os.defpath)])
    return shutil.which(name, path=places)


def installed(server: str) -> bool:
    if server == "postgres":
        return bool(postgres_tool("initdb") and postgres_tool("postgres"))
    return shutil.which("redis-server") is not None


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


@contextmanager
def postgres() -> Iterator[dict[str, str]]:
    """A database cluster for this run. initdb refuses root, so root hands it to `postgres`."""
    user = "postgres" if os.getuid() == 0 else None
    with tempfile.TemporaryDirectory(
        prefix="drawbag-pg-", dir=_roomy_memory(), ignore_cleanup_errors=True
    ) as folder:
        if user:
            owner = pwd.getpwnam(user)
            os.chown(folder, owner.pw_uid, owner.pw_gid)
        data = f"{folder}/data"
        own = {"user": user, "group": user, "extra_groups": []} if user else {}
        subprocess.run(
            [_tool("initdb"), "-D", data, "-U", "drawbag", "-A", "trust", *INITDB_OPTIONS],
            check=True,
            stdout=subprocess.DEVNULL,
            cwd=folder,
            **own,  # type: ignore[call-overload]
        )
        command = [_tool("postgres"), "-D", data, "-k", folder]
        for setting in POSTGRES_SETTINGS:
            command += ["-c", setting]
        door = f"{folder}/.s.PGSQL.5432"
        with _running(command, stop=signal.SIGINT, door=door, cwd=folder, **own):
            yield {"DATABASE_URL": f"postgres://drawbag@{quote(folder, safe='')}/postgres"}


def _roomy_memory() -> str | None:
    """Where files are kept in memory, if there is room: some disks make a test run take hours."""
    roomy = MEMORY.is_dir() and shutil.disk_usage(MEMORY).free >= MEMORY_WANTED
    return str(MEMORY) if roomy and os.access(MEMORY, os.W_OK) else None


@contextmanager
def redis() -> Iterator[dict[str, str]]:
    with tempfile.TemporaryDirectory(prefix="drawbag-redis-") as folder:
        port = free_port()
        command = ["redis-server", "--port", str(port), "--bind", "127.0.0.1", "--dir", folder]
        command += ["--save", "", "--appendonly", "no", "--logfile", "redis.log"]
        with _running(command, stop=signal.SIGTERM, door=port, cwd=folder):
            yield {"BROKER_URL": f"redis://127.0.0.1:{port}/0"}


def _tool(name: str) -> str:
    found = postgres_tool(name)
    if found is None:
        sys.exit(f"{name} is not installed (on Debian: apt-get install postgresql).")
    return found


@contextmanager
def _running(
    command: list[str], *, stop: signal.Signals, door: str | int, cwd: str, **own: object
) -> Iterator[None]:
    server = subprocess.Popen(command, cwd=cwd, **own)  # type: ignore[call-overload]
    try:
        _answer_await(server, door=door)
        yield
    finally:
        server.send_signal(stop)
        try:
            server.wait(timeout=20)
        except subprocess.TimeoutExpired:
            server.kill()
            server.wait()


def _answer_await(server: subprocess.Popen[bytes], *, door: str | int) -> None:
    """`door`: a socket's path, or a port of loopback."""
    family = socket.AF_UNIX if isinstance(door, str) else socket.AF_INET
    until = time.monotonic() + START_SECONDS
    while time.monotonic() < until:
        if server.poll() is not None:
            sys.exit(f"{server.args} ended at once with {server.returncode}.")
        try:
            with socket.socket(family) as probe:
                probe.settimeout(1)
                probe.connect(door if isinstance(door, str) else ("127.0.0.1", door))
            return
        except OSError:
            time.sleep(0.1)
    sys.exit(f"{server.args} did not answer within {START_SECONDS:.0f} s.")


def main(words: list[str]) -> int:
    if words[:1] == ["--has"]:
        return 0 if installed(words[1]) else 1
    at = words.index("--")
    signal.signal(signal.SIGTERM, lambda *_: sys.exit(143))
    with ExitStack() as running:
        environment = dict(os.environ)
        for name in words[:at]:
            environment |= running.enter_context({"postgres": postgres, "redis": redis}[name]())
        return subprocess.run(words[at + 1 :], env=environment).returncode


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
