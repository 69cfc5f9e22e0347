"""The two databases a club runs on, as durable as in use, and killed as a power cut would."""

from __future__ import annotations

import importlib.util
import os
import pwd
import signal
import socket
import subprocess
import threading
import time
from contextlib import suppress
from pathlib import Path
from types import ModuleType
from typing import Any
from urllib.parse import quote

ROOT = Path(__file__).resolve().parents[2]
PATIENCE_S = 60.0
NEVER = threading.Event()


def servers_tool() -> ModuleType:
    """What starts servers for one command: it knows where Debian keeps PostgreSQL's programs."""
    spec = importlib.util.spec_from_file_location("servers", ROOT / ".ci/scripts/with_servers.py")
    assert spec is not None and spec.loader is not None
    made = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(made)
    return made


class Sqlite:
    """A file beside the site. There is no process of its own to kill."""

    name = "SQLite"

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    @property
    def environment(self) -> dict[str, str]:
        return {}

    def start(self) -> None: ...

    def stop(self) -> None: ...


class Postgres:
    """A cluster in `folder` with its settings as they come: each commit is on the disk."""

    name = "PostgreSQL"

    def __init__(self, folder: Path) -> None:
        self.folder, self.data = folder / "pg", folder / "pg" / "data"
        self.tool = servers_tool().postgres_tool
        self.server: subprocess.Popen[bytes] | None = None
        user = "postgres" if os.getuid() == 0 else None  # initdb refuses root
        self.own: dict[str, Any] = {"user": user, "group": user, "extra_groups": []} if user else {}
        self.folder.mkdir()
        if user:
            owner = pwd.getpwnam(user)
            os.chown(self.folder, owner.pw_uid, owner.pw_gid)
            for above in (folder, *folder.parents[:-1]):
                above.chmod(above.stat().st_mode | 0o011)
        self._cluster_make()

    def _cluster_make(self) -> None:
        self._initdb()

    def _initdb(self, *more: str) -> None:
        words = ("-D", str(self.data), "-U", "drawbag", "-A", "trust", "-E", "UTF8", *more)
        self._run("initdb", *words)

    @property
    def environment(self) -> dict[str, str]:
        return {"DATABASE_URL": f"postgres://drawbag@{quote(str(self.folder), safe='')}/postgres"}

    def start(self) -> None:
        self.server = subprocess.Popen(
            [
                *(self.tool("postgres"), "-D", str(self.data), "-k", str(self.folder)),
                *("-c", "listen_addresses=", "-c", "log_min_messages=panic"),
            ],
            cwd=self.folder,
            stderr=subprocess.DEVNULL,
            start_new_session=True,
            **self.own,
        )
        until = time.monotonic() + PATIENCE_S
        while not self.answers():
            if time.monotonic() > until:
                raise SystemExit("PostgreSQL did not start again.")
            NEVER.wait(0.05)

    def answers(self) -> bool:
        done = subprocess.run(
            [self.tool("pg_isready"), "-q", "-h", str(self.folder), "-U", "drawbag"], check=False
        )
        return done.returncode == 0

    def kill(self) -> None:
        """The postmaster and every backend at once, as when the power goes."""
        assert self.server is not None
        with suppress(ProcessLookupError):  # it stopped by itself
            os.killpg(self.server.pid, signal.SIGKILL)
        self.server.wait()

    def stop(self) -> None:
        if self.server is None or self.server.poll() is not None:
            return
        self.server.send_signal(signal.SIGINT)
        try:
            self.server.wait(20)
        except subprocess.TimeoutExpired:
            self.kill()

    def _run(self, name: str, *words: str) -> None:
        subprocess.run(
            [self.tool(name), *words],
            cwd=self.folder,
            check=True,
            stdout=subprocess.DEVNULL,
            **self.own,
        )


DATABASES = {"sqlite": Sqlite, "postgres": Postgres}


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])
