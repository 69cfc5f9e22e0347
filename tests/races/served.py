"""A real server of its own: gunicorn on a database in a file, with the invented club in it."""

from __future__ import annotations

import http.client
import json
import os
import shutil
import socket
import subprocess
import sys
import time
import uuid
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
PATIENCE_S = 60

# What it serves: our site with trapdoors. Where the trap's file says so, the process kills itself.
TRAPPED = """
import os, signal
from pathlib import Path
from web.wsgi import application
from matches.writes.facts import batch
from web.sync import views

def trap(name, function):
    def trapped(*args, **given):
        where = Path(os.environ["TRAP"])
        if where.exists() and where.read_text() == name.format(*args):
            where.unlink()
            os.kill(os.getpid(), signal.SIGKILL)
        return function(*args, **given)
    return trapped

batch.counter_raise = trap("rows inserted", batch.counter_raise)
batch.ClubBatch.store = trap("club {0.club_id} begun", batch.ClubBatch.store)
views.device_seen = trap("all committed", views.device_seen)
"""
SET_UP = """
import django; django.setup()
import json
from matches.models import Match, Membership
from tests.clients import signed_in
from tests.conftest import make_world
world = make_world()
away = Match.objects.get(pk=world.match.pk)
away.pk, away.club, away.slug = None, world.other_club, "away"
away.save()
Membership.objects.create(club=world.other_club, person=world.weigher, role="member")
client = signed_in(world.weigher)
print(json.dumps([world.match.pk, away.pk, away.club_id, client.cookies["sessionid"].value]))
"""


class Served:
    """The server in a folder, and a signed-in weigher's way to it."""

    def __init__(self, folder: Path, migrated: Path) -> None:
        self.file, self.trap = folder / "drawbag.sqlite3", folder / "trap"
        shutil.copy(migrated, self.file)
        (folder / "trapped.py").write_text(TRAPPED)
        self.env = {
            **{k: v for k, v in os.environ.items() if k not in ("DATABASE_URL", "BROKER_URL")},
            "DJANGO_SETTINGS_MODULE": "web.settings",
            "PYTHONPATH": f"{ROOT}:{folder}",
            "VAR_DIR": str(folder),
            "TRAP": str(self.trap),
        }
        made = subprocess.run(
            [sys.executable, "-c", SET_UP],
            env=self.env,
            cwd=ROOT,
            capture_output=True,
            text=True,
            check=True,
        )
        self.match, self.away, self.away_club, session = json.loads(made.stdout)
        with socket.socket() as probe:
            probe.bind(("127.0.0.1", 0))
            self.port = int(probe.getsockname()[1])
        words = ["-b", f"127.0.0.1:{self.port}", "--preload", "--log-level", "critical"]
        self.master = subprocess.Popen(
            [sys.executable, "-m", "gunicorn", "trapped:application", *words],
            env=self.env,
            cwd=ROOT,
        )
        token = "t" * 32
        self.headers = {
            "Cookie": f"sessionid={session}; csrftoken={token}",
            "X-CSRFToken": token,
            "Content-Type": "application/json",
        }

    def stop(self) -> None:
        self.master.terminate()
        self.master.wait(timeout=PATIENCE_S)

    def worker(self) -> int:
        """The one worker's process id; the master starts another whenever it is killed."""
        children = Path(f"/proc/{self.master.pid}/task/{self.master.pid}/children")
        return int(self._until(lambda: children.read_text().split())[0])

    def note(self, match: int | None = None, **given: Any) -> dict[str, Any]:
        """A new fact that weighs a net at a peg nobody else does here, to be pushed."""
        return {
            "id": str(uuid.uuid4()),
            "device": str(uuid.UUID(int=7)),
            "seq": 1,
            "kind": "weigh_in",
            "match": str(match or self.match),
            "peg": "1",
            "recorded_at": "2026-06-20T13:05:11.250Z",
            "body": {"net": 1, "weight": 4250, "unit": "g"},
        } | given

    def body(self, *facts: dict[str, Any]) -> bytes:
        whole = {"protocol": 1, "device": str(uuid.UUID(int=7)), "facts": list(facts)}
        return json.dumps(whole).encode()

    def push(self, *facts: dict[str, Any]) -> tuple[int, dict[str, str], Any] | None:
        """Status, headers and what the answer says; None when the server died of it."""
        return self.post(self.body(*facts))

    def post(self, body: bytes, **headers: str) -> tuple[int, dict[str, str], Any] | None:
        try:
            line = http.client.HTTPConnection("127.0.0.1", self.port, timeout=PATIENCE_S)
            line.request("POST", "/api/v1/sync/facts", body, self.headers | headers)
            answer = line.getresponse()
            return answer.status, dict(answer.headers), json.loads(answer.read())
        except (http.client.RemoteDisconnected, ConnectionResetError):
            return None

    def ready(self) -> None:
        """Wait until a worker answers; another process is at it, so there is no event."""
        self._until(self._answers)

    def _answers(self) -> bool:
        try:
            with socket.create_connection(("127.0.0.1", self.port), timeout=PATIENCE_S) as line:
                line.sendall(b"GET /healthz HTTP/1.0\r\nHost: localhost\r\n\r\n")
                return b" 200 " in line.recv(100)
        except OSError:
            return False

    def _until(self, ask: Any) -> Any:
        end = time.monotonic() + PATIENCE_S
        while not (got := ask()):
            assert time.monotonic() < end and self.master.poll() is None
            time.sleep(0.02)
        return got
