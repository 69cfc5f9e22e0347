"""Start PostgreSQL or Redis for one command, and stop them when it ends.

    with_servers.py postgres redis -- pytest -m redis
    with_servers.py --has postgres      (exit code 0 when it is installed)

Each listens on loopback only, on a free port, in a folder of its own that goes when it ends. The
command finds them in DATABASE_URL and BROKER_URL; its exit code is ours.
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

START_SECONDS = 30.0
INITDB_OPTIONS = ("-E", "UTF8", "--no-locale", "--no-sync")


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
    with tempfile.TemporaryDirectory(prefix="drawbag-pg-", ignore_cleanup_errors=True) as folder:
        if user:
            owner = pwd.getpwnam(user)
            os.chown(folder, owner.pw_uid, owner.pw_gid)
        data, port = f"{folder}/data", free_port()
        own = {"user": user, "group": user, "extra_groups": []} if user else {}
        subprocess.run(
            [_tool("initdb"), "-D", data, "-U", "drawbag", "-A", "trust", *INITDB_OPTIONS],
            check=True,
            stdout=subprocess.DEVNULL,
            cwd=folder,
            **own,  # type: ignore[call-overload]
        )
        command = [_tool("postgres"), "-D", data, "-p", str(port), "-k", folder]
        # The data lives as long as the run: durability would only cost time.
        for setting in ("listen_addresses=127.0.0.1", "fsync=off", "log_min_messages=fatal"):
            command += ["-c", setting]
        with _running(command, stop=signal.SIGINT, port=port, cwd=folder, **own):
            yield {"DATABASE_URL": f"postgres://drawbag@127.0.0.1:{port}/postgres"}


@contextmanager
def redis() -> Iterator[dict[str, str]]:
    with tempfile.TemporaryDirectory(prefix="drawbag-redis-") as folder:
        port = free_port()
        command = ["redis-server", "--port", str(port), "--bind", "127.0.0.1", "--dir", folder]
        command += ["--save", "", "--appendonly", "no", "--logfile", "redis.log"]
        with _running(command, stop=signal.SIGTERM, port=port, cwd=folder):
            yield {"BROKER_URL": f"redis://127.0.0.1:{port}/0"}


def _tool(name: str) -> str:
    found = postgres_tool(name)
    if found is None:
        sys.exit(f"{name} is not installed (on Debian: apt-get install postgresql).")
    return found


@contextmanager
def _running(
    command: list[str], *, stop: signal.Signals, port: int, cwd: str, **own: object
) -> Iterator[None]:
    server = subprocess.Popen(command, cwd=cwd, **own)  # type: ignore[call-overload]
    try:
        _answer_await(server, port=port)
        yield
    finally:
        server.send_signal(stop)
        try:
            server.wait(timeout=20)
        except subprocess.TimeoutExpired:
            server.kill()
            server.wait()


def _answer_await(server: subprocess.Popen[bytes], *, port: int) -> None:
    until = time.monotonic() + START_SECONDS
    while time.monotonic() < until:
        if server.poll() is not None:
            sys.exit(f"{server.args} ended at once with {server.returncode}.")
        try:
            socket.create_connection(("127.0.0.1", port), timeout=1).close()
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
