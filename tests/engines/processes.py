"""Processes of one browser, all ended in the end; and looking again and again, up to a deadline."""

from __future__ import annotations

import os
import signal
import subprocess
import time
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TypeVar

T = TypeVar("T")
PATIENCE_S = 60.0
EACH_S = 0.05


def wait_for(
    look: Callable[[], T], what: str, *, patience_s: float = PATIENCE_S, each_s: float = EACH_S
) -> T:
    """What `look` gives once that is something. `what` says in the failure what was awaited."""
    end = time.monotonic() + patience_s
    while not (found := look()):
        if time.monotonic() > end:
            raise TimeoutError(f"Not within {patience_s:.0f} s: {what}")
        time.sleep(each_s)
    return found


class Processes:
    """The processes that work in one folder: each has it as its HOME, or on its command line."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.started: list[subprocess.Popen[bytes]] = []

    def start(self, command: Sequence[str], **environment: str) -> subprocess.Popen[bytes]:
        """What it prints goes to `output` in the folder. It dies with us, however we end."""
        folder = str(self.folder)
        own = {"HOME": folder, "XDG_RUNTIME_DIR": folder, "XDG_CACHE_HOME": f"{folder}/cache"}
        plain = {name: os.environ[name] for name in ("PATH", "LANG") if name in os.environ}
        with (self.folder / "output").open("wb") as output:
            process = subprocess.Popen(
                ["setpriv", "--pdeathsig", "KILL", *command],
                env=plain | own | environment,
                stdout=output,
                stderr=output,
                stdin=subprocess.DEVNULL,
                start_new_session=True,
            )
        self.started.append(process)
        return process

    def printed(self) -> str:
        return (self.folder / "output").read_text(errors="replace")[-2000:]

    def kill(self) -> None:
        """All of them at once, as a phone does that needs the memory."""
        for pid in self._running():
            try:
                os.kill(pid, signal.SIGKILL)
            except ProcessLookupError:
                continue
        for process in self.started:
            process.wait()
        self.started.clear()
        wait_for(lambda: not self._running(), "the end of every process of the browser")

    def _running(self) -> list[int]:
        return [int(entry.name) for entry in Path("/proc").iterdir() if self._is_ours(entry)]

    def _is_ours(self, entry: Path) -> bool:
        if not entry.name.isdigit() or int(entry.name) == os.getpid():
            return False
        try:
            said = (entry / "cmdline").read_bytes() + (entry / "environ").read_bytes()
        except OSError:
            return False
        return os.fsencode(self.folder) in said
