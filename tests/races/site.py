"""A site of several processes on one machine: two gunicorns, two workers and beat."""

from __future__ import annotations

import http.client
import json
import time
from collections.abc import Callable
from typing import Any

from web.processes import Processes, free_port

PATIENCE_S = 60
TOKEN = "t" * 32


class Site:
    """Two gunicorns, two workers and beat, each a process of its own."""

    def __init__(self, processes: Processes) -> None:
        self.processes = processes
        self.ports: list[int] = []
        for name in ("web-1", "web-2"):
            self.ports.append(free_port(20_000 + len(self.ports) * 200))
            words = ["-c", "web/deploy/gunicorn.conf.py", "-b", f"127.0.0.1:{self.ports[-1]}"]
            processes.start(name, module="gunicorn", words=[*words, "web.wsgi"])
        for name in ("worker-1", "worker-2"):
            words = ["-A", "web", "worker", "--concurrency", "1", "--loglevel", "INFO"]
            processes.start(name, module="celery", words=[*words, "--hostname", name])
        beat = ["-A", "web", "beat", "--pidfile", "", "--loglevel", "INFO"]
        processes.start("beat", module="celery", words=beat)

    def ask(
        self, which: int, method: str, path: str, body: Any = None, **headers: str
    ) -> tuple[int, dict[str, str], Any]:
        line = http.client.HTTPConnection("127.0.0.1", self.ports[which], timeout=PATIENCE_S)
        own = {"Content-Type": "application/json", "X-CSRFToken": TOKEN, "Host": "localhost"}
        sent = None if body is None else json.dumps(body)
        line.request(method, path, sent, own | headers)
        answer = line.getresponse()
        told = answer.read().decode()
        is_json = "json" in answer.headers.get("Content-Type", "")
        return answer.status, dict(answer.headers), json.loads(told) if is_json else told

    def until(self, seen: Callable[[], Any]) -> Any:
        end = time.monotonic() + PATIENCE_S
        while not (got := seen()):
            self.processes.check()
            assert time.monotonic() < end
            time.sleep(0.1)
        return got

    def logged(self, name: str) -> list[dict[str, Any]]:
        """The whole lines a process has logged as JSON."""
        text = (self.processes.logs / f"{name}.log").read_text()
        lines = text[: text.rfind("\n") + 1].splitlines()
        return [json.loads(line) for line in lines if line.startswith("{")]
