"""Starting and stopping the processes that make up a running site on one machine."""

from __future__ import annotations

import os
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Mapping, Sequence
from contextlib import suppress
from pathlib import Path
from types import TracebackType

from django.utils.translation import gettext as _

STOP_SECONDS = 8.0


class ProcessEnded(Exception):
    """A process that should be running is not. The message says where its log is."""


class Processes:
    """Child processes that end with this block, however it ends.

    Each has a session of its own, so that Ctrl-C reaches only us and we stop them in turn: a
    worker's main process is asked to finish, and its whole group is killed if it does not.
    """

    def __init__(self, *, logs: Path, environment: Mapping[str, str]) -> None:
        self.logs = logs
        self.environment = dict(environment)
        self.running: dict[str, subprocess.Popen[bytes]] = {}
        logs.mkdir(parents=True, exist_ok=True)

    def __enter__(self) -> Processes:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.stop()

    def start(self, name: str, *, module: str, words: Sequence[str]) -> None:
        """Start `python -m module words…`; what it says goes into `name`.log."""
        with (self.logs / f"{name}.log").open("wb") as log:
            self.running[name] = subprocess.Popen(
                [sys.executable, "-m", module, *words],
                env=self.environment,
                stdin=subprocess.DEVNULL,
                stdout=log,
                stderr=subprocess.STDOUT,
                start_new_session=True,
            )

    def check(self) -> None:
        """Raise ProcessEnded if one of them has ended, with the last lines of its log."""
        for name, process in self.running.items():
            if process.poll() is not None:
                log = self.logs / f"{name}.log"
                last = "\n".join(log.read_text(errors="replace").splitlines()[-15:])
                raise ProcessEnded(
                    _("The %(name)s process ended (code %(code)s). Its log is %(log)s:\n%(last)s")
                    % {"name": name, "code": process.returncode, "log": log, "last": last}
                )

    def stop(self) -> None:
        """Ask each to end, wait, and kill what is left of its group. Safe to call twice."""
        for process in self.running.values():
            if process.poll() is None:
                process.send_signal(signal.SIGTERM)
        until = time.monotonic() + STOP_SECONDS
        for process in self.running.values():
            with suppress(subprocess.TimeoutExpired):
                process.wait(timeout=max(0.1, until - time.monotonic()))
            _group_kill(process)
        self.running.clear()


def _group_kill(process: subprocess.Popen[bytes]) -> None:
    with suppress(ProcessLookupError, PermissionError):  # nobody of the group is left
        os.killpg(process.pid, signal.SIGKILL)
    process.wait()


def free_port(wanted: int) -> int:
    """`wanted`, or the first free one of the hundred after it. Raises OSError if there is none."""
    for port in range(wanted, wanted + 100):
        with socket.socket() as probe:
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            try:
                probe.bind(("0.0.0.0", port))
            except OSError:
                continue
            return port
    raise OSError(_("No port from %(first)d on is free: set PORT.") % {"first": wanted})


def lan_address() -> str | None:
    """This machine's address in its own network, if it has one. Nothing is sent."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))  # an address for documentation (RFC 5737)
        except OSError:
            return None
        found = str(probe.getsockname()[0])
    return None if found.startswith("127.") or found == "0.0.0.0" else found
