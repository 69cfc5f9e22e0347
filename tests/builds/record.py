"""Record what earlier builds of the bank app send and keep, from this repository's own history.

    CHROMIUM=$(.ci/scripts/chromium.sh) .venv/bin/python -m tests.builds.record

Each build's shell is taken out of its commit and opened in Chromium. Its own modules log a day
(`days.js`) without signal; what it then sends, byte for byte, goes into
`cases/pushed_by_builds.json`, and what it kept until then into `cases/phone_databases.json`. What
stands there already is not recorded again. A server stands in that takes everything: what is sent
does not depend on it.
"""

from __future__ import annotations

import base64
import gzip
import io
import json
import os
import subprocess
import tarfile
import tempfile
from dataclasses import dataclass, field
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from threading import Thread
from typing import Any

from playwright.sync_api import Browser, Page, sync_playwright

ROOT = Path(__file__).parents[2]
CASES = ROOT / "tests/cases"
PUSHED, DATABASES = CASES / "pushed_by_builds.json", CASES / "phone_databases.json"
MATCH = "4100"
PEOPLE = {"weigher": ("6100", "Tamsin Rook"), "member": ("6200", "Wilmot Crane")}
TYPES = {".js": "text/javascript", ".html": "text/html"}


@dataclass(frozen=True)
class Build:
    """A commit at which what is sent or kept changed. `by`: who logs; `keeps`: its database too."""

    commit: str
    day: str
    why: str
    keeps: bool = False
    by: str = "weigher"


BUILDS = [
    Build("ce719be", "first", "What the first build writes; database version 10.", keeps=True),
    Build("8f76634", "fishAndPeg", "Fish and peg notes."),
    Build("2224034", "fishCounted", "Fish counted in a net, and a net weighed again."),
    Build("57711d0", "fishBySize", "A fish by its size, on the line it was caught on."),
    Build("9d0ef63", "snagsAndRuns", "Snags, and a float run on its own."),
    Build("eecfc90", "packed", "Long pushes go packed; database version 20.", keeps=True),
    Build("eecfc90", "carried", "What a mate's phone signed and this one carries.", True, "member"),
    Build("c3bffcf", "jarAndThrows", "Jar tests, throws, the water's warmth, the line fished."),
]

# Where the build's modules are; the page itself shows nothing.
OPEN = """async ({match, mate}) => {
  const own = (name) => import(`/static/bank/${name}`);
  const { bag } = await own("bag.js");
  const { uuid7 } = await own("uuid7.js");
  const { workerStart } = await own("update.js");
  await workerStart();
  await bag.start();
  const key = await own("hand-key.js").catch(() => null); // not there yet in the first
  await key?.handKeyJoin(bag.person.id);
  const log = async (kind, peg, body, supersedes = null) =>
    (await bag.keep({ id: uuid7(), kind, match, peg, supersedes, body })).id;
  const hand = async () => {
    const { bundleMake } = await own("carry.js");
    window.handed = Array.from(await bundleMake(match));
  };
  window.phone = { bag, own, log, hand, match, mate };
}"""
LOG = """async (day) => {
  const { days } = await import("/days.js");
  await days[day](window.phone);
}"""
TAKE = """async (bytes) => {
  const { bundleTake } = await window.phone.own("carry.js");
  return (await bundleTake(new Uint8Array(bytes))).taken;
}"""
SEND = """async () => {
  const { bag } = window.phone;
  const quiet = () => new Promise((done) => (bag.sending
    ? bag.addEventListener("change", () => done(quiet()), { once: true }) : done()));
  await quiet();
  await bag.syncNow();
  await quiet();
}"""
# Keys cannot leave the browser that made them, so they are not among the rows.
DUMP = """() => new Promise((done) => {
  indexedDB.open("drawbag-bank").onsuccess = ({ target: { result: db } }) => {
    const all = db.transaction([...db.objectStoreNames]);
    const out = { version: db.version, stores: {}, rows: {} };
    for (const name of db.objectStoreNames) {
      const store = all.objectStore(name);
      const indexes = [...store.indexNames].map((of) => [of, store.index(of).keyPath]);
      out.stores[name] = { keyPath: store.keyPath, indexes };
      store.getAll().onsuccess = (got) => { out.rows[name] = got.target.result; };
    }
    all.oncomplete = () => {
      db.close();
      done(JSON.parse(JSON.stringify(out, (key, it) => (key === "pair" ? undefined : it))));
    };
  };
})"""


@dataclass
class Heard:
    """What a build is served, and what it sent meanwhile."""

    shell: Path
    build: str
    down: bool = False
    posts: list[dict[str, Any]] = field(default_factory=list)


class Taker(BaseHTTPRequestHandler):
    """Serves one build's files, and takes whatever is sent to its API."""

    protocol_version = "HTTP/1.1"
    heard: Heard

    def log_message(self, *_: Any) -> None:
        """Nothing to tell."""

    def do_GET(self) -> None:
        path = self.path.partition("?")[0]
        if path == "/api/v1/me":
            who = PEOPLE[self._who()]
            matches = [{"id": MATCH, "name": "June Open", "date": "2026-06-20"}]
            me = {"person": dict(zip(("id", "name"), who, strict=True)), "clubs": []}
            self._json({**me, "matches": matches})
        elif path == "/serviceworker.js":
            told = f'event.data === "build" && event.ports[0].postMessage("{self.heard.build}")'
            self._say(f'addEventListener("message", (event) => {told});'.encode(), ".js")
        elif path == "/":
            self._say(b"<!doctype html><title>A page</title>", ".html")
        elif path == "/days.js":
            self._say((Path(__file__).parent / "days.js").read_bytes(), ".js")
        else:
            self._file(self.heard.shell / path.removeprefix("/static/bank/"))

    def do_POST(self) -> None:
        raw = self.rfile.read(int(self.headers["Content-Length"]))
        packed = self.headers.get("Content-Encoding", "")
        body = json.loads(gzip.decompress(raw) if packed else raw)
        if self.path.endswith("/keys"):
            answer: dict[str, Any] = {"key": {"revoked_at": None}}
        elif self.heard.down:
            return self._say(b"", ".html", 503)
        else:
            taken = [
                {"id": fact["id"], "outcome": "accepted", "cseq": n}
                for n, fact in enumerate(body["facts"], 1)
            ]
            answer = {"outcomes": taken}
        said = {"by": self._who(), "path": self.path}
        exact = base64.b64encode(raw).decode() if packed else raw.decode()
        said |= {"packed": packed, "body": exact}
        if said not in self.heard.posts:  # a key is made known twice
            self.heard.posts.append(said)
        return self._json(answer)

    def _who(self) -> str:
        return self.headers["Cookie"].partition("who=")[2].partition(";")[0]

    def _file(self, path: Path) -> None:
        if path.is_file():
            self._say(path.read_bytes(), path.suffix)
        else:
            self._json({"type": "/problems/not-found"}, 404)

    def _json(self, answer: dict[str, Any], status: int = 200) -> None:
        self._say(json.dumps({"protocol": 1, **answer}).encode(), "", status)

    def _say(self, body: bytes, suffix: str, status: int = 200) -> None:
        self.send_response(status)
        self.send_header("Content-Type", TYPES.get(suffix, "application/json"))
        self.send_header("Content-Length", str(len(body)))
        self.end_headers()
        self.wfile.write(body)


def shell_of(commit: str, folder: Path) -> Path:
    """The app's files as that commit has them."""
    asked = ["git", "archive", commit, "web/bank/shell"]
    packed = subprocess.run(asked, cwd=ROOT, capture_output=True, check=True).stdout
    with tarfile.open(fileobj=io.BytesIO(packed)) as files:
        files.extractall(folder, filter="data")
    return folder / "web/bank/shell"


def phone(browser: Browser, url: str, who: str) -> Page:
    """A phone of this build on which that person has signed in, with its modules at hand."""
    context = browser.new_context(base_url=url)
    context.add_cookies([{"name": "who", "value": who, "url": url}])
    page = context.new_page()
    page.goto("/")
    page.evaluate(OPEN, {"match": MATCH, "mate": PEOPLE["member"][0]})
    return page


def record(browser: Browser, build: Build, commit: str, folder: Path) -> tuple[Any, Any]:
    """What that build sent, and what it kept before."""
    heard = Heard(shell_of(commit, folder), commit[:12])
    server = ThreadingHTTPServer(("127.0.0.1", 0), type("One", (Taker,), {"heard": heard}))
    Thread(target=server.serve_forever, daemon=True).start()
    url = f"http://127.0.0.1:{server.server_port}"
    sender = phone(browser, url, build.by)
    heard.down = True
    sender.evaluate(LOG, build.day)
    if handed := sender.evaluate("window.handed"):
        sender.context.close()
        heard.down = False
        sender = phone(browser, url, "weigher")
        heard.down = True
        assert sender.evaluate(TAKE, handed) == 2
    kept = sender.evaluate(DUMP)
    heard.down = False
    sender.evaluate(SEND)
    sender.context.close()
    server.shutdown()
    named = {"commit": commit, "why": build.why}
    return {**named, "posts": heard.posts}, {**named, **kept}


def main() -> None:
    """Add what is not recorded yet."""
    pushed, databases = (json.loads(path.read_text()) for path in (PUSHED, DATABASES))
    there = {(one["commit"], one["why"]) for one in pushed}
    with sync_playwright() as driver, tempfile.TemporaryDirectory() as folder:
        browser = driver.chromium.launch(executable_path=os.environ["CHROMIUM"])
        for build in BUILDS:
            asked = ["git", "rev-parse", build.commit]
            found = subprocess.run(asked, cwd=ROOT, capture_output=True, check=True, text=True)
            commit = found.stdout.strip()
            if (commit, build.why) in there:
                continue
            sent, kept = record(browser, build, commit, Path(folder) / build.day)
            pushed.append(sent)
            if build.keeps:
                databases.append(kept)
        browser.close()
    PUSHED.write_text(json.dumps(pushed, indent=1, ensure_ascii=False) + "\n")
    DATABASES.write_text(json.dumps(databases, indent=1, ensure_ascii=False) + "\n")


if __name__ == "__main__":
    main()
