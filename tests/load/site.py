"""The site as the demo runs it: gunicorn with two processes of four threads, on loopback."""

from __future__ import annotations

import os
import signal
import socket
import subprocess
import sys
import time
from pathlib import Path

from .databases import NEVER, PATIENCE_S, ROOT, free_port

PROCESSES, THREADS = 2, 4


class Site:
    """Its processes, to be started, killed and started again."""

    def __init__(self, folder: Path) -> None:
        self.folder, self.port = folder, free_port()
        self.master: subprocess.Popen[bytes] | None = None

    def start(self) -> None:
        words = ["--workers", str(PROCESSES), "--threads", str(THREADS), "--backlog", "2048"]
        with (self.folder / "site.log").open("ab") as log:
            self.master = subprocess.Popen(
                [
                    *(sys.executable, "-m", "gunicorn", "web.wsgi", *words),
                    *("--bind", f"127.0.0.1:{self.port}", "--log-level", "critical"),
                ],
                cwd=ROOT,
                stderr=log,
            )
        until = time.monotonic() + PATIENCE_S
        while not self.answers():
            if time.monotonic() > until:
                raise SystemExit("The site did not start.")
            NEVER.wait(0.05)

    def answers(self) -> bool:
        try:
            with socket.create_connection(("127.0.0.1", self.port), timeout=PATIENCE_S) as line:
                line.sendall(b"GET /healthz HTTP/1.0\r\nHost: localhost\r\n\r\n")
                return b" 200 " in line.recv(100)
        except OSError:
            return False

    def processes(self) -> list[int]:
        assert self.master is not None
        children = Path(f"/proc/{self.master.pid}/task/{self.master.pid}/children")
        return [int(word) for word in children.read_text().split()]

    def kill_one(self) -> bool:
        """One process in the middle of what it does; its master starts another."""
        running = self.processes()
        for child in running[:1]:
            os.kill(child, signal.SIGKILL)
        return bool(running)

    def kill(self) -> None:
        """All of it at once."""
        assert self.master is not None
        running = self.processes()
        for process in (self.master.pid, *running):
            os.kill(process, signal.SIGKILL)
        self.master.wait()

    def stop(self) -> None:
        if self.master is not None and self.master.poll() is None:
            self.master.terminate()
            self.master.wait(PATIENCE_S)
